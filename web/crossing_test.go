//go:build !js

package web

import (
	"net/url"
	"strings"
	"testing"
	"time"
)

// An answer from a page that is no longer true is not taken in silence: another
// answered meanwhile, or the plan has changed.
func TestAnswersThatCross(t *testing.T) {
	d := demoDesk(t)
	j := d.jobNamed("quarry")
	at := "/jobs/" + j.ID
	h := j.Holds[0]
	path := at + "/hold?hold=" + url.QueryEscape(h.ID)
	old := formValues(d.page(path).Body, path)
	old.Set("says", "yes")
	old.Set("note", "from the old page")

	d.send(path, "says", "no", "note", "not yet")
	p := d.post(at+"/hold", old)
	if says := errorsOf(p.Body); p.Code != 422 || !strings.Contains(says, "answered while your page was open: no: not yet") {
		t.Fatalf("an answer across another: %d %s", p.Code, says)
	}
	again := formValues(p.Body, path)
	if again.Get("note") != "from the old page" || again.Get("seen") != "1" || again.Get("key") == old.Get("key") {
		t.Errorf("the form that comes back has %v", again)
	}
	if p := d.post(at+"/hold", again); p.Code != 303 {
		t.Fatalf("answered again: %d %s", p.Code, errorsOf(p.Body))
	}

	// the plan changes; a form that was taken before gets its answer again, an
	// old page does not
	stale := formValues(d.page(path).Body, path)
	stale.Set("says", "yes")
	if p := d.send(at+"/facts/"+j.Places[0].ID, "i.crack.length", "13 in"); !strings.Contains(p.Body, "Logged") {
		t.Fatal("no new plan")
	}
	if now := d.jobNamed("quarry"); len(now.Plans) < 2 {
		t.Fatal("the plan is the same")
	}
	if p := d.post(at+"/hold", again); p.Code != 303 {
		t.Errorf("a form sent twice, the plan changed in between: %d", p.Code)
	}
	if p := d.post(at+"/hold", stale); p.Code != 422 || !strings.Contains(errorsOf(p.Body), "plan has changed") {
		t.Errorf("an answer by an old plan: %d %s", p.Code, errorsOf(p.Body))
	}
	step := j.Steps[0].ID
	if p := d.post(at+"/step", url.Values{"key": {"old-step"}, "step": {step}, "plan": {stale.Get("plan")}}); p.Code != 422 {
		t.Errorf("a step by an old plan: %d", p.Code)
	}
}

// The clock of the host is set back by a day between two forms: both stand, in
// the order in which they came, and the log says that a clock was wrong.
func TestClockSetBack(t *testing.T) {
	d := demoDesk(t)
	at := "/jobs/" + d.jobNamed("tipper").ID
	d.send(at+"/note", "text", "before it was set back")
	d.now = d.now.Add(-24 * time.Hour)
	d.send(at+"/note", "text", "after it was set back").has("Logged: after it was set back")
	d.send(at+"/clock", "what", "wait", "for", "10 min", "label", "soak")
	text := textOf(d.page(at + "/log").has("clock of a device was wrong").Body)
	a, b := strings.Index(text, "after it was set back"), strings.Index(text, "before it was set back")
	if a < 0 || b < 0 || a > b {
		t.Errorf("newest first is not kept: %d %d", a, b)
	}
	d.page(at).has("Soak : 9 min")
}
