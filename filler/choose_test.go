package filler

import (
	"slices"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func base(g Group, mpa float64) Base {
	b := Base{Group: g}
	if mpa > 0 {
		b.Yield = q.Known(q.Stress(mpa) * q.Megapascal)
	}
	return b
}

// everything on the truck, sealed and marked where that is usual
func truck(classes ...string) []job.Rod {
	var all []job.Rod
	for _, c := range classes {
		all = append(all, job.Rod{Class: c, Size: 3.2 * q.Millimetre, Condition: "sealed"})
	}
	return all
}

var full = truck("6010", "6013", "7018-H4R", "8018-C3 H4R", "11018-M", "309L", "312", "18 8 Mn", "EFeMn-A", "nickel 99", "hard facing", "ER70S-6", "ENiCrFe-3")

// The first row of each case: rules of the facts 7.1 (matching, undermatching),
// 7.4 (austenitic rods) and 6.3 (special steels); read for matching in tension
// and fillets in shear, common practice for the rest.
func TestCandidatesBest(t *testing.T) {
	for _, c := range []struct {
		name     string
		need     Need
		best     string
		strategy Strategy
	}{
		{"S355 plate, groove in tension", Need{Steels: []Base{base(Structural, 355)}, Weld: GrooveTension}, "E7018", Match},
		{"A572-65, groove in tension", Need{Steels: []Base{base(Structural, 450)}, Weld: GrooveTension}, "E8018-C3", Match},
		{"A514, groove in tension", Need{Steels: []Base{base(Quenched, 690)}, Weld: GrooveTension}, "E11018-M", Match},
		{"A514, fillet in shear", Need{Steels: []Base{base(Quenched, 690)}, Weld: FilletShear}, "E7018", Undermatch},
		{"A514, root run", Need{Steels: []Base{base(Quenched, 690)}, Weld: Root}, "E7018", Undermatch},
		{"S355 or A514, nobody knows: groove", Need{Steels: []Base{base(Structural, 355), base(Quenched, 690)}, Weld: GrooveTension}, "E11018-M", Match},
		{"S355 or A514, nobody knows: fillet", Need{Steels: []Base{base(Structural, 355), base(Quenched, 690)}, Weld: FilletShear}, "E7018", Undermatch},
		{"400 HB wear plate", Need{Steels: []Base{base(Wear, 1000)}, Weld: GrooveTension}, "E7018", Undermatch},
		{"400 HB wear plate under blows", Need{Steels: []Base{base(Wear, 1000)}, Weld: GrooveTension, Impact: job.Yes}, "18 8 Mn", "austenitic"},
		{"600 HB wear plate", Need{Steels: []Base{base(Wear, 1200)}, Weld: FilletShear}, "18 8 Mn", "austenitic"},
		{"A514 lug on S355: the weaker side counts", Need{Steels: []Base{base(Structural, 355)}, Other: []Base{base(Quenched, 690)}, Weld: GrooveTension}, "E7018", Match},
		{"manganese steel to itself", Need{Steels: []Base{base(MnSteel, 350)}, Weld: GrooveTension, Position: job.Flat}, "EFeMn-A", "manganese"},
		{"manganese steel to carbon steel", Need{Steels: []Base{base(MnSteel, 350)}, Other: []Base{base(Structural, 250)}, Weld: GrooveTension, Position: job.Flat}, "EFeMn-A", "manganese"},
		{"manganese steel overhead", Need{Steels: []Base{base(MnSteel, 350)}, Weld: GrooveTension, Position: job.Overhead}, "18 8 Mn", "austenitic"},
		{"butter the carbon side against manganese steel", Need{Steels: []Base{base(Wear, 1000)}, Other: []Base{base(MnSteel, 350)}, Weld: Butter}, "18 8 Mn", "austenitic"},
		{"1045 shaft", Need{Steels: []Base{base(Bar, 530)}, Weld: GrooveTension}, "E7018", Undermatch},
		{"stainless", Need{Steels: []Base{base(Stainless, 205)}, Weld: GrooveTension}, "E309L", "austenitic"},
		{"hot service", Need{Steels: []Base{base(Structural, 250)}, Other: []Base{base(Stainless, 205)}, Weld: GrooveTension, Service: q.Known(q.Temperature(350))}, "ENiCrFe-3", "nickel"},
		{"steel of no family", Need{Steels: []Base{base(Unlisted, 0)}, Weld: GrooveTension}, "E7018", Undermatch},
		{"leaded steel", Need{Steels: []Base{base(FreeMachining, 0)}, Weld: FilletShear}, "E7018", Match},
	} {
		c.need.Rods = full
		got, err := Candidates(c.need)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if len(got.Value.Use) == 0 {
			t.Errorf("%s: nothing on the truck is used", c.name)
			continue
		}
		first := got.Value.Use[0]
		if first.Class.ID != c.best || first.Strategy != c.strategy {
			t.Errorf("%s: got %s (%s) first, want %s (%s)", c.name, first.Class.ID, first.Strategy, c.best, c.strategy)
		}
		if len(first.Reasons) == 0 || got.Basis.Why == "" || len(got.Value.Want) == 0 {
			t.Errorf("%s: no reasons or nothing wanted", c.name)
		}
	}
}

// The "don't" rules, each with the words that must reach the welder.
func TestCandidatesNever(t *testing.T) {
	for _, c := range []struct {
		name, class, says string
		need              Need
	}{
		{"cellulosic on A514", "6010", "hydrogen", Need{Steels: []Base{base(Quenched, 690)}, Weld: Root}},
		{"rutile on a casting", "6013", "hydrogen", Need{Steels: []Base{base(SteelCasting, 345)}, Weld: FilletShear}},
		{"nickel rod on steel", "nickel 99", "cast iron", Need{Steels: []Base{base(Structural, 250)}, Weld: FilletShear}},
		{"hard-facing to join", "hardfacing", "not for joining", Need{Steels: []Base{base(Structural, 250)}, Weld: FilletShear}},
		{"carbon rod on manganese steel", "7018-H4R", "martensite", Need{Steels: []Base{base(MnSteel, 350)}, Weld: FilletShear}},
		{"carbon rod on the carbon side of a manganese joint", "7018-H4R", "martensite", Need{Steels: []Base{base(Structural, 250)}, Other: []Base{base(MnSteel, 350)}, Weld: FilletShear}},
		{"manganese rod without manganese steel", "EFeMn-A", "manganese steel", Need{Steels: []Base{base(Structural, 250)}, Weld: FilletShear, Position: job.Flat}},
		{"312 in hot service", "312", "300 °C", Need{Steels: []Base{base(Structural, 250)}, Weld: FilletShear, Service: q.Known(q.Temperature(320))}},
		{"gas wire in the wind", "ER70S-6", "wind", Need{Steels: []Base{base(Structural, 250)}, Weld: FilletShear, Wind: q.Known(20 * q.KilometrePerHour)}},
		{"cast iron", "7018-H4R", "cast iron", Need{Steels: []Base{base(Iron, 0)}, Weld: FilletShear}},
		{"manganese rod overhead", "EFeMn-A", "overhead", Need{Steels: []Base{base(MnSteel, 350)}, Weld: FilletShear, Position: job.Overhead}},
		{"carbon rod on stainless", "7018", "stainless", Need{Steels: []Base{base(Stainless, 205)}, Weld: FilletShear}},
		{"unmarked rod where H8 is asked", "7018", "H16", Need{Steels: []Base{base(Structural, 355)}, Weld: FilletShear, Hydrogen: q.Known(q.Hydrogen(8))}},
	} {
		c.need.Rods = truck(c.class)
		got, err := Candidates(c.need)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if len(got.Value.Use) != 0 || len(got.Value.Never) != 1 {
			t.Errorf("%s: got %+v in use", c.name, got.Value.Use)
			continue
		}
		var said []string
		for _, r := range got.Value.Never[0].Reasons {
			said = append(said, r.Text)
		}
		if !strings.Contains(strings.Join(said, "; "), c.says) {
			t.Errorf("%s: got reasons %q, want them to say %q", c.name, said, c.says)
		}
	}
}

func TestCandidatesTins(t *testing.T) {
	need := Need{Steels: []Base{base(Quenched, 690)}, Weld: FilletShear, Hydrogen: q.Known(q.Hydrogen(5)), Position: job.Vertical, Rods: []job.Rod{
		{Class: "7018-H4R", Size: 4.8 * q.Millimetre, Condition: "sealed"},                               // too thick
		{Class: "7018-H4R", Size: 3.2 * q.Millimetre, Condition: "opened", Opened: q.Known(20 * q.Hour)}, // to bake
		{Class: "7018-H4R", Size: 3.2 * q.Millimetre, Condition: "wet"},                                  // scrap
		{Class: "7018-H4R", Size: 3.2 * q.Millimetre, Condition: "sealed"},                               // good
		{Class: "7081", Size: 3.2 * q.Millimetre},                                                        // not a class
		{Class: "7018-H4R", Size: 3.2 * q.Millimetre, Condition: "opened", Opened: q.Known(20 * q.Hour)}, // baked once
	}, Rebaked: []bool{false, false, false, false, false, true}}
	got, err := Candidates(need)
	if err != nil {
		t.Fatal(err)
	}
	var use, never []int
	for _, c := range got.Value.Use {
		use = append(use, c.Rod)
	}
	for _, c := range got.Value.Never {
		never = append(never, c.Rod)
	}
	slices.Sort(never)
	if !slices.Equal(use, []int{3, 1}) || !slices.Equal(never, []int{0, 2, 5}) {
		t.Errorf("got use %v, never %v; want use 3 then 1, never 0, 2 and 5", use, never)
	}
	if !strings.Contains(strings.Join(got.Basis.Notes, " "), "7081") {
		t.Errorf("the unreadable tin is not mentioned: %q", got.Basis.Notes)
	}

	need.Oven = job.No // no bake to be had: the plan's hydrogen cannot be met
	got, err = Candidates(need)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Value.Use) != 1 || got.Value.Use[0].Rod != 3 {
		t.Errorf("without an oven: got %d usable tins, want the sealed one only", len(got.Value.Use))
	}
}

func TestCandidatesShortAndAsk(t *testing.T) {
	need := Need{Steels: []Base{base(Structural, 355), base(Quenched, 690)}, Weld: GrooveTension, Rods: truck("7018-H4R")}
	got, err := Candidates(need)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Value.Short || got.Value.Want[0].Class.ID != "E11018-M" {
		t.Errorf("short %v, wanted %s first; want short of E11018-M", got.Value.Short, got.Value.Want[0].Class.ID)
	}
	if !strings.Contains(got.Value.Ask, "hardness") {
		t.Errorf("the steels want different rods and nothing is asked: %q", got.Value.Ask)
	}
	need.Steels = need.Steels[:1]
	if got, err = Candidates(need); err != nil || got.Value.Short || got.Value.Ask != "" {
		t.Errorf("one steel: got short %v, ask %q (%v); want neither", got.Value.Short, got.Value.Ask, err)
	}
}

func TestCandidatesRefuses(t *testing.T) {
	for name, need := range map[string]Need{
		"no steel":  {Weld: Root},
		"bad group": {Steels: []Base{{Group: "unobtainium"}}, Weld: Root},
		"bad weld":  {Steels: []Base{base(Structural, 0)}, Weld: "spot"},
	} {
		if _, err := Candidates(need); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func TestDepositCETRefuses(t *testing.T) {
	for _, class := range []string{"309L", "EFeMn-A", "nickel 99", "hardfacing"} {
		if got, err := DepositCET(mustRead(t, class)); err == nil {
			t.Errorf("%s: got a CET of %v", class, got.Value)
		}
	}
}
