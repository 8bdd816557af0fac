package main

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/alexedwards/scs/v2"
	"golang.org/x/crypto/argon2"
	"golang.org/x/time/rate"
)

// login asks for the one passphrase of the book.
type login struct {
	secret   secret
	sessions *scs.SessionManager
	hashing  chan struct{} // one at a time: each takes much memory

	mu    sync.Mutex
	byIP  map[string]*rate.Limiter
	total *rate.Limiter
}

// secret is the passphrase as it is kept: argon2id (RFC 9106).
type secret struct {
	Method  string `json:"method"` // argon2id
	Time    uint32 `json:"time"`
	Memory  uint32 `json:"memory_kib"`
	Threads uint8  `json:"threads"`
	Salt    []byte `json:"salt"`
	Hash    []byte `json:"hash"`
}

// The second recommended parameters of RFC 9106, section 4: 64 MiB, three passes.
const (
	argonTime    = 3
	argonMemory  = 64 << 10 // KiB
	argonThreads = 4
	argonSalt    = 16
	argonHash    = 32
)

const (
	minPass  = 10
	maxPass  = 200
	stayIn   = 30 * 24 * time.Hour
	idleOut  = 7 * 24 * time.Hour
	mostIPs  = 4096
	loginMax = 4 << 10 // bytes of the form
)

func newSecret(pass string) secret {
	s := secret{"argon2id", argonTime, argonMemory, argonThreads, make([]byte, argonSalt), nil}
	rand.Read(s.Salt)
	s.Hash = s.of(pass)
	return s
}

func (s *secret) of(pass string) []byte {
	return argon2.IDKey([]byte(pass), s.Salt, s.Time, s.Memory, s.Threads, argonHash)
}

func (s *secret) is(pass string) bool { return subtle.ConstantTimeCompare(s.of(pass), s.Hash) == 1 }

// check refuses a file that would hash with next to nothing, or with everything.
func (s *secret) check() error {
	if s.Method != "argon2id" || s.Time < 1 || s.Time > 20 || s.Memory < 8<<10 || s.Memory > 1<<20 || s.Threads < 1 || len(s.Salt) < 8 || len(s.Hash) != argonHash {
		return fmt.Errorf("the login file cannot be used; set the passphrase again with `soundmetal passphrase`")
	}
	return nil
}

func setPassphrase(path, pass string) error {
	if n := len([]rune(pass)); n < minPass || len(pass) > maxPass {
		return fmt.Errorf("a passphrase of %d characters: %d to %d are accepted; four words are better than one with signs", n, minPass, maxPass)
	}
	data, err := json.MarshalIndent(newSecret(pass), "", "  ")
	if err != nil {
		return err
	}
	return writeFile(path, append(data, '\n'))
}

// openLogin reads the passphrase's hash. On the first start it makes one and
// says it, once.
func openLogin(path string, secure bool, say io.Writer) (*login, error) {
	if !exists(path) {
		t := strings.ToLower(rand.Text())
		pass := t[:4] + "-" + t[4:8] + "-" + t[8:12] + "-" + t[12:16]
		if err := setPassphrase(path, pass); err != nil {
			return nil, err
		}
		fmt.Fprintf(say, "the passphrase of this book is  %s  ; write it down, it is not shown again (change it with `soundmetal passphrase`)\n", pass)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	l := &login{hashing: make(chan struct{}, 1), byIP: map[string]*rate.Limiter{}, total: rate.NewLimiter(2, 20)}
	if err := json.Unmarshal(data, &l.secret); err != nil {
		return nil, errBadInput{fmt.Errorf("%s cannot be read: %w; set the passphrase again with `soundmetal passphrase`", path, err)}
	}
	if err := l.secret.check(); err != nil {
		return nil, errBadInput{err}
	}
	l.sessions = scs.New()
	l.sessions.Lifetime, l.sessions.IdleTimeout = stayIn, idleOut
	l.sessions.HashTokenInStore = true
	l.sessions.Cookie.Name = "book"
	l.sessions.Cookie.HttpOnly = true
	l.sessions.Cookie.Secure = secure
	l.sessions.Cookie.SameSite = http.SameSiteLaxMode
	return l, nil
}

const inside = "in"

// only lets those in who have logged in.
func (l *login) only(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if l.sessions.GetBool(r.Context(), inside) {
			next.ServeHTTP(w, r)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead || r.Header.Get("HX-Request") != "" {
			http.Error(w, "log in again, then send the form once more: nothing was saved", http.StatusUnauthorized)
			return
		}
		http.Redirect(w, r, "/login?next="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
	})
}

func (l *login) show(w http.ResponseWriter, r *http.Request) {
	l.page(w, http.StatusOK, r.URL.Query().Get("next"), "")
}

func (l *login) page(w http.ResponseWriter, status int, next, text string) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	loginPage.Execute(w, map[string]string{"Style": stylePath(), "Next": ownPath(next), "Err": text})
}

// ownPath keeps a redirect within the book.
func ownPath(next string) string {
	u, err := url.Parse(next)
	if err != nil || u.IsAbs() || u.Host != "" || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n") {
		return "/"
	}
	return next
}

// may says whether another try is let through.
func (l *login) may(addr string) bool {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		host = addr
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	one := l.byIP[host]
	if one == nil {
		if len(l.byIP) >= mostIPs {
			clear(l.byIP)
		}
		one = rate.NewLimiter(rate.Every(10*time.Second), 5)
		l.byIP[host] = one
	}
	return one.Allow() && l.total.Allow()
}

func (l *login) enter(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, loginMax)
	if err := r.ParseForm(); err != nil {
		l.page(w, http.StatusBadRequest, "", "This form cannot be read.")
		return
	}
	next, pass := r.PostForm.Get("next"), r.PostForm.Get("pass")
	if !l.may(r.RemoteAddr) {
		w.Header().Set("Retry-After", "30")
		l.page(w, http.StatusTooManyRequests, next, "Too many tries. Wait half a minute, then try again.")
		return
	}
	ok := false
	if len(pass) <= maxPass {
		l.hashing <- struct{}{}
		ok = l.secret.is(pass)
		<-l.hashing
	}
	if !ok {
		l.page(w, http.StatusForbidden, next, "This is not the passphrase.")
		return
	}
	if err := l.sessions.RenewToken(r.Context()); err != nil {
		http.Error(w, "the session cannot be kept", http.StatusInternalServerError)
		return
	}
	l.sessions.Put(r.Context(), inside, true)
	http.Redirect(w, r, ownPath(next), http.StatusSeeOther)
}

func (l *login) leave(w http.ResponseWriter, r *http.Request) {
	if err := l.sessions.Destroy(r.Context()); err != nil {
		http.Error(w, "the session cannot be ended", http.StatusInternalServerError)
		return
	}
	http.Redirect(w, r, "/login", http.StatusSeeOther)
}
