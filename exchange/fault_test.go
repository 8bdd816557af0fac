//go:build !js

package exchange_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// logs are what the office and the phone logged before they meet; made once, for
// planning takes its time.
type logs struct {
	entries []store.Entry
	files   [][]byte
}

func logsOf(t tester, p *place) logs {
	t.Helper()
	var l logs
	l.entries = since(t, p.st)
	infos, err := p.st.Blobs(context.Background())
	if err != nil {
		t.Fatalf("%v", err)
	}
	for _, i := range infos {
		data, err := p.st.Blob(context.Background(), i.Hash)
		if err != nil {
			t.Fatalf("%v", err)
		}
		l.files = append(l.files, data)
	}
	return l
}

func (l logs) store(t tester) store.Store {
	t.Helper()
	st := memory.New()
	if _, err := st.Receive(context.Background(), l.entries); err != nil {
		t.Fatalf("%v", err)
	}
	for _, f := range l.files {
		if _, err := st.PutBlob(context.Background(), f); err != nil {
			t.Fatalf("%v", err)
		}
	}
	return st
}

// meeting is an office and a phone that have logged a job each, and the way
// between them.
func meeting(t tester, here, mobile logs) (*office, *phone, *badWay) {
	t.Helper()
	o := officeOn(t, here.store(t))
	way := newBadWay(t, o.front.URL)
	p := phoneOn(t, "phone", mobile.store(t))
	p.client.HTTP = exchange.Over(&http.Client{Transport: &http.Transport{DisableKeepAlives: true}})
	p.client.Most = 8
	return o, p, way
}

func twoLogs(t *testing.T) (logs, logs) {
	t.Helper()
	o, p := newPlace(t, "office"), newPlace(t, "phone")
	o.filled(6, 2)
	p.filled(6, 2)
	return logsOf(t, o), logsOf(t, p)
}

// The exchange is broken off at each of its requests, in each way, and then
// finished: the same book, with every entry once.
func TestBrokenOffAtEachStep(t *testing.T) {
	officeLogs, phoneLogs := twoLogs(t)
	o, p, way := meeting(t, officeLogs, phoneLogs)
	if err := p.client.Join(t.Context(), way.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	before := [2]counts{{len(officeLogs.entries), len(officeLogs.files)}, {len(phoneLogs.entries), len(phoneLogs.files)}}
	p.run()
	same(t, o.place, p.place)
	whole, requests := o.counts(), way.seen
	o.front.Close()
	way.front.Close()
	want := p.shows("/record")
	t.Logf("office %+v, phone %+v before; %+v on both after %d requests:", before[0], before[1], whole, len(requests))
	for i, r := range requests {
		t.Logf("  %2d %s", i, r)
	}
	kinds := map[string]bool{}
	for _, r := range requests {
		kinds[strings.TrimRight(r, "0123456789abcdef")] = true
	}
	if len(kinds) < 7 {
		t.Fatalf("only %d kinds of request: %v", len(kinds), kinds)
	}
	for _, what := range wrongs {
		for at := range requests {
			if what == garbled && strings.HasSuffix(requests[at], "/pair") {
				continue // a wrong key is found out by the next request, and a new code is needed
			}
			t.Run(fmt.Sprintf("%s/%02d", what, at), func(t *testing.T) {
				o, p, way := meeting(t, officeLogs, phoneLogs)
				defer o.front.Close()
				defer way.front.Close()
				way.plan = func(n int, _ *http.Request) (wrong, int) {
					if n == at {
						return what, 40 + 7*at
					}
					return fine, 0
				}
				if what == delayed {
					p.client.Timeout = deviceWaits
				}
				code := o.code()
				if err := p.client.Join(t.Context(), way.front.URL, code); err != nil {
					if err := p.client.Join(t.Context(), way.front.URL, code); err != nil {
						t.Fatalf("joining again: %v", err)
					}
				}
				var broken error
				for steps := 0; ; steps++ {
					pr, err := p.client.Step(t.Context())
					if err != nil {
						var f *exchange.Failure
						if !errors.As(err, &f) || !f.Again() || broken != nil && what != delayed {
							t.Fatalf("%v after %v", err, broken)
						}
						broken = err
						t.Logf("%v; then office %+v, phone %+v", err, o.counts(), p.counts())
						if s := p.status(); int(s.Entries) < missingAt(t, p.place, o.place) || s.Failure == nil {
							t.Errorf("the phone says %+v, %d entries are missing at the office", s, missingAt(t, p.place, o.place))
						}
						p.again() // the program is started anew as well
						p.client.Most = 8
					}
					if pr.Done {
						break
					}
					if steps > 100 {
						t.Fatal("it never ends")
					}
				}
				if got := o.counts(); got != whole {
					t.Errorf("the office holds %+v, want %+v", got, whole)
				}
				if got := p.counts(); got != whole {
					t.Errorf("the phone holds %+v, want %+v", got, whole)
				}
				if s := p.status(); s.Entries != 0 || s.Files != 0 || s.Failure != nil {
					t.Errorf("at the end: %+v", s)
				}
				if p.shows("/record") != want || o.shows("/record") != want {
					t.Error("another book is shown")
				}
			})
		}
	}
}

// A way that does wrong to most requests, and cuts what is long, still lets
// everything through.
func TestBadLine(t *testing.T) {
	officeLogs, phoneLogs := twoLogs(t)
	rapid.Check(t, func(t *rapid.T) {
		o, p, way := meeting(t, officeLogs, phoneLogs)
		defer o.front.Close()
		defer way.front.Close()
		some := []wrong{lost, cutRequest, dropAnswer, cutAnswer, twice, later, badGateway, garbled} // delays would make it long
		type fate struct {
			what  wrong
			bytes int
		}
		fates := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) fate {
			if rapid.IntRange(0, 9).Draw(t, "luck") < 4 {
				return fate{}
			}
			return fate{rapid.SampledFrom(some).Draw(t, "wrong"), rapid.IntRange(0, 3000).Draw(t, "bytes")}
		}), 20, 60).Draw(t, "fates")
		way.plan = func(n int, r *http.Request) (wrong, int) {
			if n >= 5*len(fates) || strings.HasSuffix(r.URL.Path, "/pair") && fates[n%len(fates)].what == garbled {
				return fine, 0
			}
			f := fates[n%len(fates)]
			return f.what, f.bytes
		}
		code, ok := o.code(), false
		for range 60 {
			if err := p.client.Join(context.Background(), way.front.URL, code); err == nil {
				ok = true
				break
			}
		}
		if !ok {
			t.Fatalf("never joined")
		}
		tries := 0
		for ; tries < 400; tries++ {
			pr, err := p.client.Run(context.Background())
			if err == nil && pr.Done {
				break
			}
			var f *exchange.Failure
			if !errors.As(err, &f) || f.Reason == exchange.Forked || f.Reason == exchange.Replaced || f.Reason == exchange.NotToken {
				t.Fatalf("%v", err)
			}
		}
		if tries == 400 {
			_, err := p.client.Run(context.Background())
			t.Fatalf("never done: %v", err)
		}
		same(t, o.place, p.place)
	})
}

// Three devices work and exchange in any order, in pieces, over the protocol:
// all show the same jobs and the same pages.
func TestConvergence(t *testing.T) {
	base := newPlace(t, "base")
	job := base.filled(1, 1)
	made := logsOf(t, base)
	rapid.Check(t, func(t *rapid.T) {
		o := officeOn(t, made.store(t))
		defer o.front.Close()
		all := []*place{o.place}
		var phones []*phone
		for i := range 2 {
			p := phoneOn(t, fmt.Sprintf("phone-%d", i), memory.New())
			p.client.Most = rapid.IntRange(1, 9).Draw(t, "most")
			if err := p.client.Join(context.Background(), o.front.URL, o.code()); err != nil {
				t.Fatalf("%v", err)
			}
			p.run()
			phones, all = append(phones, p), append(all, p.place)
		}
		for _, p := range all {
			p.now = p.now.Add(time.Duration(rapid.IntRange(-90_000, 90_000).Draw(t, "skew")) * time.Second)
		}
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			p := rapid.SampledFrom(all).Draw(t, "who")
			p.try(something(t, p, job)) // a refusal is an answer too
			for range rapid.IntRange(0, 3).Draw(t, "exchange") {
				if _, err := rapid.SampledFrom(phones).Draw(t, "phone").client.Step(context.Background()); err != nil {
					t.Fatalf("%v", err)
				}
			}
		}
		for _, p := range append(phones, phones...) {
			p.run()
		}
		same(t, all...)
	})
}

// something draws a command that is never held up, or nearly never.
func something(t *rapid.T, p *place, job string) book.Command {
	mm := func() string { return fmt.Sprint(rapid.IntRange(150, 260).Draw(t, "mm"), " mm") }
	j, err := p.book.Job(context.Background(), job)
	if err != nil {
		t.Fatalf("%v", err)
	}
	switch rapid.IntRange(0, 8).Draw(t, "command") {
	case 0:
		return book.AddNote{Job: job, Text: "note " + mm()}
	case 1:
		return book.AddPhoto{Job: job, Data: picture(rapid.IntRange(0, 60).Draw(t, "picture")), Caption: "p"}
	case 2:
		return book.SetCustomer{ID: "c1", Set: map[string]string{"name": mm()}}
	case 3:
		return book.OpenTin{Job: job, Class: "E7018-H4R 3.2 mm"}
	case 4:
		return book.StartClock{Job: job, What: book.WaitClock, For: 600}
	case 5:
		if rapid.IntRange(0, 3).Draw(t, "rarely") == 0 { // planning takes its time
			return book.FoundMore{Job: job, Text: "longer", Set: map[string]string{"crack.length": mm()}}
		}
		return book.SetSettings{Set: map[string]string{"welder": mm()}}
	case 6:
		if len(j.Notes) > 0 {
			return book.Correct{Job: job, Of: rapid.SampledFrom(j.Notes).Draw(t, "note").Ref, Reason: "wrong", Void: true}
		}
	case 7:
		if c := j.OpenChange(); c != nil {
			return book.AcceptChange{Job: job, Yes: book.Yes{Name: "A. Lund", How: book.ByPhone}}
		}
	}
	return book.LogReading{Job: job, Reading: book.Reading{Temp: book.SI(temperature(rapid.IntRange(20, 300).Draw(t, "temp")))}}
}
