package conduct

import (
	"context"
	"errors"
	"strings"
	"testing"

	q "soundmetal/quantity"
)

func TestCancelAndProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	calls, last := 0, q.Time(-1)
	_, err := Run(ctx, repair12(), Options{Level: Coarse, Progress: func(p Progress) {
		calls++
		if p.Time <= last {
			t.Errorf("progress goes back: %v after %v", p.Time, last)
		}
		last = p.Time
		if calls == 3 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want cancelled", err)
	}
	if calls != 3 {
		t.Errorf("%d calls of progress, want to stop after 3", calls)
	}
}

func TestTooLargeIsRefusedWithItsSize(t *testing.T) {
	_, err := Run(context.Background(), repair12(), Options{Along: 0.2e-3, Across: 0.2e-3, Through: 0.2e-3})
	var large *TooLarge
	if !errors.As(err, &large) {
		t.Fatalf("got %v, want a refusal", err)
	}
	if !strings.Contains(err.Error(), "cells") || large.NX*large.NY*large.NZ <= large.Limit {
		t.Errorf("refusal without its size: %v (%+v)", err, large)
	}
}

// What is wrong with a case is said before anything is computed.
func TestWrongCases(t *testing.T) {
	for _, r := range []struct {
		name   string
		change func(*Case)
		want   string
	}{
		{"no steel", func(c *Case) { c.Body.Solid = nil }, "no steel"},
		{"flat block", func(c *Case) { c.Body.Solid[0].High.Z = 0 }, "no extent along z"},
		{"probe in the air", func(c *Case) { c.Probes[0].At.Z = 1 }, "no steel at"},
		{"probe twice", func(c *Case) { c.Probes[1].Name = c.Probes[0].Name }, "name of its own"},
		{"unknown probe", func(c *Case) { c.Events = []Event{Wait{Until: Until{For: 1, Probes: []string{"x"}}}} }, "no probe"},
		{"no end", func(c *Case) { c.Events = []Event{Wait{}} }, "longest time"},
		{"no temperature", func(c *Case) {
			c.Events = []Event{Wait{Until: Until{For: 1, Probes: []string{"root"}}}}
		}, "no temperature"},
		{"cold torch", func(c *Case) { c.Events = []Event{Torch{Path: []Point{{}}, Until: Until{For: 1}}} }, "gross power"},
		{"efficiency", func(c *Case) {
			c.Events = []Event{Torch{Path: []Point{{}}, Power: 1, Efficiency: 1.2, Until: Until{For: 1}}}
		}, "efficiency"},
		{"bead of no length", func(c *Case) { c.Events = []Event{Bead{Power: 1, Speed: 1}} }, "apart"},
		{"bead in the air", func(c *Case) {
			c.Events = []Event{Bead{From: MM(-20, 0, 400), To: MM(20, 0, 400), Power: 1000, Speed: 1e-3}}
		}, "burns in the air"},
		{"event by pointer", func(c *Case) { c.Events = []Event{&Wait{}} }, "by value"},
		{"wind", func(c *Case) { c.Env.Wind = -1 }, "wind"},
		{"floor above ceiling", func(c *Case) {
			c.Events = []Event{Bead{From: MM(-20, 0, 3), To: MM(20, 0, 3), Power: 1000, Speed: 1e-3,
				Hold: &Hold{Floor: q.Known[q.Temperature](200), Ceiling: q.Known[q.Temperature](150)}}}
		}, "not below the ceiling"},
	} {
		c := repair12()
		r.change(&c)
		if _, err := Run(context.Background(), c, Options{Level: Coarse}); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("%s: got error %v, want one with %q", r.name, err, r.want)
		}
	}
}
