//go:build !js

package web

import (
	"net/url"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"soundmetal/book"
)

// everyKind logs an entry of every kind that may be corrected, the follow-up but
// last: it needs the closed job.
func everyKind(t testing.TB, d *desk) *book.Job {
	t.Helper()
	d.send("/new", "units", "si", "j.machine.kind", "stone crusher", "i.part", "frame rail", "i.crack.length", "120", "i.thickness", "20", "i.shape", "plate", "i.crack.through", "no",
		"i.crack.ends", "both", "j.machine.lifts_people", "no", "j.machine.hangs_load", "no", "j.machine.on_road", "no", "i.role", "structure", "i.contains", "nothing", "j.site.fire_ban", "no")
	j := d.jobNamed("crusher")
	at, place := "/jobs/"+j.ID, j.Places[0].ID
	now := func() *book.Job { return d.jobNamed("crusher") }
	for _, s := range j.Steps {
		if s.Section == "safe" && s.Item == "" {
			d.send(at+"/step?step="+url.QueryEscape(s.ID), "note", "by hand", "ago", "3 min")
			break
		}
	}
	for _, h := range j.Holds {
		if h.Section == "safe" || h.Section == "steel" {
			d.send(at+"/hold?hold="+url.QueryEscape(h.ID), "says", "yes", "by", "R. Hand", "how", "meter")
		}
	}
	d.send(at+"/gouge", "length", "150 mm", "depth", "0.8 in", "carbons", "2.5", "side", "1", "note", "clean")
	d.send(at+"/look", "stage", "gone", "method", "pt", "result", "clear", "by", "R. Hand", "note", "both ends")
	d.send(at+"/hold?hold="+url.QueryEscape(place+"/cut-proof"), "says", "yes", "how", "dye")
	d.send(at+"/tin", "class", "E7018-H4R 1/8", "lot", "17 b", "from", "oven")
	d.send(at+"/tin", "class", "E7018", "size", "4", "lot", "18", "from", "sealed", "ago", "20 min")
	d.send(at+"/tin-away?tin="+now().Tins[0].Is.ID, "into", "oven")
	d.send(at+"/reading", "temp", "350 F", "place", "left end", "distance", "75", "far_face", "yes", "tool", "contact")
	d.send(at+"/reading", "crayon", "175 C", "melted", "yes", "bead", "1")
	d.send(at+"/hold?hold="+url.QueryEscape(place+"/heat-hold"), "says", "yes", "how", "meter")
	d.send(at+"/bead", "temp", "175 C", "rods", "2.5", "length", "10 in", "amps", "120", "begun", "5 min", "ago", "1 min", "tin", now().Tins[1].Is.ID, "note", "first")
	d.send(at+"/post-heat", "temp", "200 C", "from", "1 h", "to", "10 min")
	if up := d.upload(at+"/photo", "photo", "x.jpg", jpegOf(t, 8, 8), "caption", "the groove", "item", place); up.Code != 303 {
		t.Fatal(errorsOf(up.Body))
	}
	d.send(at+"/note", "text", "two lines\nof it", "item", place)
	d.send(at+"/clock", "what", "check-in", "for", "45 min", "call", "the yard", "label", "alone")
	clock := now().Clocks[0].ID
	d.send(at + "/check-in?clock=" + clock)
	d.send(at+"/clock-stop?clock="+clock, "note", "not alone any more")
	d.send(at+"/reading", "temp", "25 C", "bead", "2")
	d.send(at+"/clear?deviation="+now().OpenDeviations()[0].ID, "done", "heated again")
	d.send(at+"/found", "item", place, "text", "it runs on", "i.crack.length", "200 mm")
	return now()
}

// Every kind of entry that the format lets be corrected has a link in the log, a
// form filled as it was written, and a correction that changes nothing but what
// was typed.
func TestEveryKindIsCorrected(t *testing.T) {
	want := map[book.Kind]bool{}
	for _, k := range book.Correctable() {
		want[k] = true
		if _, ok := corrections[k]; !ok {
			t.Errorf("no form corrects %s", k)
		}
	}
	for k := range corrections {
		if !want[k] {
			t.Errorf("%s is not corrected by the book", k)
		}
	}
	d := newDesk(t)
	j := everyKind(t, d)
	seen := map[book.Kind]bool{}
	check := func(line book.Line) {
		path := "/jobs/" + j.ID + "/correct?of=" + line.Ref.String()
		log := d.page("/jobs/"+j.ID+"/log").Body + d.page("/jobs/"+j.ID+"/log?from=50").Body
		if !strings.Contains(log, path) {
			t.Errorf("%s: the log has no way to its correction", line.Kind)
		}
		before := line.Body()
		d.now = d.now.Add(3 * time.Minute)
		p := d.try(path, "reason", "looked again")
		if p.Code != 303 {
			t.Errorf("%s %+v: %d %s", line.Kind, before, p.Code, errorsOf(p.Body))
			return
		}
		d.page(p.Location)
		now, err := d.book.Job(t.Context(), j.ID)
		if err != nil {
			t.Fatal(err)
		}
		after := now.Find(line.Ref)
		if diff := cmp.Diff(before, after.Body()); diff != "" || !after.Corrected() {
			t.Errorf("%s: corrected without a change it is another (-was +is):\n%s", line.Kind, diff)
		}
		if p := d.try(path, "reason", ""); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "why it is corrected") {
			t.Errorf("%s: corrected without a reason: %d %s", line.Kind, p.Code, errorsOf(p.Body))
		}
		seen[line.Kind] = true
	}
	for _, line := range j.Log {
		if want[line.Kind] {
			check(line)
		}
	}
	// taken back and put back
	for _, line := range j.Log {
		if !want[line.Kind] || line.Kind == book.KindDamage || line.Kind == book.KindTin {
			continue
		}
		at := "/jobs/" + j.ID
		d.send(at+"/void?of="+line.Ref.String(), "reason", "a slip")
		d.page(at + "/log").has("taken back: a slip")
		if p := d.try(at+"/correct?of="+line.Ref.String(), "reason", "it was right"); p.Code != 303 && line.Kind != book.KindHold {
			t.Errorf("%s: put back: %d %s", line.Kind, p.Code, errorsOf(p.Body))
		}
	}

	d2 := newDesk(t) // the follow-up of a closed job
	c := closedJob(t, d2)
	d2.now = d2.now.Add(48 * time.Hour)
	d2.send("/jobs/"+c.ID+"/follow-up?look="+c.FollowUps[0].ID, "result", "held", "hours", "40", "note", "no crack")
	c = d2.jobNamed("bracket")
	d, j = d2, c
	check(c.Log[len(c.Log)-1])
	for k := range want {
		if !seen[k] {
			t.Errorf("no entry of the kind %s was corrected", k)
		}
	}
}

// closedJob is a job that was closed without a weld.
func closedJob(t testing.TB, d *desk) *book.Job {
	t.Helper()
	d.send("/new", "j.machine.kind", "press", "i.part", "bracket", "i.thickness", "12 mm", "i.crack.length", "40 mm")
	at := "/jobs/" + d.jobNamed("bracket").ID
	d.send(at+"/close", "by", "R. Hand", "done", "bolted", "not_examined", "the root", "what1", "the bracket", "hours1", "8")
	return d.jobNamed("bracket")
}

func TestTinIsCorrected(t *testing.T) {
	d := newDesk(t)
	j := everyKind(t, d)
	at := "/jobs/" + j.ID
	tin := func() book.Tin { return d.jobNamed("crusher").Tins[1] }
	path := at + "/correct?of=" + tin().Ref.String()
	table := *tin().Is.Limit
	d.send(path, "class", "E7018-H4R", "size", "3.2 mm", "lot", "19", "from", "oven", "reason", "read the wrong tin").has("corrected: read the wrong tin")
	is := tin().Is
	if is.Class != "E7018 H4R" || is.Size.As != "3.2 mm" || is.Lot != "19" || is.From != book.FromOven || is.ID != j.Tins[1].Is.ID || !is.When.Equal(j.Tins[1].Is.When) {
		t.Errorf("the tin is %+v", is)
	}
	if *is.Limit == table {
		t.Error("the time in the air is still that of the class before")
	}
	byTable := *is.Limit
	d.send(path, "limit", "2 h", "reason", "the tin was dented")
	if is = tin().Is; is.Limit.Hours() != 2 || !strings.Contains(is.Basis, "the tin was dented") {
		t.Errorf("limit %v, basis %q", is.Limit, is.Basis)
	}
	if due := tin().Due; due == nil || due.Sub(is.When) != 2*time.Hour {
		t.Errorf("the clock of the rods runs until %v", due)
	}
	d.send(path, "limit", "", "reason", "not dented")
	if got := *tin().Is.Limit; got != byTable {
		t.Errorf("limit %v, want that of the table, %v", got, byTable)
	}
	if p := d.try(path, "class", "nonsense", "reason", "x"); p.Code != 422 {
		t.Errorf("a class that does not exist: %d", p.Code)
	}
}

// A correction needs the proof that a new answer needs, and is about the same thing.
func TestCorrectionIsNoWayAround(t *testing.T) {
	d := newDesk(t)
	j := everyKind(t, d)
	at, place := "/jobs/"+j.ID, j.Places[0].ID
	d.send(at+"/refuse", "name", "A. Grey")
	d.send(at+"/reading", "temp", "180 C")
	for _, h := range d.jobNamed("crusher").OpenHolds(place) {
		if h.Name() == book.HoldFinalLook {
			break
		}
		d.send(at+"/hold?hold="+url.QueryEscape(h.ID), "says", "yes", "how", "dye")
	}
	d.send(at+"/hold?hold="+url.QueryEscape(place+"/after-hold"), "says", "no")
	hold := d.jobNamed("crusher").Hold(place + "/after-hold")
	ref := hold.Answers[len(hold.Answers)-1].Ref.String()
	if p := d.try(at+"/correct?of="+ref, "says", "yes", "reason", "a slip"); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "delay") {
		t.Errorf("a final look before its time, by correction: %d %s", p.Code, errorsOf(p.Body))
	}
	for _, line := range j.Log {
		if line.Kind == book.KindOpened || line.Kind == book.KindPlan {
			if p := d.get(at + "/correct?of=" + line.Ref.String()); p.Code != 409 {
				t.Errorf("%s: %d", line.Kind, p.Code)
			}
		}
		if _, ok := line.Body().(book.TinOpened); ok {
			other := line.Body().(book.TinOpened)
			other.ID = "tother"
			_, err := d.book.Do(t.Context(), d.now, "other-"+line.Ref.String(), book.Correct{Job: j.ID, Of: line.Ref, Reason: "x", Body: other})
			if err == nil || !strings.Contains(err.Error(), "same thing") {
				t.Errorf("another tin by correction: %v", err)
			}
		}
	}
	if !reflect.DeepEqual(j.Log[0].Body(), d.jobNamed("crusher").Log[0].Body()) {
		t.Error("the opening was changed")
	}
}
