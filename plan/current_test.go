package plan_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/power"
	q "soundmetal/quantity"
)

// plate is a plain job on a machine, with a part of it under the arc.
func plate(kind, part, name string) job.Job {
	return job.Job{Machine: job.Machine{Kind: kind, LiftsPeople: job.No, HangsLoad: job.No, OnRoad: job.No, Blocked: job.Yes},
		Site: job.Site{FireBan: job.No, ConfinedSpace: job.No, Wet: job.Dry},
		Items: []job.Item{{Name: name, Part: part, Role: job.Structure, Shape: job.Plate, Thickness: q.Known(20 * q.Millimetre), Contains: "nothing",
			Crack: job.Crack{Length: q.Known(120 * q.Millimetre), Through: job.Yes, Ends: "both"}, Access: job.BothSides,
			Steel: job.Evidence{Grade: "S355", GradeBy: "drawing", Magnet: "strong", File: "bites"}}}}
}

// The machine is found by the words of its kind, and the part by its own.
func TestWhichMachineAndPart(t *testing.T) {
	for _, c := range []struct{ kind, part, name, machine, arc string }{
		{"vibrating screen", "side plate, beside the deck cross tube", "", "quarry-screen", "box"},
		{"Screens", "Motor stool gusset", "", "quarry-screen", "skid"},
		{"mobile screen", "side plate", "", "", ""}, // not the one on a skid
		{"wind screen wiper", "frame", "", "", ""},  // a longer phrase hides the shorter
		{"forestry carrier with front blade", "blade arm lower plate", "right blade arm", "forestry-carrier", "arm-right"},
		{"crawler dozer", "push arm", "left", "forestry-carrier", "arm-left"},
		{"crawler dozer", "push arm", "", "forestry-carrier", "arm-left"}, // the side is not said
		{"crawler dozer", "blade rib near the push arm", "", "forestry-carrier", "blade"},
		{"tipper truck", "third cross member", "", "tipper", "body"},
		{"tipper", "tailgate hinge ear", "", "tipper", "tailgate"},
		{"tipper", "chassis rail", "", "tipper", "chassis"},
		{"wheel loader", "bucket lip", "", "wheeled-loader", "bucket"},
		{"wheel loader", "lift arm cross tube", "", "wheeled-loader", "arms"},
		{"skid steer loader", "lift arm", "", "", ""},
		{"tracked dumper", "dump body hinge plate", "", "tracked-carrier", "dump"},
		{"tracked dumper", "plate", "turning frame, right", "tracked-carrier", "upper"}, // by the name where the part does not say
		{"tracked dumper", "bracket", "bracket", "", ""},
		{"", "side plate", "", "", ""},
	} {
		p, err := plan.Make(plate(c.kind, c.part, c.name), nil, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		it := p.Items[0]
		switch {
		case !it.Planned:
			t.Errorf("%s, %s: not planned: %+v", c.kind, c.part, it.Touch.Findings)
		case c.machine == "" && it.Current != nil:
			t.Errorf("%s, %s: taken for %s, arc on %s", c.kind, c.part, it.Current.Machine, it.Current.Arc)
		case c.machine != "" && (it.Current == nil || it.Current.Machine != c.machine || it.Current.Arc != c.arc):
			t.Errorf("%s, %s: got %+v, want %s, arc on %s", c.kind, c.part, it.Current, c.machine, c.arc)
		}
		if it.Current != nil && (!it.Current.Clamps[0].OnPart || it.Current.Draws != 1) {
			t.Errorf("%s: first clamp %+v, %d draws", c.kind, it.Current.Clamps[0], it.Current.Draws)
		}
	}
}

// The words of the job file are those of the power room.
func TestContactWords(t *testing.T) {
	var kinds []string
	for _, w := range job.ContactKind("").Words() {
		kinds = append(kinds, w.Value)
	}
	for _, k := range power.Kinds() {
		if !strings.HasPrefix(k.ID, "clamp-") && !slices.Contains(kinds, k.ID) {
			t.Errorf("a job file cannot say %s", k.ID)
		}
	}
	for _, k := range kinds {
		if k != string(job.Open) && !slices.ContainsFunc(power.Kinds(), func(p power.Kind) bool { return p.ID == k }) {
			t.Errorf("the power room has no kind %s", k)
		}
	}
	for _, w := range job.DrawnMachine("").Words() {
		if _, err := power.Machine(w.Value); err != nil && w.Value != string(job.NoDrawing) {
			t.Error(err)
		}
	}
	if n := len(job.DrawnMachine("").Words()); n != len(power.Machines())+1 {
		t.Errorf("%d machines drawn, %d words", len(power.Machines()), n)
	}
}

// The job's contacts take the place of what is drawn between two parts, add
// parts, and open a way.
func TestOwnContacts(t *testing.T) {
	current := func(change func(*job.Machine)) *plan.Current {
		t.Helper()
		j := plate("tipper", "body cross member", "")
		change(&j.Machine)
		p, err := plan.Make(j, nil, q.SI)
		if err != nil || p.Items[0].Current == nil {
			t.Fatalf("no current: %v", err)
		}
		return p.Items[0].Current
	}
	names := func(c *plan.Current) (all []string) {
		for _, l := range c.Contacts {
			all = append(all, l.Name)
		}
		return all
	}
	strap := job.Contact{From: "Tipping-Body", To: "chassis rails", Kind: "strap", Name: "my braid", Ohm: q.Known(0.5 * q.Milliohm)}
	c := current(func(m *job.Machine) { m.Contacts = []job.Contact{strap} })
	if all := names(c); slices.Contains(all, "left tipping hinge") || !slices.Contains(all, "my braid") || !slices.Contains(all, "rear springs") {
		t.Errorf("replaced: %v", all)
	}
	c = current(func(m *job.Machine) {
		m.Contacts = []job.Contact{{From: "body", To: "controllers", Kind: job.Open}, {From: "body", To: "side extension", Kind: "bolted"}}
	})
	if all := names(c); slices.Contains(all, "body-up switch harness") || !slices.Contains(all, "bolts between body and side extension") {
		t.Errorf("opened and added: %v", all)
	}
	if i := slices.IndexFunc(c.Clamps, func(p plan.Clamp) bool { return p.Name == "side extension" }); i < 0 || len(c.Clamps[i].Through) > 0 {
		t.Errorf("a bolted part is a good place for the clamp: %+v", c.Clamps)
	}
	c = current(func(m *job.Machine) { m.Kind, m.Like = "contraption", "tipper" })
	if c.Machine != "tipper" {
		t.Errorf("like: got %s", c.Machine)
	}
	c = current(func(m *job.Machine) {
		m.Like, m.Contacts = job.NoDrawing, []job.Contact{{From: "body", To: "frame", Kind: "pin-greased"}, {From: "frame", To: "hub", Kind: "tyre"}}
	})
	if c.Machine != "own" || len(c.Bodies) != 3 || !c.Clamps[2].NoWay {
		t.Errorf("only the job's own: %+v", c)
	}
}

// Random contacts: with one draw of the resistances all current of the arc leaves
// the part and comes in at the clamp, and no contact carries more than that.
func TestWayLaws(t *testing.T) {
	kinds := []job.ContactKind{"steel", "bolted", "pin-greased", "bearing-still", "spring", "lug"} // conduct in every draw
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "parts")
		name := func(i int) string { return fmt.Sprintf("part %c", 'a'+i) }
		j := plate("contraption", name(0), "")
		j.Machine.Like = job.NoDrawing
		contact := func(a, b int) {
			c := job.Contact{From: name(a), To: name(b), Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Name: fmt.Sprint("contact ", len(j.Machine.Contacts))}
			if rapid.Bool().Draw(t, "measured") {
				c.Ohm = q.Known(q.Resistance(math.Pow(10, rapid.Float64Range(-5, 0).Draw(t, "log ohm"))))
			}
			j.Machine.Contacts = append(j.Machine.Contacts, c)
		}
		for i := 1; i < n; i++ {
			contact(rapid.IntRange(0, i-1).Draw(t, "on"), i)
		}
		for range rapid.IntRange(0, 6).Draw(t, "more") {
			a, b := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
			if a != b {
				contact(a, b)
			}
		}
		clamp := name(rapid.IntRange(1, n-1).Draw(t, "clamp"))
		a, err := plan.Rig(j, nil, q.SI, plan.RigAsk{Clamps: []string{clamp}, Draws: power.Draws{Count: 1}})
		if err != nil {
			t.Fatal(err)
		}
		c := a.Currents[0].Current
		at := map[string]float64{}
		for i, x := range c.Compared[0].Through {
			if x.Median > c.Amps*(1+1e-9) {
				t.Fatalf("%s carries %v A of %v", x.Contact, x.Median, c.Amps)
			}
			at[c.Contacts[i].From] += float64(x.Median)
			at[c.Contacts[i].To] += float64(x.Median)
		}
		for _, end := range []string{c.Arc, c.Compared[0].Clamp} {
			if diff := at[end] - float64(c.Amps); math.Abs(diff) > 1e-6*float64(c.Amps) {
				t.Fatalf("%v A at %s, want %v, difference %g", at[end], end, c.Amps, diff)
			}
		}
		if !c.Clamps[0].OnPart {
			t.Fatalf("the part itself is not the best place: %+v", c.Clamps[0])
		}
	})
}
