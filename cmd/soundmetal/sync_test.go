package main

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// ran runs the program and gives what it printed and its status.
func ran(args ...string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	status = run(args, &o, &e)
	return status, o.String(), e.String()
}

// A second computer is let in by code, exchanges on the command line while the
// host serves, and is shut out; the pages of both show the same.
func TestSyncOfTwoComputers(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "first"), filepath.Join(dir, "second")
	s := serveHere(t, serveCmd{Data: first, NoLogin: true})
	for _, c := range []struct {
		args   []string
		status int
		words  string
	}{
		{[]string{"sync", "--data", second}, 2, "exchanges with none yet"},
		{[]string{"sync", "--data", second, "--code", "11112222"}, 2, "--with"},
		{[]string{"sync", "--data", second, "--with", s.url, "--code", "11112222"}, 2, "no code that holds"},
		{[]string{"sync", "--data", second, "--with", "http://book.example", "--code", "11112222"}, 2, "plain http"},
		{[]string{"sync", "--data", second, "--with", "https://" + strings.TrimPrefix(s.url, "http://"), "--code", "11112222"}, 2, "without encryption"},
		{[]string{"sync", "--data", second, "--with", "http://127.0.0.1:1", "--code", "11112222"}, 1, "nothing answers"},
		{[]string{"devices", "--data", filepath.Join(dir, "none")}, 2, "no job book"},
		{[]string{"devices", "--data", first, "--revoke", "nobody there"}, 2, "no device"},
	} {
		if status, out, errOut := ran(c.args...); status != c.status || !strings.Contains(errOut, c.words) || strings.Count(strings.TrimSpace(errOut), "\n") > 1 {
			t.Errorf("%v: %d %q %q, want %d ... %s", c.args, status, out, errOut, c.status, c.words)
		}
	}
	if a, _ := s.do("POST", "/devices/code", nil); a.StatusCode != 303 {
		t.Fatalf("making a code: %d", a.StatusCode)
	}
	_, page := s.do("GET", "/devices/code", nil)
	m := regexp.MustCompile(`<span class="value">(\d{4}) (\d{4})</span>`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no code is shown")
	}
	if status, out, errOut := ran("sync", "--data", second, "--with", s.url, "--code", m[1]+m[2], "--name", "van"); status != 0 || !strings.Contains(out, "0 entries and 0 photos or plans are on this computer only") {
		t.Fatalf("%d %q %q", status, out, errOut)
	}
	if status, out, errOut := ran("sync", "--data", second); status != 0 || !strings.Contains(out, "sent 0 entries") {
		t.Errorf("again: %d %q %q", status, out, errOut)
	}
	if status, _, errOut := ran("sync", "--data", second, "--with", "https://other.example"); status != 2 || !strings.Contains(errOut, "to change to") {
		t.Errorf("another address: %d %q", status, errOut)
	}
	_, list := s.do("GET", "/", nil)
	job := regexp.MustCompile(`href="(/jobs/[a-z0-9]+)"`).FindStringSubmatch(list)[1]
	_, want := s.do("GET", job+"/record", nil)
	s2 := serveHere(t, serveCmd{Data: second, NoLogin: true, NoDemo: true})
	if _, got := s2.do("GET", job+"/record", nil); mainOf(got) != mainOf(want) || len(mainOf(want)) < 500 {
		t.Error("the record of the second computer is another")
	}
	if _, body := s2.do("GET", "/", nil); !strings.Contains(body, "Nothing is on this computer only") {
		t.Error("the second computer does not say how it stands")
	}
	if status, out, _ := ran("devices", "--data", first); status != 0 || !strings.Contains(out, "van") || !strings.Contains(out, " in") {
		t.Errorf("devices: %d %q", status, out)
	}
	id := regexp.MustCompile(`(?m)^(office-\w+) +van`).FindStringSubmatch(readAll(ran("devices", "--data", first)))[1]
	if status, out, _ := ran("devices", "--data", first, "--revoke", id); status != 0 || !strings.Contains(out, "shut out") {
		t.Errorf("shutting out: %d %q", status, out)
	}
	if status, _, errOut := ran("sync", "--data", second); status != 2 || !strings.Contains(errOut, "shut out at the host") {
		t.Errorf("shut out while the host serves: %d %q", status, errOut)
	}
	for _, name := range []string{"exchange/devices.json", "exchange/peer-" + id + ".json"} {
		info, err := os.Stat(filepath.Join(first, name))
		if err != nil || info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func readAll(_ int, out, _ string) string { return out }

// mainOf is the page without its frame and its keys.
func mainOf(body string) string {
	_, rest, _ := strings.Cut(body, "<main")
	rest, _, _ = strings.Cut(rest, "</main>")
	return bare(rest)
}

// Outside the login stands only what has keys of its own; codes cannot be
// guessed at speed.
func TestNetOutsideTheLogin(t *testing.T) {
	s := serveHere(t, serveCmd{Data: t.TempDir(), NoDemo: true})
	if a, body := s.do("GET", "/net/hello", nil); a.StatusCode != 200 || !strings.Contains(body, `"soundmetal exchange"`) {
		t.Errorf("hello: %d %s", a.StatusCode, body)
	}
	for _, path := range []string{"/net/wanted", "/net/files/" + strings.Repeat("0", 64)} {
		if a, body := s.do("GET", path, nil, "Exchange-Version", "1"); a.StatusCode != http.StatusUnauthorized || strings.Contains(body, "login") {
			t.Errorf("%s: %d %s", path, a.StatusCode, body)
		}
	}
	for _, path := range []string{"/devices", "/sync", "/devices/code"} {
		if a, _ := s.do("GET", path, nil); a.StatusCode != 303 {
			t.Errorf("%s without login: %d", path, a.StatusCode)
		}
	}
	slow := false
	for range 12 {
		a, body := s.do("POST", "/net/pair", nil, "Exchange-Version", "1", "Content-Type", "application/json")
		slow = slow || a.StatusCode == http.StatusTooManyRequests && strings.Contains(body, `"tries"`)
	}
	if !slow {
		t.Error("nobody slows the guessing down")
	}
}
