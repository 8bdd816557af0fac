//go:build !js

package web

import (
	"context"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/store/memory"
)

// pair is a host and a phone, each with its pages, and the way between them.
func pair(t *testing.T) (host, phone *desk, peers *exchange.Peers, client *exchange.Client) {
	t.Helper()
	host = newDesk(t)
	peers = &exchange.Peers{Keep: &exchange.MemoryKeep{}, Own: "office", Now: func() time.Time { return host.now }}
	front := httptest.NewServer((&exchange.Server{Book: host.book, Peers: peers, Now: func() time.Time { return host.now }}).Handler())
	t.Cleanup(front.Close)
	host.h = Handler(Service{Book: host.book, Now: func() time.Time { return host.now }, Devices: peers, Address: "https://book.example"})
	b, err := book.Open(t.Context(), memory.New(), "phone-1", book.Options{Price: Price})
	if err != nil {
		t.Fatal(err)
	}
	phone = &desk{TB: t, book: b, now: host.now}
	client = &exchange.Client{Book: b, Keep: &exchange.MemoryKeep{}, Name: "truck phone", Home: front.URL, Now: func() time.Time { return phone.now }}
	phone.h = Handler(Service{Book: b, Now: func() time.Time { return phone.now }, Where: "on this phone", Link: client})
	return host, phone, peers, client
}

var shownCode = regexp.MustCompile(`<span class="value">(\d{4} \d{4})</span>`)

// A phone is let in and exchanges, without scripts: one button for each piece.
func TestExchangeByPages(t *testing.T) {
	host, phone, _, _ := pair(t)
	if err := DemoBook(t.Context(), host.book, host.now); err != nil {
		t.Fatal(err)
	}
	host.page("/devices").has("None yet", "Let a device in")
	host.page("/devices/code").has("No code holds")
	if p := host.post("/devices/code", url.Values{}); p.Location != "/devices/code" {
		t.Fatalf("%d %s", p.Code, p.Location)
	}
	p := host.page("/devices/code").has("https://book.example/pocket", "soundmetal sync --with https://book.example --code")
	code := shownCode.FindStringSubmatch(p.Body)[1]
	if !strings.Contains(p.Body, `<div class="qr"><svg`) {
		t.Error("no code is drawn")
	}
	phone.page("/").has("Nothing is logged on this phone yet.")
	phone.do(httptest.NewRequest("GET", "/sync?code="+strings.ReplaceAll(code, " ", ""), nil)).has("Eight digits")
	if p := phone.post("/sync/join", url.Values{"code": {"1"}, "address": {"x y"}}); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "not the address") {
		t.Errorf("a wrong address: %d %s", p.Code, errorsOf(p.Body))
	}
	join := url.Values{"address": {formValues(phone.page("/sync").Body, "").Get("address")}, "code": {"12345678"}}
	if p := phone.post("/sync/join", join); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "not the code") {
		t.Errorf("a wrong code: %d %s", p.Code, errorsOf(p.Body))
	}
	join.Set("code", code)
	if p := phone.post("/sync/join", join); p.Location != "/sync" {
		t.Fatalf("joining: %d %s", p.Code, errorsOf(p.Body))
	}
	phone.page("/sync").has("Exchange now", "none yet", "Nothing is on this phone only")
	if p := phone.post("/settings", url.Values{"key": {"s1"}, "welder": {"R. Hand"}}); p.Code != 303 {
		t.Fatal(p.Code)
	}
	phone.page("/due").has("1 entry is on this phone only.")
	steps := 0
	for {
		p := phone.post("/sync/step", url.Values{})
		if p.Code != 200 || strings.Contains(p.Body, "did not go through") {
			t.Fatalf("%d %s", p.Code, textOf(p.Body))
		}
		if steps++; !strings.Contains(p.Body, " data-more") {
			p.has("Done. Sent:", "Nothing is on this phone only: office has confirmed all of it.", "Last whole one")
			break
		}
		p.has("Go on")
	}
	if steps < 5 {
		t.Errorf("%d steps", steps)
	}
	phone.page("/?status=all").has("tipper", "Nothing is on this phone only")
	if p := host.page("/settings"); !strings.Contains(p.Body, "R. Hand") {
		t.Error("what the phone set did not reach the host")
	}
	host.send("/devices/name?id=phone-1", "name", "rig phone").has("rig phone")
	host.send("/devices/name?id=phone-1", "name", "truck phone")
	if p := host.try("/devices/name?id=phone-1", "name", ""); p.Code != 422 || errorsOf(p.Body) == "" {
		t.Errorf("a device without a name: %d", p.Code)
	}
	host.page("/devices").has("truck phone", "phone-1", "Last exchange", "Shut out")
	for _, part := range []string{"<html", "Machines"} {
		r := httptest.NewRequest("POST", "/sync/step", nil)
		r.Header.Set("HX-Request", "true")
		if p := phone.do(r); strings.Contains(p.Body, part) {
			t.Errorf("a piece for the script has %q", part)
		}
	}
	// shut out: said at once, with what to do
	if p := host.post("/devices/revoke", url.Values{"id": {attr(`<x`+regexp.MustCompile(`<input type="hidden" name="id"[^>]*>`).FindString(host.page("/devices/revoke?id=phone-1").Body), "value")}}); p.Location != "/devices" {
		t.Fatalf("%d", p.Code)
	}
	host.page("/devices").has("Shut out", "What it sent stays")
	phone.post("/sync/step", url.Values{}) // the end of the one that had begun
	phone.post("/sync/step", url.Values{}).has("It did not go through", "shut out at the host", "new code")
	phone.page("/sync").has("Nothing is lost")
	if p := host.get("/devices/revoke?id=phone-1"); p.Code != 404 {
		t.Errorf("shut out twice: %d", p.Code)
	}
	phone.page("/sync/leave").has("forgets office")
	if p := phone.post("/sync/leave", url.Values{}); p.Location != "/sync" {
		t.Errorf("%d", p.Code)
	}
	phone.page("/sync").has("Let this device in", "are on this phone only")
}

// The pages of a host without devices and without exchange are as before.
func TestNoExchange(t *testing.T) {
	d := newDesk(t)
	for _, path := range []string{"/devices", "/devices/code", "/sync"} {
		if p := d.get(path); p.Code != 404 {
			t.Errorf("%s: %d", path, p.Code)
		}
	}
	if p := d.page("/"); strings.Contains(p.Body, "/sync") || strings.Contains(p.Body, "/devices") {
		t.Error("there are links to it")
	}
}

// Every page of the exchange has neither inline script nor style, and says
// nothing that no page may say.
func TestExchangePagesAreWhole(t *testing.T) {
	host, phone, peers, client := pair(t)
	pages := map[string]*desk{"/devices": host, "/devices/code": host, "/devices/name?id=phone-1": host, "/sync": phone, "/sync/leave": phone}
	look := func(when string) {
		for path, d := range pages {
			p := d.page(path)
			for _, never := range []string{"<nil>", "%!", "ZgotmplZ", "{{", "synced", "guaranteed", " style=", "onclick=", "<script>", "<style"} {
				if strings.Contains(p.Body, never) {
					t.Errorf("%s %s says %q", when, path, never)
				}
			}
		}
	}
	look("before")
	c, err := peers.NewCode(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	look("with a code")
	if err := client.Join(t.Context(), client.Home, c.Text); err != nil {
		t.Fatal(err)
	}
	look("joined")
	host.now = host.now.Add(26 * time.Hour)
	if _, err := client.Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	look("after an exchange")
	phone.page("/sync").has("26 h 00 min behind", "The entries stay")
	host.page("/devices").has("Its clock is 26 h 00 min behind")
	if err := peers.Revoke(t.Context(), "phone-1"); err != nil {
		t.Fatal(err)
	}
	look("shut out")
}
