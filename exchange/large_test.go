//go:build !js

package exchange_test

import (
	"context"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// manyEntries logs n entries on one device over days: 20 jobs with readings,
// beads and notes, as batches of forms.
func manyEntries(t tester, st store.Store, device string, n int) {
	t.Helper()
	base := newPlace(t, device)
	first := base.do(screen()).Job
	seed := since(t, base.st)
	if _, err := st.Receive(context.Background(), seed); err != nil {
		t.Fatalf("%v", err)
	}
	opened := seed[len(seed)-1]
	for i := len(seed); i < n; i++ {
		job, kind := first, "note.added"
		var body any = book.Note{Text: fmt.Sprintf("note %d with the words that somebody with gloves on would say into it", i)}
		if i%20 != 0 {
			job = fmt.Sprintf("j%d", i%20)
		}
		if i%3 == 0 {
			kind, body = "reading", map[string]any{"item": "i1", "temp": map[string]any{"si": 100 + i%90, "as": "x"}, "when": morning}
		}
		data, err := json.Marshal(body)
		if err != nil {
			t.Fatalf("%v", err)
		}
		drafts := []store.Draft{{Kind: kind, Job: job, Body: data}}
		if i == len(seed) {
			for k := 1; k < 20; k++ {
				drafts = append(drafts, store.Draft{Kind: "job.opened", Job: fmt.Sprintf("j%d", k), Body: json.RawMessage(fmt.Sprintf(`{"name":"job %d","units":"si"}`, k))})
			}
			i += 19
		}
		if _, err := st.Append(context.Background(), store.Batch{Device: device, Key: fmt.Sprintf("%s-form-%d", device, i), Now: opened.Clock.Time().Add(time.Duration(i) * 12 * time.Second), After: store.Anywhere, Drafts: drafts}); err != nil {
			t.Fatalf("%v", err)
		}
	}
}

const many = 20_000

// Days offline and 20,000 entries: all of them go over, in parts, each way, and
// a device that comes new gets them all.
func TestManyEntries(t *testing.T) {
	if testing.Short() {
		t.Skip("20,000 entries")
	}
	st := memory.New()
	manyEntries(t, st, "phone", many)
	o := newOffice(t)
	defer o.front.Close()
	p := phoneOn(t, "phone", st)
	if err := p.client.Join(t.Context(), o.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	if s := p.status(); s.Entries != many {
		t.Fatalf("%d entries only here, want %d", s.Entries, many)
	}
	steps := 0
	for {
		pr, err := p.client.Step(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if steps++; pr.Done {
			break
		}
	}
	second := o.joined("second")
	got := second.run()
	t.Logf("%d steps to send, %d entries fetched by another device", steps, got.Fetched)
	if steps > many/exchange.PartEntries+10 || got.Fetched < many {
		t.Errorf("%d steps, %d fetched", steps, got.Fetched)
	}
	if a, b := o.counts(), second.counts(); a.Entries < many || b != a {
		t.Errorf("the office holds %+v, the new device %+v", a, b)
	}
	if s := p.status(); s.Entries != 0 {
		t.Errorf("%d entries only on the phone", s.Entries)
	}
}
