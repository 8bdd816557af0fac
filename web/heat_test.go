//go:build !js

package web

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/task"
)

// thinJob is an invented plate that is soon computed.
const thinJob = `version: 1
job: side plate
units: si
site: {air: 8 C, steel: 8 C, wind: 2 m/s}
machine: {kind: vibrating screen}
items:
- {part: side plate, role: structure, shape: plate, thickness: 20 mm, width: 300 mm, crack: {length: 30 mm, through: yes, ends: both}, access: both, position: flat, contains: nothing, behind: nothing, steel: {grade: S355J2, grade_by: certificate}, history: {welded: no}}
`

// byHandTasks are tasks that are carried out when the test says so.
type byHandTasks struct {
	states map[string]TaskState
	queue  []func(context.Context) error
	full   bool
}

func (b *byHandTasks) Start(id string, input []byte, finish func(context.Context, []byte) error) error {
	if b.full {
		return ErrBusy
	}
	if b.states[id].Busy() {
		return nil
	}
	b.states[id] = TaskState{Phase: TaskRunning, Progress: task.Progress{Run: "whole repair", Part: 4, Of: 7, Event: "bead 2", Time: 1800}}
	b.queue = append(b.queue, func(ctx context.Context) error {
		out, err := task.Run(ctx, input, nil)
		if err == nil {
			err = finish(ctx, out)
		}
		delete(b.states, id)
		if err != nil {
			b.states[id] = TaskState{Phase: TaskFailed, Err: err.Error()}
		}
		return err
	})
	return nil
}

func (b *byHandTasks) State(id string) TaskState { return b.states[id] }
func (b *byHandTasks) Cancel(id string)          { delete(b.states, id); b.queue = nil }

// work carries out what was begun.
func (b *byHandTasks) work(t testing.TB) {
	t.Helper()
	all := b.queue
	b.queue = nil
	for _, f := range all {
		if err := f(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
}

// heatDesk is a desk with the thin job; host adds the way it is worked out.
func heatDesk(t testing.TB, host func(*Service)) (d *desk, at, item string) {
	t.Helper()
	d = newDesk(t)
	set, items, err := book.FieldsOfJob("thin.yaml", []byte(thinJob))
	if err != nil {
		t.Fatal(err)
	}
	res, err := d.book.Do(t.Context(), d.now, "thin", book.NewJob{Set: set, Items: items})
	if err != nil {
		t.Fatal(err)
	}
	s := Service{Book: d.book, Now: func() time.Time { return d.now }, Key: func() string { d.keys++; return fmt.Sprintf("k%d", d.keys) }}
	host(&s)
	d.h = Handler(s)
	j, err := d.book.Job(t.Context(), res.Job)
	if err != nil {
		t.Fatal(err)
	}
	return d, "/jobs/" + res.Job, j.Places[0].ID
}

// draws looks for words in a drawing of the page.
func (p answered) draws(all ...string) answered {
	p.Helper()
	for _, s := range all {
		if !strings.Contains(p.Body, ">"+s+"<") {
			p.Errorf("no drawing of the page says %q", s)
		}
	}
	return p
}

var hintText = regexp.MustCompile(`(?s)class="hintline.*?</p>`)

// From the call of the page to the readings: begun, watched, cancelled, kept;
// then the torch, the readings, and the answer turned to them.
func TestHeatJourney(t *testing.T) {
	tasks := &byHandTasks{states: map[string]TaskState{}}
	d, at, item := heatDesk(t, func(s *Service) { s.Tasks = tasks })
	page := at + "/heat?item=" + item
	p := d.page(at+"/heat").has("Side plate", "Work it out", "Coarse, soon")
	if strings.Contains(p.Body, "data-worker") || strings.Contains(p.Body, `http-equiv="refresh"`) {
		t.Error("a host with tasks starts no worker, and nothing is looked for yet")
	}
	start := url.Values{"key": {"run-1"}, "item": {item}, "level": {"coarse"}}
	if p := d.post(at+"/heat/start", start); p.Code != 303 {
		t.Fatalf("start: %d %s", p.Code, textOf(p.Body))
	}
	p = d.page(page).has("Working it out", "Whole repair: bead 2, minute 30", "Cancel")
	if !strings.Contains(p.Body, `<noscript><meta http-equiv="refresh" content="4"></noscript>`) || !strings.Contains(p.Body, `value="42"`) {
		t.Error("without scripts the page does not look again, or shows no progress")
	}
	if p := d.part(at + "/heat/progress?item=" + item); p.Header.Get("HX-Refresh") != "" || !strings.Contains(p.Body, "<progress") {
		t.Errorf("progress while it runs: %v %s", p.Header, p.Body)
	}
	if p := d.post(at+"/heat/cancel", url.Values{"key": {"stop-1"}, "item": {item}}); p.Code != 303 {
		t.Fatalf("cancel: %d", p.Code)
	}
	d.page(page).has("How finely?")
	if p := d.part(at + "/heat/progress?item=" + item); p.Header.Get("HX-Refresh") != "true" {
		t.Error("a page that waits for a cancelled task is not loaded again")
	}
	tasks.full = true
	if p := d.post(at+"/heat/start", start); p.Code != 503 || !strings.Contains(textOf(p.Body), "already") {
		t.Errorf("a full queue: %d %s", p.Code, textOf(p.Body))
	}
	tasks.full = false

	// begun and finished: kept without anybody looking
	d.post(at+"/heat/start", start)
	tasks.work(t)
	d.page(page).has("It is an estimate: the reading decides", "Far points at", "Torch, round the groove", "Propane, first heat", "above the floor for", "Bead by bead", "Let it cool", "Hydrogen", "Every bead", "Work it out again").draws("expected, your face", "expected, far face")
	d.post(at+"/heat/start", start) // the same form again
	tasks.work(t)
	j := d.jobNamed("side plate")
	if n := len(j.Simulated); n != 1 {
		t.Errorf("%d simulations, want one: the form was sent twice", n)
	}
	why := regexp.MustCompile(`href="(\?why=[^"]+)"`).FindStringSubmatch(d.page(page).Body)
	if why == nil {
		t.Fatal("no why?")
	}
	d.page(at + "/heat" + unescape(why[1])).has("Source:")

	// readings without the torch cannot be used; then the torch is logged afterwards
	d.send(at+"/reading?item="+item, "temp", "20 C", "far_face", "yes", "distance", "75 mm")
	d.page(page).has("Not used: it is not logged when the torch was lit", "Lined up at the first reading")
	d.now = d.now.Add(time.Minute)
	d.send(at+"/torch?item="+item, "ago", "3 min").has("The torch burns", "Lined up where the torch was lit")
	d.send(at+"/reading?item="+item, "temp", "60 C", "far_face", "yes")
	p = d.page(page).has("Can be used", "how far from the groove edge was it read?")
	mend := regexp.MustCompile(`<a href="([^"]+)">Say it</a>`).FindStringSubmatch(p.Body)
	if mend == nil {
		t.Fatal("the missing distance is not asked for")
	}
	d.send(unescape(mend[1]), "distance", "75 mm")
	if n := strings.Count(textOf(d.page(page).Body), "Can be used"); n != 2 {
		t.Errorf("%d readings can be used, want 2", n)
	}
	if hints := textOf(hintText.FindString(d.page(page).Body)); !strings.Contains(hints, "slower than simulated") {
		t.Errorf("the hint says %q", hints)
	}
	d.post(at+"/heat/start", url.Values{"key": {"run-2"}, "item": {item}, "level": {"coarse"}, "readings": {"yes"}})
	tasks.work(t)
	d.page(page).has("turned to 2 of your readings", "Before and after your readings", "before:", "Your flame gives the steel")

	// the sheet and the record show it
	d.page(at).has("The heat, worked out", "Lined up where the torch was lit").draws("read, far face", "expected, far face")
	d.page(at+"/record").has("Lined up where the torch was lit", "Estimate:")
	svg := d.page(at + "/chart/" + item)
	if !strings.Contains(svg.Header.Get("Content-Type"), "svg") || !strings.Contains(svg.Body, "expected, far face") {
		t.Error("the chart by itself shows no band")
	}

	// the live chart: nothing is sent while nothing has changed
	look := regexp.MustCompile(`hx-get="([^"]+heat/chart[^"]+)" hx-trigger="every 30s, seen"`).FindStringSubmatch(d.page(at).Body)
	if look == nil {
		t.Fatal("the chart does not look again while the torch burns")
	}
	if p := d.part(unescape(look[1])); p.Code != 204 || p.Body != "" {
		t.Errorf("nothing has changed: %d", p.Code)
	}
	d.send(at+"/reading?item="+item, "temp", "90 C", "far_face", "yes", "distance", "75 mm")
	if p := d.part(unescape(look[1])); p.Code != 200 || !strings.Contains(p.Body, "<svg") || strings.Contains(p.Body, "<html") {
		t.Errorf("a new reading: %d", p.Code)
	}
	d.now = d.now.Add(30 * time.Hour)
	torch := d.jobNamed("side plate").TorchLit(item)[0].ID
	d.send(at + "/clock-stop?clock=" + torch)
	if strings.Contains(d.page(at).Body, "every 30s") {
		t.Error("the chart still looks again a day later")
	}

	// a new plan makes it old
	d.send(at+"/facts/"+item, "i.thickness", "25 mm")
	d.page(page).has("This was worked out for plan 1. The plan has changed since")
	if strings.Contains(d.page(at).Body, "expected, far face") {
		t.Error("the sheet still shows what was expected by the old plan")
	}
}

// The browser's own worker: input, result, sent twice, and what must not be taken.
func TestHeatByWorker(t *testing.T) {
	d, at, item := heatDesk(t, func(s *Service) { s.Worker = "/worker.js" })
	p := d.page(at + "/heat?item=" + item)
	if !strings.Contains(p.Body, `data-worker="/worker.js" data-input="`+at+`/heat/input"`) || !strings.Contains(p.Body, "/heat.js") {
		t.Fatal("the page names no worker")
	}
	in := d.page(at + "/heat/input?item=" + item + "&level=coarse")
	if in.Header.Get("Content-Type") != "application/json" {
		t.Errorf("the input is %s", in.Header.Get("Content-Type"))
	}
	out, err := task.Run(t.Context(), []byte(in.Body), nil)
	if err != nil {
		t.Fatal(err)
	}
	result := string(out)
	wrong := func(name string, code int, says, text string) {
		t.Helper()
		before := d.book.Mark()
		p := d.post(at+"/heat", url.Values{"key": {"w-" + fmt.Sprint(len(name))}, "item": {item}, "result": {text}})
		if p.Code != code || !strings.Contains(textOf(p.Body), says) {
			t.Errorf("%s: %d %s, want %d %q", name, p.Code, clipText(textOf(p.Body)), code, says)
		}
		if d.book.Mark() != before {
			t.Errorf("%s: something was kept", name)
		}
	}
	var r map[string]any
	if err := json.Unmarshal(out, &r); err != nil {
		t.Fatal(err)
	}
	changed := func(key string, v any) string {
		old := r[key]
		r[key] = v
		data, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		if r[key] = old; old == nil {
			delete(r, key)
		}
		return string(data)
	}
	wrong("nothing", 422, "no result", "")
	wrong("half of it", 422, "no result", result[:len(result)/2])
	wrong("more fields", 422, "unknown field", changed("more", 1))
	wrong("another place", 409, "another place", changed("place", "elsewhere"))
	wrong("another plan", 409, "The plan has changed", changed("plan", "p0"))
	wrong("another question", 409, "does not answer", changed("input", strings.Repeat("ab", 32)))
	wrong("a finer level than was computed", 409, "does not answer", changed("level", "working"))
	wrong("readings of nowhere", 409, "does not answer", changed("readings", []any{map[string]any{"time": 60, "t": 60, "at": 0.07, "ref": "office.1"}}))
	wrong("too large", 422, "bytes", result+strings.Repeat(" ", task.MaxResult))
	if p := d.post(at+"/heat", url.Values{"item": {item}, "result": {result}}); p.Code != 400 {
		t.Errorf("without a key: %d", p.Code)
	}
	form := url.Values{"key": {"worker-1"}, "item": {item}, "result": {result}}
	a, b := d.post(at+"/heat", form), d.post(at+"/heat", form)
	if a.Code != 303 || b.Code != 303 || a.Location != b.Location {
		t.Fatalf("%d %s, %d %s: %s", a.Code, a.Location, b.Code, b.Location, clipText(textOf(a.Body)))
	}
	if n := len(d.jobNamed("side plate").Simulated); n != 1 {
		t.Errorf("kept %d times, want once", n)
	}
	d.page(a.Location).has("Far points at")
	if p := d.get(at + "/heat/input?item=" + item + "&level=fine"); p.Code != 409 || !strings.Contains(textOf(p.Body), "coarse or working") {
		t.Errorf("a level that is not there: %d", p.Code)
	}
	if p := d.post(at+"/heat/start", url.Values{"key": {"s"}, "item": {item}}); p.Code != 409 {
		t.Errorf("a task where the host has none: %d", p.Code)
	}
	// the plan changes while it is computed
	d.send(at+"/facts/"+item, "i.thickness", "25 mm")
	wrong("of the old plan", 409, "The plan has changed", result)
	if p := d.post(at+"/heat", form); p.Code != 303 {
		t.Errorf("the form that was kept, sent again after the change: %d", p.Code)
	}
}

// A host that can do neither says so; a place that is not planned has no heat.
func TestHeatThatCannotBe(t *testing.T) {
	d := demoDesk(t)
	j := d.jobNamed("tipper")
	d.page("/jobs/" + j.ID + "/heat").has("Which place?")
	d.page("/jobs/" + j.ID + "/heat?item=" + j.Places[0].ID).has("It cannot be worked out here")
	fork := d.jobNamed("fork")
	d.page("/jobs/" + fork.ID + "/heat").has("is not to be touched")
	for _, path := range []string{"/heat?item=none", "/heat?why=x", "/heat?why=h1.warm.0", "/heat/chart?item=" + j.Places[0].ID} {
		if p := d.get("/jobs/" + j.ID + path); p.Code != 404 {
			t.Errorf("%s: %d", path, p.Code)
		}
	}
}
