//go:build !js

package exchange_test

import (
	"context"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
)

// Two phones and a laptop on one job, with photos: the same record on all three.
func TestThreeOnOneJob(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	job := o.filled(2, 1)
	a, b := o.joined("phone-a"), o.joined("phone-b")
	if s := a.status(); !s.Joined || s.Entries != 0 || s.Host != "office" {
		t.Errorf("after joining: %+v", s)
	}
	a.run()
	b.run()
	a.do(book.AddNote{Job: job, Text: "from a"})
	a.do(book.AddPhoto{Job: job, Data: picture(1), Caption: "a"})
	b.do(book.AddPhoto{Job: job, Data: picture(2), Caption: "b"})
	o.do(book.AddNote{Job: job, Text: "from the office"})
	if s := a.status(); s.Entries != 2 || s.Files != 1 {
		t.Errorf("only on a: %d entries, %d files; want 2 and 1", s.Entries, s.Files)
	}
	a.run()
	b.run()
	if s := a.status(); s.Entries != 0 || s.Files != 0 || s.Success.IsZero() || s.Failure != nil {
		t.Errorf("after the exchange: %+v", s)
	}
	a.run()
	same(t, o.place, a.place, b.place)
	if n := o.counts().Files; n < 4 { // 3 photos and the plan
		t.Errorf("%d files at the office", n)
	}
	peers, err := o.peers.List(t.Context())
	if err != nil || len(peers) != 2 || peers[0].Name != "the phone-a" || peers[0].Seen.IsZero() || peers[0].Entries != int64(o.book.Mark()) {
		t.Errorf("the list of devices: %+v %v", peers, err)
	}
	if n := b.book.Registry().DeviceName("phone-a"); n != "the phone-a" {
		t.Errorf("phone-a is called %q on phone-b", n)
	}
}

// A phone that lost the end of its log, from an old copy, gets it back before it
// logs anything else.
func TestLostEndComesBack(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	p := o.joined("phone")
	job := p.filled(4, 1)
	p.run()
	heads := p.counts()
	cutOff := phoneOn(t, "phone", storeOf(t, p.st, 3))
	cutOff.keep, cutOff.now = p.keep, p.now.Add(time.Hour)
	cutOff.again()
	cutOff.run()
	if got := cutOff.counts(); got != heads {
		t.Errorf("it holds %+v, want %+v", got, heads)
	}
	cutOff.keys = 100
	cutOff.do(book.AddNote{Job: job, Text: "and on"})
	cutOff.run()
	same(t, o.place, cutOff.place)
}

// The program is started anew between any two steps: nothing is lost, nothing
// is counted that the host has not confirmed.
func TestStartedAnewBetweenSteps(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	o.filled(7, 2)
	p := o.joined("phone")
	p.filled(9, 2)
	p.client.Most = 3
	steps := 0
	for last := p.status(); ; steps++ {
		pr, err := p.client.Step(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		s := p.status()
		if s.Entries > last.Entries {
			t.Fatalf("step %d: %d entries only here, %d before", steps, s.Entries, last.Entries)
		}
		missing := missingAt(t, p.place, o.place)
		if int(s.Entries) < missing {
			t.Fatalf("step %d: says %d entries are only here, %d are", steps, s.Entries, missing)
		}
		if pr.Done {
			break
		}
		if last = s; steps%5 == 4 { // comparing and asking come first each time
			p.again()
			p.client.Most = 3
		}
		if steps > 200 {
			t.Fatal("it never ends")
		}
	}
	t.Logf("%d steps", steps)
	same(t, o.place, p.place)
}

// A clock that is a day off is said on both sides, and the entries stay.
func TestClockSkew(t *testing.T) {
	for name, skew := range map[string]time.Duration{"a day behind": -24 * time.Hour, "a day ahead": 24 * time.Hour, "a minute": time.Minute} {
		o := newOffice(t)
		o.filled(1, 0)
		p := o.joined("phone")
		p.now = o.now.Add(skew)
		p.filled(2, 1)
		p.run()
		want := p.now.Sub(o.now)
		if want.Abs() <= exchange.SkewLimit {
			want = 0
		}
		if s := p.status(); s.Skew != want || s.Entries != 0 {
			t.Errorf("%s: the phone says %v, want %v; %d entries only here", name, s.Skew, want, s.Entries)
		}
		peers, err := o.peers.List(context.Background())
		if err != nil || peers[0].Skew != want {
			t.Errorf("%s: the host says %v, want %v", name, peers[0].Skew, want)
		}
		same(t, o.place, p.place)
		o.front.Close()
	}
}

// Leaving keeps the book, and counts its entries as only here again.
func TestLeave(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	p := o.joined("phone")
	p.filled(1, 0)
	p.run()
	if err := p.client.Leave(t.Context()); err != nil {
		t.Fatal(err)
	}
	if s := p.status(); s.Joined || s.Entries != int64(p.book.Mark()) {
		t.Errorf("after leaving: %+v", s)
	}
	_, err := p.client.Step(t.Context())
	failed(t, err, exchange.NotJoined)
	if err := p.client.Join(t.Context(), o.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	p.run()
	same(t, o.place, p.place)
}
