package power

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// P6 as a machine: known resistances leave no spread, so the shares are the hand-computed ones.
func TestSharesKnown(t *testing.T) {
	fixed := func(m float64) q.Maybe[q.Of[q.Resistance]] { return q.Known(q.At(q.Resistance(m) * q.Milliohm)) }
	n := Network{ID: "test", Title: "pin beside a cylinder", Bodies: []Body{{ID: "arm"}, {ID: "frame"}}, Contacts: []Contact{
		{A: "arm", B: "frame", Kind: "pin-dry", Name: "pin", R: fixed(0.5)}, {A: "arm", B: "frame", Kind: "cylinder", Name: "cylinder", R: fixed(5)}}}
	got, err := Shares(n, "arm", "frame", 250, Draws{Count: 20})
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{227.27, 22.73} {
		s := got.Value[k]
		check(t, s.Contact.Name, float64(s.Median), want, 0.001)
		if s.Amps.High-s.Amps.Low > 1e-9 || !s.Flagged {
			t.Errorf("%s: spread %v, flagged %v; want none, true", s.Contact.Name, s.Amps, s.Flagged)
		}
	}
}

// With every contact at the middle of its range a pin of 0.1 to 1 mΩ lies beside a
// cylinder of 1 to 100 mΩ: √0.1 against 10 mΩ, 242.3 and 7.7 A of 250 by hand.
func TestSharesMiddle(t *testing.T) {
	n := Network{ID: "test", Title: "pin beside a cylinder", Bodies: []Body{{ID: "arm"}, {ID: "frame"}}, Contacts: []Contact{
		{A: "arm", B: "frame", Kind: "pin-dry", Name: "pin"}, {A: "arm", B: "frame", Kind: "cylinder", Name: "cylinder"}, {A: "arm", B: "frame", Kind: "bush-polymer", Name: "bush"}}}
	got, err := Shares(n, "arm", "frame", 250, Draws{Middle: true})
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{242.34, 7.663, 0} {
		s := got.Value[k]
		check(t, s.Contact.Name, float64(s.Median), want, 0.001)
		if s.Amps.Low != s.Amps.High {
			t.Errorf("%s: spread %v from one solution", s.Contact.Name, s.Amps)
		}
	}
}

// A bolted joint may carry the current: it is never flagged.
func TestUnguardedIsNotFlagged(t *testing.T) {
	n := Network{ID: "test", Title: "bolted", Bodies: []Body{{ID: "a"}, {ID: "b"}}, Contacts: []Contact{{A: "a", B: "b", Kind: "bolted", Name: "bolts"}}}
	got, err := Shares(n, "a", "b", 250, Draws{Count: 20})
	if err != nil {
		t.Fatal(err)
	}
	if s := got.Value[0]; s.Flagged || s.Guard != "" || math.Abs(float64(s.Median)-250) > 1e-9 {
		t.Errorf("got %+v, want 250 A and no flag", s)
	}
}

// Same input, same answer; the seed changes the draws but not the picture.
func TestSharesRepeat(t *testing.T) {
	n, err := Machine("wheeled-loader")
	if err != nil {
		t.Fatal(err)
	}
	run := func(seed uint64) []Share {
		got, err := Shares(n, "bucket", "rear", 200, Draws{Count: 200, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		return got.Value
	}
	if diff := cmp.Diff(run(7), run(7)); diff != "" {
		t.Errorf("two runs differ: %s", diff)
	}
	a, b := run(7), run(8)
	if a[0].Median == b[0].Median {
		t.Error("the seed does not reach the draws")
	}
	for _, x := range a {
		for _, y := range b {
			if diff := float64(x.Median - y.Median); x.Contact == y.Contact && (diff > 30 || diff < -30) {
				t.Errorf("%s: median %v with seed 7, %v with seed 8", x.Contact.Name, x.Median, y.Median)
			}
		}
	}
}

// For every machine and every arc: the clamp on the part itself is first and
// nothing is flagged there; the current of no contact passes the arc's.
func TestClampOnThePart(t *testing.T) {
	for _, n := range Machines() {
		for _, part := range n.Bodies {
			got, err := RankClamps(n, part.ID, nil, 200, Draws{Count: 60})
			if err != nil {
				t.Fatal(n.ID, part.ID, err)
			}
			first := got.Value.Places[0]
			if first.Body.ID != part.ID || len(first.Flagged) != 0 || first.Worst.Amps.High != 0 {
				t.Errorf("%s, arc on %s: first place %s, flagged %d", n.ID, part.ID, first.Body.ID, len(first.Flagged))
			}
			if len(got.Value.Places) != len(n.Bodies) {
				t.Errorf("%s: %d places for %d bodies", n.ID, len(got.Value.Places), len(n.Bodies))
			}
			for _, p := range got.Value.Places {
				if p.Worst.Amps.High > 200*(1+1e-9) {
					t.Errorf("%s: %s carries %v A of 200", n.ID, p.Worst.Contact.Name, p.Worst.Amps.High)
				}
				if p.Say == "" {
					t.Errorf("%s: no sentence for %s", n.ID, p.Body.ID)
				}
			}
		}
	}
}

func TestClampSentence(t *testing.T) {
	n, err := Machine("tracked-carrier")
	if err != nil {
		t.Fatal(err)
	}
	got, err := RankClamps(n, "lower", []string{"upper", "track"}, 180, Draws{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Value.Places[0].Body.ID != "track" {
		t.Errorf("first: got %s, want the track frame bolted to the lower frame", got.Value.Places[0].Body.ID)
	}
	for _, want := range []string{"Clamp on the track frame", "Not on the turning frame", "slew ring"} {
		if !strings.Contains(got.Value.Say, want) {
			t.Errorf("%q does not say %q", got.Value.Say, want)
		}
	}
	// only bad places: it says so and sends him to the part
	got, err = RankClamps(n, "dump", []string{"lower", "track"}, 180, Draws{})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(got.Value.Say, "too much") || !strings.Contains(got.Value.Say, "dump body itself") {
		t.Errorf("only bad places: %q", got.Value.Say)
	}
}

// The warning names a place where people clamp, and of several as bad the first.
func TestBad(t *testing.T) {
	for _, c := range []struct{ machine, arc, want string }{
		{"tipper", "chassis", "tailgate"}, {"quarry-screen", "box", "skid"}, {"wheeled-loader", "bucket", "rear"},
	} {
		n, err := Machine(c.machine)
		if err != nil {
			t.Fatal(err)
		}
		got, err := RankClamps(n, c.arc, nil, 200, Draws{})
		if err != nil {
			t.Fatal(err)
		}
		bad, ok := got.Value.Bad()
		if !ok || bad.Body.ID != c.want || !strings.Contains(got.Value.Say, "Not on the "+bad.Body.Name) {
			t.Errorf("%s, arc on %s: got %s (%v), want %s; says %q", c.machine, c.arc, bad.Body.ID, ok, c.want, got.Value.Say)
		}
	}
	n := Network{ID: "test", Title: "a rod only", Bodies: []Body{{ID: "a", Name: "arm"}, {ID: "b", Name: "rod"}}, Contacts: []Contact{{A: "a", B: "b", Kind: "cylinder", Name: "cylinder"}}}
	got, err := RankClamps(n, "a", nil, 100, Draws{Count: 20})
	if err != nil {
		t.Fatal(err)
	}
	if bad, ok := got.Value.Bad(); ok {
		t.Errorf("nobody clamps on a rod, got a warning of the %s", bad.Body.Name)
	}
}

func TestNoWay(t *testing.T) {
	n := Network{ID: "test", Title: "plastic bush", Bodies: []Body{{ID: "a", Name: "lid"}, {ID: "b", Name: "frame"}}, Contacts: []Contact{{A: "a", B: "b", Kind: "bush-polymer", Name: "bush"}}}
	got, err := RankClamps(n, "a", []string{"b"}, 100, Draws{Count: 10})
	if err != nil {
		t.Fatal(err)
	}
	if !got.Value.Places[0].NoWay || !strings.Contains(got.Value.Say, "lid itself") {
		t.Errorf("got %+v", got.Value)
	}
	// a place without a way comes after a bad one that works
	n.Bodies = append(n.Bodies, Body{ID: "c", Name: "hub"})
	n.Contacts = append(n.Contacts, Contact{A: "a", B: "c", Kind: "bearing-still", Name: "bearing"})
	if got, err = RankClamps(n, "a", []string{"b", "c"}, 100, Draws{Count: 10}); err != nil || got.Value.Places[0].Body.ID != "c" {
		t.Errorf("first place: got %+v (%v), want the hub", got.Value.Places, err)
	}
	if _, err := Shares(n, "a", "b", 100, Draws{Count: 10}); err == nil || !strings.Contains(err.Error(), "no way") {
		t.Errorf("shares without a way: %v", err)
	}
}

func TestNetworkRefuses(t *testing.T) {
	good, err := Machine("tipper")
	if err != nil {
		t.Fatal(err)
	}
	bad := func(f func(*Network)) Network {
		n := good
		n.Contacts, n.Bodies = slices.Clone(good.Contacts), slices.Clone(good.Bodies)
		f(&n)
		return n
	}
	for name, run := range map[string]func() error{
		"unknown arc":   func() error { _, err := Shares(good, "moon", "cab", 100, Draws{}); return err },
		"unknown clamp": func() error { _, err := RankClamps(good, "body", []string{"moon"}, 100, Draws{}); return err },
		"no current":    func() error { _, err := Shares(good, "body", "cab", 0, Draws{}); return err },
		"many draws":    func() error { _, err := Shares(good, "body", "cab", 100, Draws{Count: 1e9}); return err },
		"unknown kind": func() error {
			_, err := Shares(bad(func(n *Network) { n.Contacts[0].Kind = "glue" }), "body", "cab", 100, Draws{})
			return err
		},
		"loop": func() error {
			_, err := Shares(bad(func(n *Network) { n.Contacts[0].B = n.Contacts[0].A }), "body", "cab", 100, Draws{})
			return err
		},
		"body twice": func() error {
			_, err := Shares(bad(func(n *Network) { n.Bodies[1] = n.Bodies[0] }), "body", "cab", 100, Draws{})
			return err
		},
		"zero ohm": func() error {
			_, err := Shares(bad(func(n *Network) { n.Contacts[0].R = q.Known(q.Of[q.Resistance]{}) }), "body", "cab", 100, Draws{})
			return err
		},
	} {
		if err := run(); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if _, err := Machine("moon buggy"); err == nil {
		t.Error("an unknown machine was found")
	}
}

// What comes out of Machines is a copy.
func TestMachinesAreCopies(t *testing.T) {
	a := Machines()
	a[0].Bodies[0].Name, a[0].Contacts[0].Name = "x", "x"
	if b := Machines(); b[0].Bodies[0].Name == "x" || b[0].Contacts[0].Name == "x" {
		t.Error("a caller can change the machines")
	}
}

// Every row names a known source and status, and every machine is in one piece
// with a drawing place for each body.
func TestTables(t *testing.T) {
	for _, table := range []struct{ name, text string }{
		{"cables.csv", cablesCSV}, {"cable_pick.csv", cablePickCSV}, {"figures.csv", figuresCSV}, {"limits.csv", limitsCSV}, {"engine_fuels.csv", engineFuelsCSV},
		{"gases.csv", gasesCSV}, {"lpg.csv", lpgCSV}, {"resistances.csv", resistancesCSV}, {"machines.csv", machinesCSV}, {"bodies.csv", bodiesCSV},
		{"contacts.csv", contactsCSV}, {"shock.csv", shockCSV}, {"sayings.csv", sayingsCSV}, {"oxy_shade.csv", oxyShadeCSV},
	} {
		for _, r := range source.Table(table.name, table.text) {
			r.Ref()
		}
	}
	if len(Machines()) < 5 {
		t.Errorf("%d machines, want the five of the brief", len(Machines()))
	}
	for _, n := range Machines() {
		joined := map[string]bool{n.Bodies[0].ID: true}
		for range n.Bodies {
			for _, c := range n.Contacts {
				if joined[c.A] || joined[c.B] {
					joined[c.A], joined[c.B] = true, true
				}
			}
		}
		places := map[[2]float64]string{}
		for _, b := range n.Bodies {
			if !joined[b.ID] {
				t.Errorf("%s: %s hangs on nothing", n.ID, b.ID)
			}
			if b.X < 0 || b.X > 100 || b.Y < 0 || b.Y > 100 || b.Name == "" {
				t.Errorf("%s: %s has no name or lies outside the drawing", n.ID, b.ID)
			}
			if other, taken := places[[2]float64{b.X, b.Y}]; taken {
				t.Errorf("%s: %s and %s lie on one spot", n.ID, b.ID, other)
			}
			places[[2]float64{b.X, b.Y}] = b.ID
		}
	}
	for _, topic := range []string{"two-machines", "shock", "return", "lpg", "acetylene"} {
		if len(sayings[topic]) == 0 {
			t.Errorf("no saying for %s", topic)
		}
	}
}
