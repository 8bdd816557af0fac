package main

import (
	"context"
	"io"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// loggedIn gives a server with a client that is logged in, and the passphrase.
func loggedIn(t *testing.T, dir string) (*served, string) {
	t.Helper()
	s := serveHere(t, serveCmd{Data: dir, NoDemo: true})
	m := regexp.MustCompile(`is  (\S+)  ;`).FindStringSubmatch(s.said)
	if m == nil {
		t.Fatalf("the passphrase is not said: %s", s.said)
	}
	s.enter(m[1])
	return s, m[1]
}

func (s *served) enter(pass string) {
	s.Helper()
	if a, body := s.do("POST", "/login", url.Values{"pass": {pass}}); a.StatusCode != 303 {
		s.Fatalf("login: %d %s", a.StatusCode, body)
	}
	s.in(true)
}

func (s *served) in(want bool) {
	s.Helper()
	if a, _ := s.do("GET", "/", nil); (a.StatusCode == 200) != want {
		s.Errorf("logged in: %d, want %v", a.StatusCode, want)
	}
}

// again starts the server anew on its folder, at another port, for the same client.
func (s *served) again(dir string) *served {
	s.Helper()
	client, old := s.client, s.url
	if err := s.stop(); err != nil {
		s.Fatal(err)
	}
	n := serveHere(s.T, serveCmd{Data: dir, NoDemo: true})
	from, _ := url.Parse(old)
	to, _ := url.Parse(n.url)
	n.client.Jar.SetCookies(to, client.Jar.Cookies(from))
	return n
}

func TestSessionsSurviveARestart(t *testing.T) {
	dir := t.TempDir()
	s, pass := loggedIn(t, dir)
	s = s.again(dir)
	s.in(true)

	// the file holds no token that a cookie could be made of
	u, _ := url.Parse(s.url)
	token := s.client.Jar.Cookies(u)[0].Value
	for _, name := range []string{sessionFile, sessionFile + "-wal"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		if strings.Contains(string(data), token) {
			t.Errorf("%s holds the token in the clear", name)
		}
		if info, err := os.Stat(filepath.Join(dir, name)); err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("others can read %s: %v", name, info.Mode())
		}
	}

	if a, _ := s.do("POST", "/logout", url.Values{}); a.StatusCode != 303 {
		t.Fatalf("logout: %d", a.StatusCode)
	}
	s.in(false)
	s = s.again(dir)
	s.in(false)
	s.enter(pass)

	// another passphrase, set while it runs, ends every session at once
	other := "four words are better"
	if err := setPassphrase(filepath.Join(dir, loginFile), other); err != nil {
		t.Fatal(err)
	}
	s.in(false)
	if a, _ := s.do("POST", "/login", url.Values{"pass": {pass}}); a.StatusCode != 403 {
		t.Errorf("the old passphrase: %d", a.StatusCode)
	}
	s.enter(other)
	s = s.again(dir)
	s.in(true)

	// a file that cannot be read keeps the passphrase that holds
	if err := os.WriteFile(filepath.Join(dir, loginFile), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	s.in(true)
	if err := setPassphrase(filepath.Join(dir, loginFile), other); err != nil {
		t.Fatal(err)
	}
	s.in(false)
	s.enter(other)

	// a damaged file of sessions locks nobody out
	if err := s.stop(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, sessionFile), []byte(strings.Repeat("no database ", 500)), 0o600); err != nil {
		t.Fatal(err)
	}
	s = serveHere(t, serveCmd{Data: dir, NoDemo: true})
	s.in(false)
	s.enter(other)
}

func TestLogOutEverywhere(t *testing.T) {
	dir := t.TempDir()
	s, pass := loggedIn(t, dir)
	lost := *s
	jar := newJar(t)
	client := *s.client
	client.Jar = jar
	lost.client = &client
	lost.in(false)
	if a, _ := lost.do("POST", "/logout-everywhere", url.Values{}); a.StatusCode != 401 {
		t.Errorf("log out everywhere without login: %d", a.StatusCode)
	}
	s.in(true)
	lost.enter(pass)
	if _, body := s.do("GET", "/settings", nil); !strings.Contains(body, "Log out everywhere") {
		t.Error("the settings have no button for it")
	}
	if a, _ := s.do("POST", "/logout-everywhere", url.Values{}, "Sec-Fetch-Site", "cross-site"); a.StatusCode != 403 {
		t.Errorf("by another site: %d", a.StatusCode)
	}
	if a, _ := s.do("POST", "/logout-everywhere", url.Values{}); a.StatusCode != 303 {
		t.Fatalf("log out everywhere: %d", a.StatusCode)
	}
	s.in(false)
	lost.in(false)
	s = s.again(dir)
	s.in(false)
}

func TestSessionStore(t *testing.T) {
	ctx := t.Context()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	path := filepath.Join(t.TempDir(), sessionFile)
	s, err := openSessions(ctx, path, log)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)
	s.now = func() time.Time { return now }
	find := func(token, want string) {
		t.Helper()
		data, ok, err := s.Find(token)
		if err != nil || ok != (want != "") || string(data) != want {
			t.Errorf("%s: %q %v %v, want %q", token, data, ok, err, want)
		}
	}
	commit := func(token, data string, in time.Duration) {
		t.Helper()
		if err := s.Commit(token, []byte(data), now.Add(in)); err != nil {
			t.Fatal(err)
		}
	}
	rows := func() (n int) {
		s.db.QueryRow("SELECT count(*) FROM session").Scan(&n)
		return n
	}
	changes := func() (n int) {
		s.db.QueryRow("SELECT total_changes()").Scan(&n)
		return n
	}
	find("a", "")
	commit("a", "one", 10*time.Hour)
	commit("b", "two", 2*time.Hour)
	find("a", "one")
	before := changes()
	commit("a", "one", 10*time.Hour+time.Minute) // a page a minute later writes nothing
	if n := changes() - before; n != 0 {
		t.Errorf("%d rows written for a minute", n)
	}
	commit("a", "one", 12*time.Hour)
	commit("b", "three", 2*time.Hour)
	if n := changes() - before; n != 2 {
		t.Errorf("%d rows written, want 2", n)
	}
	find("b", "three")
	now = now.Add(3 * time.Hour)
	find("b", "") // expired, not yet cleaned away
	if rows() != 2 {
		t.Errorf("%d rows, want 2", rows())
	}
	ended, cancel := context.WithCancel(ctx)
	done := make(chan bool)
	go func() { s.cleaning(ended, time.Millisecond, log); close(done) }()
	for range 1000 {
		if rows() == 1 {
			break
		}
		time.Sleep(time.Millisecond)
	}
	cancel()
	<-done
	if rows() != 1 {
		t.Errorf("%d rows after cleaning, want 1", rows())
	}
	find("a", "one")
	n, err := s.round(ctx)
	if err != nil || n != 1 {
		t.Errorf("round %d %v", n, err)
	}
	if err := s.everybodyOut(ctx); err != nil {
		t.Fatal(err)
	}
	find("a", "")
	if n, _ = s.round(ctx); n != 2 {
		t.Errorf("round %d, want 2", n)
	}
	if err := s.Delete("a"); err != nil {
		t.Errorf("deleting what is not there: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = openSessions(ctx, path, log); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if n, _ = s.round(ctx); n != 2 {
		t.Errorf("round %d after a new start, want 2", n)
	}
}
