package storetest

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"testing"

	"soundmetal/store"
)

// Logs makes the logs of two devices, each in a store of its own.
func Logs(t *testing.T, a Adapter) (phone, laptop []store.Entry) {
	t.Helper()
	own := a.New(t)
	phone = append(phone, add(t, own, Batch("phone", "p1", "j1", 2))...)
	phone = append(phone, add(t, own, Batch("phone", "p2", "j2", 2))...)
	s := a.New(t)
	laptop = append(laptop, add(t, s, Batch("laptop", "l1", "j1", 1))...)
	laptop = append(laptop, add(t, s, Batch("laptop", "l2", "", 2))...)
	return phone, laptop
}

func receiveUnion(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	want := append(slices.Clone(phone), laptop...)
	slices.SortFunc(want, func(x, y store.Entry) int { return x.Compare(&y) })
	for name, parts := range map[string][][]store.Entry{
		"one log, then the other": {phone, laptop},
		"in turns":                {laptop[:1], phone[:2], laptop[1:], phone[2:]},
		"overlapping":             {phone[:3], phone[1:], laptop, laptop, phone},
		"mixed in one call":       {{phone[0], laptop[0], phone[1], laptop[1], phone[2]}, {laptop[2], phone[3]}},
		"twice in one call":       {append(slices.Clone(phone), phone...), laptop},
	} {
		s := a.New(t)
		n := 0
		for _, p := range parts {
			fresh, err := s.Receive(t.Context(), p)
			ok(t, err)
			n += len(fresh)
		}
		if n != len(want) {
			t.Errorf("%s: %d entries were new, want %d", name, n, len(want))
		}
		same(t, name, all(t, s, store.Query{}), want)
	}
}

func receiveRefuses(t *testing.T, a Adapter) {
	phone, _ := Logs(t, a)
	forged := slices.Clone(phone)
	forged[1].Body = json.RawMessage(`{"text":"forged"}`)
	resealed := slices.Clone(forged) // with its own hash put right: the next entry does not follow it
	resealed[1].Hash = resealed[1].Sum()
	reordered := []store.Entry{phone[1], phone[0]}
	fork := slices.Clone(phone[:1])
	fork[0].Body = json.RawMessage(`{"text":"other"}`)
	fork[0].Hash = fork[0].Sum()
	back := slices.Clone(phone[:2])
	back[1].Clock = back[0].Clock
	back[1].Hash = back[1].Sum()
	malformed := slices.Clone(phone[:1])
	malformed[0].Kind = "No Kind"
	malformed[0].Hash = malformed[0].Sum()
	for _, c := range []struct {
		name   string
		have   []store.Entry
		send   []store.Entry
		device string
		seq    int64
		kind   store.FaultKind
	}{
		{"changed", nil, forged, "phone", 2, store.Damaged},
		{"changed and sealed again", nil, resealed, "phone", 3, store.Broken},
		{"in the wrong order", nil, reordered, "phone", 2, store.Gap},
		{"one left out", nil, []store.Entry{phone[0], phone[2]}, "phone", 3, store.Gap},
		{"begins in the middle", nil, phone[1:], "phone", 2, store.Gap},
		{"another entry at the same place", phone, fork, "phone", 1, store.Forked},
		{"clock not later", nil, back, "phone", 2, store.Broken},
		{"not an entry", nil, malformed, "phone", 1, store.Malformed},
	} {
		s := a.New(t)
		if c.have != nil {
			_, err := s.Receive(t.Context(), c.have)
			ok(t, err)
		}
		_, err := s.Receive(t.Context(), c.send)
		var f *store.Fault
		if !errors.As(err, &f) {
			t.Errorf("%s: %v, want a fault", c.name, err)
			continue
		}
		if f.Device != c.device || f.Seq != c.seq || f.Kind != c.kind {
			t.Errorf("%s: %s %d of %s, want %s %d of %s", c.name, f.Kind, f.Seq, f.Device, c.kind, c.seq, c.device)
		}
		same(t, c.name+": stored", len(all(t, s, store.Query{})), len(c.have))
	}
}

func receiveAllOrNothing(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	s := a.New(t)
	if _, err := s.Receive(t.Context(), append(slices.Clone(laptop), phone[1:]...)); err == nil {
		t.Error("a log with its beginning missing was taken")
	}
	if n := len(all(t, s, store.Query{})); n != 0 {
		t.Errorf("%d entries were stored of a refused call", n)
	}
}

func appendAfterReceive(t *testing.T, a Adapter) {
	phone, _ := Logs(t, a)
	s := a.New(t)
	_, err := s.Receive(t.Context(), phone)
	ok(t, err)
	more := add(t, s, Batch("phone", "p3", "j1", 1)) // the device's own log, brought back
	ok(t, more[0].Follows(phone[3].Head()))
	known, err := s.Append(t.Context(), Batch("laptop", "p1", "j1", 1))
	ok(t, err)
	if !known.Again {
		t.Error("the key of a received batch is not known")
	}
}

func sinceInParts(t *testing.T, a Adapter) {
	phone, laptop := Logs(t, a)
	s := a.New(t)
	_, err := s.Receive(t.Context(), append(slices.Clone(phone), laptop...))
	ok(t, err)
	for limit := 1; limit <= 8; limit++ {
		other, seen := a.New(t), store.Vector{}
		for {
			part, err := s.Since(t.Context(), seen, limit)
			ok(t, err)
			if len(part) == 0 {
				break
			}
			if len(part) > limit {
				t.Fatalf("%d entries, limit %d", len(part), limit)
			}
			if _, err := other.Receive(t.Context(), part); err != nil {
				t.Fatalf("limit %d: %v", limit, err)
			}
			for _, e := range part {
				seen[e.Device] = e.Seq
			}
		}
		same(t, fmt.Sprintf("limit %d", limit), all(t, other, store.Query{}), all(t, s, store.Query{}))
	}
}
