//go:build !js

package exchange_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	q "soundmetal/quantity"
	"soundmetal/store"
	"soundmetal/store/memory"
	"soundmetal/web"
)

var morning = time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)

// tester is what testing.T and rapid.T have in common.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

// place is a device with its book.
type place struct {
	tester
	id   string
	st   store.Store
	book *book.Book
	now  time.Time // what its clock reads
	keys int
}

func newPlace(t tester, id string) *place {
	t.Helper()
	return placeOn(t, id, memory.New())
}

func placeOn(t tester, id string, st store.Store) *place {
	t.Helper()
	b, err := book.Open(context.Background(), st, id, book.Options{})
	if err != nil {
		t.Fatalf("%v", err)
	}
	return &place{tester: t, id: id, st: st, book: b, now: morning}
}

// try carries out a command.
func (p *place) try(cmd book.Command) (book.Result, error) {
	p.now = p.now.Add(time.Minute)
	p.keys++
	return p.book.Do(context.Background(), p.now, fmt.Sprintf("%s-%d", p.id, p.keys), cmd)
}

func (p *place) do(cmd book.Command) book.Result {
	p.Helper()
	r, err := p.try(cmd)
	if err != nil {
		p.Fatalf("%s: %T: %v", p.id, cmd, err)
	}
	return r
}

// office is the host.
type office struct {
	*place
	peers  *exchange.Peers
	server *exchange.Server
	front  *httptest.Server
}

func newOffice(t tester) *office {
	t.Helper()
	return officeOn(t, memory.New())
}

func officeOn(t tester, st store.Store) *office {
	t.Helper()
	o := &office{place: placeOn(t, "office", st)}
	clock := func() time.Time { return o.now }
	o.peers = &exchange.Peers{Keep: &exchange.MemoryKeep{}, Own: o.id, Now: clock}
	o.server = &exchange.Server{Book: o.book, Peers: o.peers, Now: clock}
	o.front = httptest.NewServer(o.server.Handler())
	return o
}

// code makes a one-time code.
func (o *office) code() string {
	c, err := o.peers.NewCode(context.Background())
	if err != nil {
		o.Fatalf("%v", err)
	}
	return c.Text
}

// phone is a device with its client.
type phone struct {
	*place
	client *exchange.Client
	keep   *exchange.MemoryKeep
}

func phoneOn(t tester, id string, st store.Store) *phone {
	t.Helper()
	p := &phone{place: placeOn(t, id, st), keep: &exchange.MemoryKeep{}}
	p.again()
	return p
}

// again is the device started anew: what is in memory only is gone.
func (p *phone) again() {
	p.client = &exchange.Client{Book: p.book, Keep: p.keep, Name: "the " + p.id, Now: func() time.Time { return p.now },
		Wait: func(context.Context, time.Duration) error { return nil }}
}

// joined makes a device that the host has let in.
func (o *office) joined(id string) *phone {
	o.Helper()
	p := phoneOn(o.tester, id, memory.New())
	if err := p.client.Join(context.Background(), o.front.URL, o.code()); err != nil {
		o.Fatalf("%s: %v", id, err)
	}
	return p
}

// run exchanges until nothing is left.
func (p *phone) run() exchange.Progress {
	p.Helper()
	done, err := p.client.Run(context.Background())
	if err != nil {
		p.Fatalf("%s: %v", p.id, err)
	}
	return done
}

func (p *phone) status() exchange.Status {
	p.Helper()
	s, err := p.client.Status(context.Background())
	if err != nil {
		p.Fatalf("%v", err)
	}
	return s
}

// failed says that an error is a failure of the reason, whose sentence has the words.
func failed(t tester, err error, reason exchange.Reason, words ...string) {
	t.Helper()
	var f *exchange.Failure
	if !errors.As(err, &f) {
		t.Fatalf("got %v, want a failure %q", err, reason)
	}
	if f.Reason != reason {
		t.Fatalf("got %q: %s, want %q", f.Reason, f, reason)
	}
	for _, w := range words {
		if !strings.Contains(f.Error(), w) {
			t.Errorf("%q does not say %q", f.Error(), w)
		}
	}
}

// screen is a small job.
func screen() book.NewJob {
	return book.NewJob{Name: "screen side plate", Units: "si", MachineFields: map[string]string{"kind": "vibrating screen", "serial": "VS-2041"},
		CustomerFields: map[string]string{"name": "Coldwater Aggregates"},
		Set:            map[string]string{"site.air": "8 C", "site.steel": "8 C"},
		Items: []map[string]string{{"name": "side plate", "part": "side plate", "role": "structure", "shape": "plate", "thickness": "25 mm", "width": "600 mm",
			"crack.length": "150 mm", "crack.through": "yes", "crack.ends": "both", "access": "both", "position": "flat", "contains": "nothing", "behind": "nothing",
			"steel.grade": "S355J2", "steel.grade_by": "certificate", "history.welded": "no"}}}
}

// picture is a photo that no other has.
func picture(n int) []byte {
	img := image.NewRGBA(image.Rect(0, 0, 24, 16))
	for i := range 24 {
		img.Set(i, i%16, color.RGBA{uint8(n * 37), uint8(n >> 3), uint8(i * 9), 255})
		img.Set(i, (n+i)%16, color.RGBA{uint8(n), uint8(n * 11), 90, 255})
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		panic(err)
	}
	return append(out.Bytes(), []byte(nil)...)
}

// counts is what a book holds.
type counts struct{ Entries, Files int }

func (p *place) counts() counts {
	p.Helper()
	r, err := p.st.Verify(context.Background())
	if err != nil || !r.OK() {
		p.Fatalf("%s: %v %v", p.id, r, err)
	}
	return counts{int(r.Entries), r.Blobs}
}

// shows is all that a book shows: its jobs, and their pages.
func (p *place) shows(pages ...string) string {
	p.Helper()
	if pages == nil {
		pages = []string{"/record", "/log", ""}
	}
	ctx := context.Background()
	cards, _ := p.book.List(book.ListQuery{Limit: 1000})
	var out strings.Builder
	enc := json.NewEncoder(&out)
	h := web.Handler(web.Service{Book: p.book, Now: func() time.Time { return morning.Add(30 * time.Hour) }, Key: func() string { return "k" }})
	for _, c := range cards {
		j, err := p.book.Job(ctx, c.ID)
		if err != nil {
			p.Fatalf("%v", err)
		}
		if err := enc.Encode(j); err != nil {
			p.Fatalf("%v", err)
		}
		for _, page := range pages {
			w := httptest.NewRecorder()
			h.ServeHTTP(w, httptest.NewRequest("GET", "/jobs/"+c.ID+page, nil))
			if w.Code != http.StatusOK {
				p.Fatalf("%s%s: %d", c.ID, page, w.Code)
			}
			out.WriteString(w.Body.String())
		}
	}
	if err := enc.Encode([]any{cards, p.book.Registry().Customers()}); err != nil {
		p.Fatalf("%v", err)
	}
	return out.String()
}

// same says that all show the same, and hold the same.
func same(t tester, all ...*place) {
	t.Helper()
	want, n := all[0].shows(), all[0].counts()
	for _, p := range all[1:] {
		if got := p.counts(); got != n {
			t.Errorf("%s holds %+v, %s %+v", p.id, got, all[0].id, n)
		}
		if p.shows() != want {
			t.Errorf("%s shows another book than %s", p.id, all[0].id)
		}
	}
}

// filled logs a job with readings, notes and photos.
func (p *place) filled(notes, photos int) string {
	p.Helper()
	job := p.do(screen()).Job
	for i := range notes {
		p.do(book.AddNote{Job: job, Text: fmt.Sprintf("note %d of %s", i, p.id)})
	}
	for i := range photos {
		p.do(book.AddPhoto{Job: job, Data: picture(len(p.id)*1000 + i), Caption: fmt.Sprintf("photo %d of %s", i, p.id)})
	}
	p.do(book.LogReading{Job: job, Reading: book.Reading{Temp: book.SI(q.Temperature(120))}})
	return job
}

func temperature(c int) q.Temperature { return q.Temperature(c) }
