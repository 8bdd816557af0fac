package main

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"soundmetal/web"
	"strings"
	"sync"
	"testing"
	"time"
)

// served runs the program's server until the test ends.
type served struct {
	*testing.T
	url, said string
	log       func() string // all that was said so far
	client    *http.Client
	stop      func() error
}

type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedBuffer) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func serveHere(t *testing.T, c serveCmd) *served {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	var said lockedBuffer
	up, ended := make(chan net.Addr, 1), make(chan error, 1)
	if c.Addr == "" {
		c.Addr = "127.0.0.1:0"
	}
	go func() { ended <- c.serve(ctx, &console{out: io.Discard, err: &said}, func(a net.Addr) { up <- a }) }()
	s := &served{T: t}
	select {
	case a := <-up:
		s.url = "http://" + a.String()
	case err := <-ended:
		t.Fatalf("did not start: %v", err)
	case <-time.After(20 * time.Second):
		t.Fatal("did not start")
	}
	s.said = said.String()
	s.log = said.String
	s.client = &http.Client{Jar: newJar(t), Timeout: 20 * time.Second, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	var once sync.Once
	var err2 error
	s.stop = func() error {
		once.Do(func() { cancel(); s.client.CloseIdleConnections(); err2 = <-ended })
		return err2
	}
	t.Cleanup(func() {
		if err := s.stop(); err != nil {
			t.Errorf("stopped with %v", err)
		}
	})
	return s
}

func newJar(t *testing.T) http.CookieJar {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return jar
}

func (s *served) do(method, path string, form url.Values, head ...string) (*http.Response, string) {
	s.Helper()
	r, err := http.NewRequest(method, s.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		s.Fatal(err)
	}
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i+1 < len(head); i += 2 {
		if head[i] == "Host" {
			r.Host = head[i+1]
			continue
		}
		r.Header.Set(head[i], head[i+1])
	}
	a, err := s.client.Do(r)
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	body, err := io.ReadAll(a.Body)
	if err != nil {
		s.Fatal(err)
	}
	return a, string(body)
}

var keyField = regexp.MustCompile(`name="key" value="([^"]+)"`)

// A first start makes the folder, shows the demo book, survives a restart.
func TestServeStartsFromNothing(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "book")
	s := serveHere(t, serveCmd{Data: dir, NoLogin: true})
	a, body := s.do("GET", "/", nil)
	if a.StatusCode != 200 || !strings.Contains(body, "Demo jobs are shown") {
		t.Fatalf("%d %s", a.StatusCode, body)
	}
	for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "X-Frame-Options": "DENY", "Content-Security-Policy": web.Policy} {
		if got := a.Header.Get(name); got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	for _, weak := range []string{"unsafe-inline", "unsafe-eval", "*"} {
		if strings.Contains(web.Policy, weak) {
			t.Errorf("the policy allows %s", weak)
		}
	}
	_, form := s.do("GET", "/settings", nil)
	v := url.Values{"key": {keyField.FindStringSubmatch(form)[1]}, "welder": {"R. Hand"}}
	if a, _ := s.do("POST", "/settings", v); a.StatusCode != 303 {
		t.Fatalf("settings: %d", a.StatusCode)
	}
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	s = serveHere(t, serveCmd{Data: dir, NoLogin: true})
	if _, body := s.do("GET", "/settings", nil); !strings.Contains(body, "R. Hand") {
		t.Error("the setting did not survive the restart")
	}
	if a, _ := s.do("POST", "/settings", v, "Sec-Fetch-Site", "cross-site"); a.StatusCode != 403 {
		t.Errorf("a form of another site: %d, want 403", a.StatusCode)
	}
	if a, _ := s.do("POST", "/settings", v, "Origin", "https://elsewhere.example"); a.StatusCode != 403 {
		t.Errorf("a form of another origin: %d, want 403", a.StatusCode)
	}
	if a, _ := s.do("GET", "/", nil, "Host", "elsewhere.example"); a.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("a foreign name for this computer: %d", a.StatusCode)
	}
	info, err := os.Stat(filepath.Join(dir, bookFile))
	if err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others can read the book: %v %v", info.Mode(), err)
	}
}

func TestServeLogin(t *testing.T) {
	dir := t.TempDir()
	s := serveHere(t, serveCmd{Data: dir, NoDemo: true})
	m := regexp.MustCompile(`is  (\S+)  ;`).FindStringSubmatch(s.said)
	if m == nil {
		t.Fatalf("the passphrase is not said: %s", s.said)
	}
	pass := m[1]
	for _, path := range []string{"/", "/new", "/jobs/x", "/export", "/photos/" + strings.Repeat("0", 64)} {
		if a, _ := s.do("GET", path, nil); a.StatusCode != 303 || !strings.HasPrefix(a.Header.Get("Location"), "/login") {
			t.Errorf("%s without login: %d %s", path, a.StatusCode, a.Header.Get("Location"))
		}
	}
	if a, _ := s.do("POST", "/settings", url.Values{"key": {"x"}, "welder": {"y"}}); a.StatusCode != 401 {
		t.Errorf("a form without login: %d, want 401", a.StatusCode)
	}
	if a, body := s.do("POST", "/login", url.Values{"pass": {"guess-guess"}}); a.StatusCode != 403 || !strings.Contains(body, "not the passphrase") {
		t.Errorf("wrong passphrase: %d", a.StatusCode)
	}
	for next, want := range map[string]string{"/due": "/due", "//evil.example": "/", "https://evil.example": "/", "/\\evil.example": "/"} {
		a, _ := s.do("POST", "/login", url.Values{"pass": {pass}, "next": {next}})
		if a.StatusCode == http.StatusTooManyRequests {
			t.Fatal("locked out by the right passphrase")
		}
		if got := a.Header.Get("Location"); a.StatusCode != 303 || got != want {
			t.Errorf("login to %q: %d %s, want %s", next, a.StatusCode, got, want)
		}
		for _, c := range a.Cookies() {
			if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode {
				t.Errorf("the cookie %v can be read by scripts or is sent by other sites", c)
			}
		}
		if next == "/due" {
			continue
		}
	}
	if a, body := s.do("GET", "/", nil); a.StatusCode != 200 || !strings.Contains(body, "Log out") {
		t.Errorf("after login: %d", a.StatusCode)
	}
	if a, _ := s.do("POST", "/logout", url.Values{}); a.StatusCode != 303 {
		t.Errorf("logout: %d", a.StatusCode)
	}
	if a, _ := s.do("GET", "/", nil); a.StatusCode != 303 {
		t.Errorf("after logout: %d", a.StatusCode)
	}
	late := false
	for range 8 {
		a, _ := s.do("POST", "/login", url.Values{"pass": {"guess-guess"}})
		late = late || a.StatusCode == http.StatusTooManyRequests
	}
	if !late {
		t.Error("nobody stops the guessing")
	}
	data, err := os.ReadFile(filepath.Join(dir, "login.json"))
	if err != nil || strings.Contains(string(data), pass) || !strings.Contains(string(data), "argon2id") {
		t.Errorf("the passphrase is kept in the clear, or not at all: %v", err)
	}
}

func TestServeFlags(t *testing.T) {
	for _, c := range []struct {
		name string
		cmd  serveCmd
		ok   bool
	}{
		{"loopback without login", serveCmd{Addr: "127.0.0.1:1", NoLogin: true}, true},
		{"named loopback", serveCmd{Addr: "localhost:1", NoLogin: true}, true},
		{"six", serveCmd{Addr: "[::1]:1", NoLogin: true}, true},
		{"all addresses without login", serveCmd{Addr: ":1", NoLogin: true}, false},
		{"network without login", serveCmd{Addr: "192.168.1.4:1", NoLogin: true}, false},
		{"certificate without key", serveCmd{Addr: ":1", Cert: "a"}, false},
		{"an authority without a name", serveCmd{Addr: ":1", ACMEURL: "https://ca.example/directory"}, false},
		{"an authority in the clear", serveCmd{Addr: ":1", ACME: "x.example", ACMEURL: "http://ca.example/directory"}, false},
		{"another authority", serveCmd{Addr: ":1", ACME: "x.example", ACMEURL: "https://ca.example/directory"}, true},
		{"two kinds of certificate", serveCmd{Addr: ":1", Cert: "a", Key: "b", ACME: "x.example"}, false},
	} {
		if err := c.cmd.Validate(); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Export, a fresh start, import: the same pages; and a backup is a whole book.
func TestExportImportBackup(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, "from"), filepath.Join(dir, "to")
	s := serveHere(t, serveCmd{Data: from, NoLogin: true})
	_, list := s.do("GET", "/", nil)
	job := regexp.MustCompile(`href="(/jobs/[a-z0-9]+)"`).FindStringSubmatch(list)[1]
	pages := map[string]string{}
	for _, path := range []string{"/", job, job + "/answer", job + "/record", "/machines"} {
		_, pages[path] = s.do("GET", path, nil)
	}
	a, body := s.do("GET", "/export", nil)
	if a.Header.Get("Content-Type") != "application/zip" {
		t.Fatalf("export: %d", a.StatusCode)
	}
	z, err := zip.NewReader(strings.NewReader(body), int64(len(body)))
	if err != nil || len(z.File) < 3 {
		t.Fatalf("the zip: %v", err)
	}
	var out bytes.Buffer
	con := &console{out: &out, err: io.Discard}
	copied := filepath.Join(dir, "copy.sqlite")
	if err := (&backupCmd{Data: from, File: copied}).Run(con); err != nil { // while it is served
		t.Fatal(err)
	}
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "book.zip")
	if err := (&exportCmd{Data: from, File: file}).Run(con); err != nil {
		t.Fatal(err)
	}
	again, err := os.ReadFile(file)
	if err != nil || string(again) != body {
		t.Errorf("the export of the command differs from that of the page: %v", err)
	}
	if err := (&exportCmd{Data: from, File: file}).Run(con); err == nil {
		t.Error("an export was written over")
	}
	if err := (&importCmd{Data: to, File: file}).Run(con); err != nil {
		t.Fatal(err)
	}
	restored := filepath.Join(dir, "restored")
	os.MkdirAll(restored, 0o700)
	data, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(restored, bookFile), data, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{to, restored} {
		s := serveHere(t, serveCmd{Data: dir, NoLogin: true, NoDemo: true})
		for path, want := range pages {
			if _, got := s.do("GET", path, nil); bare(got) != bare(want) {
				t.Errorf("%s: %s is another page", filepath.Base(dir), path)
			}
		}
		s.stop()
	}
	if err := (&exportCmd{Data: filepath.Join(dir, "nothing"), File: file + "2"}).Run(con); err == nil {
		t.Error("a book that is not there was exported")
	}
}

// One job goes from folder to folder as a file, and comes in once.
func TestJobFromFolderToFolder(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, "from"), filepath.Join(dir, "to")
	s := serveHere(t, serveCmd{Data: from, NoLogin: true})
	_, list := s.do("GET", "/", nil)
	id := regexp.MustCompile(`href="/jobs/([a-z0-9]+)"`).FindStringSubmatch(list)[1]
	_, record := s.do("GET", "/jobs/"+id+"/record", nil)
	_, body := s.do("GET", "/jobs/"+id+"/file.zip", nil)
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	con := &console{out: &out, err: io.Discard}
	file := filepath.Join(dir, "job.zip")
	if err := (&exportCmd{Data: from, Job: id, File: file}).Run(con); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(file); err != nil || string(data) != body {
		t.Errorf("the file of the command differs from that of the page: %v", err)
	}
	for _, says := range []string{" 0 entries were here already", ": 0 entries and 0 files came in"} {
		out.Reset()
		if err := (&importCmd{Data: to, File: file}).Run(con); err != nil || !strings.Contains(out.String(), says) || !strings.Contains(out.String(), id) {
			t.Errorf("%q, %v, want %q", out.String(), err, says)
		}
	}
	s = serveHere(t, serveCmd{Data: to, NoLogin: true, NoDemo: true})
	if _, got := s.do("GET", "/jobs/"+id+"/record", nil); bare(got) != bare(record) {
		t.Error("the record is another page")
	}
	s.stop()
	for name, err := range map[string]error{
		"a job that is not there":         (&exportCmd{Data: from, Job: "jnone", File: file + "2"}).Run(con),
		"the whole book without photos":   (&exportCmd{Data: from, NoPhotos: true, File: file + "3"}).Run(con),
		"a file that is no file of a job": (&importCmd{Data: to, File: filepath.Join(from, bookFile)}).Run(con),
	} {
		if err == nil {
			t.Errorf("%s: no fault", name)
		}
	}
}

// bare leaves out the keys, which no two pages share, and the times to go.
func bare(page string) string {
	page = keyField.ReplaceAllString(page, "")
	return regexp.MustCompile(`>[^<]*(over|min|days| s)<`).ReplaceAllString(page, "><")
}

func TestPassphrase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "login.json")
	for _, bad := range []string{"", "short", strings.Repeat("x", maxPass+1)} {
		if err := setPassphrase(path, bad); err == nil {
			t.Errorf("%d characters were accepted", len(bad))
		}
	}
	s := newSecret("four words are better")
	if !s.is("four words are better") || s.is("four words are bettor") {
		t.Error("the passphrase is not told from another")
	}
	// RFC 9106 gives the second recommended choice: t=3, m=64 MiB, p=4, 128-bit salt, 256-bit tag
	if s.Time != 3 || s.Memory != 65536 || s.Threads != 4 || len(s.Salt) != 16 || len(s.Hash) != 32 {
		t.Errorf("parameters %+v are not those of RFC 9106", s)
	}
	s.Memory = 1
	if s.check() == nil {
		t.Error("a file with next to no memory is accepted")
	}
}
