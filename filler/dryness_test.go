package filler

import (
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func TestDryness(t *testing.T) {
	hours := func(h float64) q.Maybe[q.Time] { return q.Known(q.Time(h) * q.Hour) }
	var unknown q.Maybe[q.Time]
	for _, c := range []struct {
		name      string
		class     string
		condition job.RodCondition
		opened    q.Maybe[q.Time]
		rebaked   bool
		qt        bool
		state     DryState
		hydrogen  float64
		baked     float64 // 0: no way out
	}{
		{"sealed", "7018-H4R", "sealed", unknown, false, false, Usable, 4, 0},
		{"sealed without a mark", "7018", "sealed", unknown, false, false, Usable, 16, 0},
		{"oven", "11018-M", "oven", unknown, false, false, Usable, 4, 0},
		{"within the limit", "7018-H4", "opened", hours(3.9), false, false, Usable, 4, 0},
		{"on the limit", "7018-H4", "opened", hours(4), false, false, Usable, 4, 0},
		{"past, within column B", "7018-H4", "opened", hours(6), false, false, Rebake, 16, 4},
		{"past, beyond column B", "7018-H4", "opened", hours(11), false, false, Rebake, 30, 4},
		{"past, no mark to lose", "7018", "opened", hours(6), false, false, Rebake, 30, 16},
		{"R mark lasts 9 h", "7018-H4R", "opened", hours(8), false, false, Usable, 4, 0},
		{"half on quenched plate", "7018-H4", "opened", hours(3), false, true, Rebake, 16, 4},
		{"strong rod, half an hour", "11018-M", "opened", hours(1), false, false, Rebake, 16, 4},
		{"nobody knows how long", "7018-H4", "opened", unknown, false, false, Rebake, 30, 4},
		{"condition unknown", "7018-H4", "", unknown, false, false, Rebake, 30, 4},
		{"baked once already", "7018-H4", "opened", hours(6), true, false, Scrap, 16, 0},
		{"baked once, still within", "7018-H4", "opened", hours(2), true, false, Usable, 4, 0},
		{"wet", "7018-H4R", "wet", hours(0), false, false, Scrap, 30, 0},
		{"cellulosic has no clock", "6010", "opened", hours(100), false, false, Usable, 30, 0},
		{"wet cellulosic", "6010", "wet", unknown, false, false, Scrap, 30, 0},
		{"stainless holds its hydrogen", "309L", "opened", hours(100), false, false, Usable, 0, 0},
	} {
		got, err := Dryness(DryIn{Rod: job.Rod{Class: c.class, Condition: c.condition, Opened: c.opened}, Rebaked: c.rebaked, OnQT: c.qt})
		if err != nil {
			t.Fatal(c.name, err)
		}
		v := got.Value
		if v.State != c.state || float64(v.Hydrogen.Or(0)) != c.hydrogen || float64(v.Baked.Or(0)) != c.baked {
			t.Errorf("%s: got %s, %v ml, %v ml when baked; want %s, %v ml, %v ml", c.name, v.State, v.Hydrogen.Or(0), v.Baked.Or(0), c.state, c.hydrogen, c.baked)
		}
		if v.Say == "" || got.Basis.Why == "" || got.Basis.Skip == "" {
			t.Errorf("%s: no sentence", c.name)
		}
	}
	if _, err := Dryness(DryIn{Rod: job.Rod{Class: "7018", Condition: "opened", Opened: hours(-1)}}); err == nil {
		t.Error("a time before opening was taken")
	}
}

func TestNoExposureNoBake(t *testing.T) {
	for _, class := range []string{"6010", "6013", "309L", "ER70S-6", "hardfacing"} {
		if got, err := Exposure(mustRead(t, class), false); err == nil {
			t.Errorf("%s: got an exposure of %v, want an error", class, got.Value)
		}
		if got, err := BakeRule(mustRead(t, class), false); err == nil {
			t.Errorf("%s: got a bake of %v, want an error", class, got.Value)
		}
	}
}
