package main

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/alexedwards/scs/v2/memstore"
	"golang.org/x/crypto/argon2"
)

// login asks for the one passphrase of the book.
type login struct {
	path     string // of the passphrase's hash
	sessions *scs.SessionManager
	store    *sessionStore
	log      *slog.Logger
	hashing  chan struct{} // one at a time: each takes much memory

	tries   *tries
	mu      sync.Mutex
	secret  secret
	written time.Time // of the file that the secret is from
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
func openLogin(ctx context.Context, dir string, secure bool, say io.Writer, log *slog.Logger) (*login, error) {
	l := &login{path: filepath.Join(dir, loginFile), log: log, hashing: make(chan struct{}, 1), tries: newTries()}
	if !exists(l.path) {
		t := strings.ToLower(rand.Text())
		pass := t[:4] + "-" + t[4:8] + "-" + t[8:12] + "-" + t[12:16]
		if err := setPassphrase(l.path, pass); err != nil {
			return nil, err
		}
		fmt.Fprintf(say, "the passphrase of this book is  %s  ; write it down, it is not shown again (change it with `soundmetal passphrase`)\n", pass)
	}
	var err error
	if l.secret, l.written, err = readSecret(l.path); err != nil {
		return nil, err
	}
	if l.store, err = openSessions(ctx, filepath.Join(dir, sessionFile), log); err != nil {
		return nil, err
	}
	l.sessions = scs.New()
	if m, ok := l.sessions.Store.(*memstore.MemStore); ok {
		m.StopCleanup()
	}
	l.sessions.Store = l.store
	l.sessions.Lifetime, l.sessions.IdleTimeout = stayIn, idleOut
	l.sessions.HashTokenInStore = true
	l.sessions.Cookie.Name = "book"
	l.sessions.Cookie.HttpOnly = true
	l.sessions.Cookie.Secure = secure
	l.sessions.Cookie.SameSite = http.SameSiteLaxMode
	return l, nil
}

const loginFile = "login.json"

func readSecret(path string) (s secret, written time.Time, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return s, written, err
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return s, written, err
	}
	if err := json.Unmarshal(data, &s); err != nil {
		return s, written, errBadInput{fmt.Errorf("%s cannot be read: %w; set the passphrase again with `soundmetal passphrase`", path, err)}
	}
	if err := s.check(); err != nil {
		return s, written, errBadInput{err}
	}
	return s, info.ModTime(), nil
}

// now is the passphrase as it is set now: `soundmetal passphrase` may have
// changed it since the start.
func (l *login) now() secret {
	l.mu.Lock()
	defer l.mu.Unlock()
	if info, err := os.Stat(l.path); err == nil && !info.ModTime().Equal(l.written) {
		if s, written, err := readSecret(l.path); err == nil {
			l.secret, l.written = s, written
		} else {
			l.log.Warn("the new passphrase cannot be read; the one before still holds", "err", err)
			l.written = info.ModTime()
		}
	}
	return l.secret
}

// ticket is what a session holds: it is void once the passphrase was changed or
// everybody was logged out.
func (l *login) ticket(ctx context.Context) (string, error) {
	n, err := l.store.round(ctx)
	if err != nil {
		return "", err
	}
	s := l.now()
	sum := sha256.Sum256(append([]byte("soundmetal login\n"), s.Hash...))
	return fmt.Sprintf("%d %x", n, sum[:16]), nil
}

const inside = "in"

// only lets those in who have logged in.
func (l *login) only(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ticket, err := l.ticket(r.Context())
		if err != nil {
			l.log.Error("sessions", "err", err)
			http.Error(w, "who is logged in cannot be read; nothing was saved", http.StatusInternalServerError)
			return
		}
		if subtle.ConstantTimeCompare([]byte(l.sessions.GetString(r.Context(), inside)), []byte(ticket)) == 1 {
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

func (l *login) enter(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, loginMax)
	if err := r.ParseForm(); err != nil {
		l.page(w, http.StatusBadRequest, "", "This form cannot be read.")
		return
	}
	next, pass := r.PostForm.Get("next"), r.PostForm.Get("pass")
	if !l.tries.may(r.RemoteAddr) {
		w.Header().Set("Retry-After", "30")
		l.page(w, http.StatusTooManyRequests, next, "Too many tries. Wait half a minute, then try again.")
		return
	}
	ok := false
	secret := l.now()
	if len(pass) <= maxPass {
		l.hashing <- struct{}{}
		ok = secret.is(pass)
		<-l.hashing
	}
	if !ok {
		l.page(w, http.StatusForbidden, next, "This is not the passphrase.")
		return
	}
	ticket, err := l.ticket(r.Context())
	if err == nil {
		err = l.sessions.RenewToken(r.Context())
	}
	if err != nil {
		l.log.Error("sessions", "err", err)
		http.Error(w, "the session cannot be kept", http.StatusInternalServerError)
		return
	}
	l.sessions.Put(r.Context(), inside, ticket)
	http.Redirect(w, r, ownPath(next), http.StatusSeeOther)
}

func (l *login) leave(w http.ResponseWriter, r *http.Request) {
	if err := l.sessions.Destroy(r.Context()); err != nil {
		http.Error(w, "the session cannot be ended", http.StatusInternalServerError)
		return
	}
	http.Redirect(w, r, "/login", http.StatusSeeOther)
}

// leaveEverywhere logs everybody out, on every device.
func (l *login) leaveEverywhere(w http.ResponseWriter, r *http.Request) {
	err := l.store.everybodyOut(r.Context())
	if err == nil {
		err = l.sessions.Destroy(r.Context())
	}
	if err != nil {
		l.log.Error("sessions", "err", err)
		http.Error(w, "the sessions cannot be ended", http.StatusInternalServerError)
		return
	}
	http.Redirect(w, r, "/login", http.StatusSeeOther)
}
