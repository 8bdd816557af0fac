//go:build !js

package web

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/job"
)

// askedAnew are the facts that no later job takes over: the damage, the day, and
// what people's safety hangs on.
var askedAnew = []string{"version", "units", "job", "made", "wanted.", "customer.authority", "site.air", "site.steel", "site.wind", "site.wet", "site.shelter", "site.alone", "site.fire_ban",
	"site.combustibles", "site.water", "site.confined_space", "site.at_height", "site.power_lines", "site.permit", "site.insured", "machine.hours", "machine.blocked", "machine.can_move",
	"name", "depth", "crack.", "position", "can_turn", "restraint", "loaded", "history.", "cause.", "contains", "approval"}

// Every fact of the job file is either taken over or asked anew.
func TestEveryFactIsTakenOverOrAskedAnew(t *testing.T) {
	taken := slices.Concat(ofMachine, ofCustomer, ofPart)
	all := append(slices.Clone(jobPaths()), itemPaths()...)
	for _, path := range all {
		anew := slices.ContainsFunc(askedAnew, func(a string) bool { return a == path || strings.HasSuffix(a, ".") && strings.HasPrefix(path, a) })
		if anew == slices.Contains(taken, path) {
			t.Errorf("%s: taken over %v, asked anew %v", path, !anew, anew)
		}
	}
	for _, path := range taken {
		if !slices.Contains(all, path) {
			t.Errorf("%s is no fact", path)
		}
	}
}

func TestSameAsLastJob(t *testing.T) {
	d := newDesk(t)
	d.send("/new", "units", "us", "j.machine.kind", "loader", "j.machine.serial", "L 77", "j.machine.lifts_people", "no", "j.machine.hours", "4000", "i.part", "left arm", "i.thickness", "5/8", "i.crack.length", "5",
		"i.contains", "nothing", "i.role", "structure", "j.site.where", "gate 3, call first", "j.site.rules", "quarry", "j.site.fire_ban", "no", "c.name", "Low Quarry", "c.phone", "555 01")
	old := d.jobNamed("loader")
	d.send("/jobs/"+old.ID+"/facts/"+old.Places[0].ID, "i.steel.magnet", "strong", "i.steel.surface", "rolled", "i.access", "both")
	d.send("/jobs/"+old.ID+"/facts/machine", "j.machine.accumulator", "yes")
	old = d.jobNamed("loader")
	d.now = d.now.Add(20 * 24 * time.Hour)

	d.page("/new").has("Was the machine here before?", "Loader, L 77", "Low Quarry")
	d.page("/new?who=low+quarry").has("Loader, L 77")
	d.page("/new?who=nobody").has("Nothing in the book is called so")
	d.page("/machines/" + old.Machine).has("New call, as known")
	d.page("/customers/" + old.Customer).has("New call, as known")

	p := d.page("/new?t.machine=" + old.Machine)
	p.has("Taken over from Loader, left arm", "Taken over from loader, left arm, 2 Mar 2026.", "The same part as then? Left arm")
	v := formValues(p.Body, "/new")
	for name, want := range map[string]string{"units": "us", "j.machine.kind": "loader", "j.machine.serial": "L 77", "j.machine.lifts_people": "no", "j.machine.accumulator": "yes", "j.site.where": "gate 3, call first", "c.name": "Low Quarry", "c.phone": "555 01",
		"j.machine.hours": "", "i.part": "", "i.crack.length": "", "i.contains": "", "j.site.fire_ban": ""} {
		if got := v.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	path := "/new?t.machine=" + old.Machine + "&t.part=" + old.ID + "." + old.Places[0].ID
	v = formValues(d.page(path).Body, path)
	for name, want := range map[string]string{"i.part": "left arm", "i.thickness": "5/8", "i.role": "structure", "i.steel.magnet": "strong", "i.steel.surface": "rolled", "i.access": "both", "i.crack.length": "", "i.contains": ""} {
		if got := v.Get(name); got != want {
			t.Errorf("the same part: %s: %q, want %q", name, got, want)
		}
	}
	// units that are changed would change a bare number
	if p := d.try(path, "units", "si", "i.crack.length", "60 mm"); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "write its unit") {
		t.Errorf("a bare number in other units: %d %s", p.Code, errorsOf(p.Body))
	}
	d.send(path, "i.crack.length", "3", "j.site.where", "gate 5", "i.steel.surface", "unknown").has("May I touch it?", "This machine was here before")
	cards := d.book.OnMachine(old.Machine)
	if len(cards) != 2 {
		t.Fatalf("%d jobs on the machine, want 2", len(cards))
	}
	id := cards[0].ID
	if id == old.ID {
		id = cards[1].ID
	}
	j, err := d.book.Job(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	if j.Customer != old.Customer || len(d.book.Registry().Customers()) != 1 {
		t.Errorf("customer %q, want %q", j.Customer, old.Customer)
	}
	for path, want := range map[string]bool{"machine.kind": true, "machine.accumulator": true, "site.rules": true, "site.where": false, "site.fire_ban": false, "units": false} {
		if got := j.Facts.Taken[path].Job == old.ID; got != want {
			t.Errorf("%s taken over: %v, want %v", path, got, want)
		}
	}
	it := j.Facts.Items[0]
	if it.Taken["steel.magnet"].Job != old.ID || it.Taken["crack.length"].Job != "" || it.Set["steel.surface"] != "" || it.Set["history.welded"] != "" {
		t.Errorf("the place: %v %v", it.Set, it.Taken)
	}
	d.page("/jobs/" + id + "/facts/machine").has("Taken over from loader, left arm, 2 Mar 2026.")
	d.page("/jobs/" + id + "/facts/" + it.ID).has("Taken over from loader, left arm, 2 Mar 2026.")
	d.page("/jobs/" + id + "/log").has("taken over in part from: loader, left arm")
	// a change makes it his own
	d.send("/jobs/"+id+"/facts/machine", "j.machine.accumulator", "no")
	if j, _ = d.book.Job(t.Context(), id); j.Facts.Taken["machine.accumulator"].Job != "" || j.Facts.Taken["machine.kind"].Job != old.ID {
		t.Errorf("after a change: %v", j.Facts.Taken)
	}
	for _, bad := range []string{"/new?t.machine=mnone", "/new?t.customer=cnone", "/new?t.part=jnone.i1", "/new?t.part=" + old.ID + ".inone"} {
		if p := d.get(bad); p.Code != 404 {
			t.Errorf("%s: %d", bad, p.Code)
		}
	}
	if _, err := d.book.Do(t.Context(), d.now, "from-nowhere", book.NewJob{Name: "x", Units: job.SI, Taken: []book.Taken{{Job: "jnone", Paths: []string{"site.where"}}}}); err == nil {
		t.Error("taken over from a job that is not there")
	}
}

func TestSameAsLastBead(t *testing.T) {
	d := newDesk(t)
	j := everyKind(t, d)
	at := "/jobs/" + j.ID
	path := at + "/bead"
	v := formValues(d.page(path).has("As for bead 1").Body, path)
	for name, want := range map[string]string{"rods": "2.5", "amps": "120", "tin": j.Tins[1].Is.ID, "number": "2", "length": ""} {
		if got := v.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
