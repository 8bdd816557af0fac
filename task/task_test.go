package task_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/task"
)

// thin is an invented plate that is soon computed.
const thin = `version: 1
job: side plate
units: si
site: {air: 8 C, steel: 8 C, wind: 2 m/s}
machine: {kind: vibrating screen}
items:
- {part: side plate, role: structure, shape: plate, thickness: 20 mm, width: 300 mm, crack: {length: 30 mm, through: yes, ends: both}, access: both, position: flat, contains: nothing, behind: nothing, steel: {grade: S355J2, grade_by: certificate}, history: {welded: no}}
`

func input(t testing.TB, change func(*task.Input)) []byte {
	t.Helper()
	shop, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	in := task.Input{Version: task.Version, Kind: task.Heat, Job: thin, Shop: string(shop), Units: job.SI, Level: task.Coarse, Item: 1, Plan: "p1", Place: "i1"}
	if change != nil {
		change(&in)
	}
	data, err := in.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// The whole way: text in, text out, kept and read again; what it says is what the
// plan room says of the same question.
func TestRun(t *testing.T) {
	data := input(t, nil)
	parts := map[string]bool{}
	out, err := task.Run(t.Context(), data, func(p task.Progress) { parts[p.Run] = true })
	if err != nil {
		t.Fatal(err)
	}
	if len(parts) < 4 {
		t.Errorf("progress tells of %v only", parts)
	}
	res, err := task.ReadResult(out)
	if err != nil {
		t.Fatal(err)
	}
	in, err := task.ReadInput(data)
	if err != nil || res.Input != in.Sum() || res.Plan != "p1" || res.Place != "i1" || res.Item != 1 {
		t.Errorf("the result is of %+v, %v", res, err)
	}
	blob, err := res.Pack()
	if err != nil {
		t.Fatal(err)
	}
	kept, err := task.Unpack(blob)
	if err != nil {
		t.Fatal(err)
	}
	again, err := kept.Encode()
	if err != nil || string(again) != string(out) {
		t.Errorf("kept and read again it is another one: %v", err)
	}
	j, err := job.Read("job", []byte(thin))
	if err != nil {
		t.Fatal(err)
	}
	shopText, _ := demo.Files.ReadFile("shop.yaml")
	shop, err := job.ReadShop("shop", shopText)
	if err != nil {
		t.Fatal(err)
	}
	a, err := plan.Thermal(t.Context(), j, &shop, q.SI, plan.ThermalAsk{Quick: true, Item: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range a.Figures() {
		g, err := res.Answer.Find(f.ID)
		if err != nil || g.Text != f.Text {
			t.Errorf("%s: got %q, %v, want %q", f.ID, g.Text, err, f.Text)
		}
	}
}

// A reading turns the answer, and the result says which.
func TestRunWithReading(t *testing.T) {
	data := input(t, func(in *task.Input) {
		in.Readings = []task.Reading{{Time: 60, T: 60, At: 0.075, Far: true, Ref: "office.7"}}
	})
	out, err := task.Run(t.Context(), data, nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := task.ReadResult(out)
	if err != nil {
		t.Fatal(err)
	}
	if len(res.Readings) != 1 || res.Readings[0].Ref != "office.7" {
		t.Errorf("readings: %+v", res.Readings)
	}
	if _, err := res.Answer.Find("1.read.efficiency"); err != nil {
		t.Error(err)
	}
}

func TestRunIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	_, err := task.Run(ctx, input(t, nil), func(task.Progress) { cancel() })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestWrongInput(t *testing.T) {
	good := string(input(t, nil))
	for name, c := range map[string]struct{ text, says string }{
		"nothing":         {"", "no task"},
		"no JSON":         {"{", "no task"},
		"unknown field":   {strings.Replace(good, `"version"`, `"more":1,"version"`, 1), "unknown field"},
		"two of them":     {good + good, "behind it"},
		"another version": {strings.Replace(good, `"version":1`, `"version":2`, 1), "version"},
		"another kind":    {strings.Replace(good, `"kind":"heat"`, `"kind":"lottery"`, 1), "lottery"},
		"fine":            {strings.Replace(good, `"level":"coarse"`, `"level":"fine"`, 1), "coarse or working"},
		"no place":        {strings.Replace(good, `"item":1`, `"item":0`, 1), "place 0"},
		"too large":       {strings.Replace(good, `"shop":"`, `"shop":"`+strings.Repeat(" ", task.MaxInput), 1), "bytes"},
		"too hot":         {strings.Replace(good, `"plan"`, `"readings":[{"time":60,"t":900,"at":0.07}],"plan"`, 1), "700"},
		"too early":       {strings.Replace(good, `"plan"`, `"readings":[{"time":1,"t":90,"at":0.07}],"plan"`, 1), "10 s"},
		"too many":        {strings.Replace(good, `"plan"`, `"readings":[`+strings.TrimSuffix(strings.Repeat(`{"time":60,"t":90,"at":0.07},`, task.MaxReadings+1), ",")+`],"plan"`, 1), "readings"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := task.ReadInput([]byte(c.text)); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
	bad := input(t, func(in *task.Input) { in.Item = 3 })
	if _, err := task.Run(t.Context(), bad, nil); err == nil || !strings.Contains(err.Error(), "no item 3") {
		t.Errorf("a place that is not there: %v", err)
	}
	bad = input(t, func(in *task.Input) { in.Job = "items: [" })
	if _, err := task.Run(t.Context(), bad, nil); err == nil || !strings.Contains(err.Error(), "cannot be read") {
		t.Errorf("a job that cannot be read: %v", err)
	}
}

func sample(change func(*task.Result)) *task.Result {
	r := &task.Result{Version: task.Version, Kind: task.Heat, Input: strings.Repeat("ab", 32), Item: 1, Level: task.Coarse,
		Answer: &plan.ThermalAnswer{Version: plan.Version, Items: []plan.ThermalItem{{Number: 1, Chart: &plan.ThermalChart{Floor: 120,
			Faces: []plan.ThermalFace{{Points: []plan.ThermalSpan{{At: 0, Low: 10, High: 12}, {At: 60, Low: 50, High: 70}}}}}}}}}
	if change != nil {
		change(r)
	}
	return r
}

func TestWrongResult(t *testing.T) {
	if _, err := sample(nil).Encode(); err != nil {
		t.Fatal(err)
	}
	face := func(r *task.Result) *plan.ThermalFace { return &r.Answer.Items[0].Chart.Faces[0] }
	for name, change := range map[string]func(*task.Result){
		"no answer":       func(r *task.Result) { r.Answer = nil },
		"two places":      func(r *task.Result) { r.Answer.Items = append(r.Answer.Items, r.Answer.Items[0]) },
		"of no input":     func(r *task.Result) { r.Input = "abc" },
		"another number":  func(r *task.Result) { r.Answer.Items[0].Number = 2 },
		"back in time":    func(r *task.Result) { face(r).Points[1].At = -1 },
		"upside down":     func(r *task.Result) { face(r).Points[1].Low = 99 },
		"hotter than sun": func(r *task.Result) { face(r).Points[1].High = 9e9 },
		"without end":     func(r *task.Result) { face(r).Points = make([]plan.ThermalSpan, 100_000) },
		"endless text":    func(r *task.Result) { r.Answer.Items[0].Name = strings.Repeat("x", 1<<20) },
		"many sections":   func(r *task.Result) { r.Answer.Items[0].Sections = make([]plan.Section, 1000) },
		"another level":   func(r *task.Result) { r.Level = "fine" },
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := sample(change).Encode(); err == nil {
				t.Error("it was taken")
			}
		})
	}
}

// What is read as a task is written as one, byte for byte the second time.
func FuzzReadInput(f *testing.F) {
	f.Add(input(f, nil))
	f.Add([]byte(`{"version":1,"kind":"heat","job":"x","units":"us","level":"working","item":2,"readings":[{"time":60,"t":90,"at":0.07,"far":true}]}`))
	f.Add([]byte(`{"version":1e0}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		in, err := task.ReadInput(data)
		if err != nil {
			return
		}
		out, err := in.Encode()
		if err != nil {
			if len(data) > task.MaxInput/8 {
				return // control characters grow when they are written
			}
			t.Fatal(err)
		}
		again, err := task.ReadInput(out)
		if err != nil || again.Sum() != in.Sum() {
			t.Fatalf("%v: %s", err, out)
		}
	})
}

// A result that is taken can be kept, and comes back as it was.
func FuzzReadResult(f *testing.F) {
	good, err := sample(nil).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(good)
	f.Add([]byte(strings.Replace(string(good), `"At"`, `"at"`, 1)))
	f.Add([]byte(`{"version":1,"kind":"heat","answer":{"items":[{}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := task.ReadResult(data)
		if err != nil {
			return
		}
		blob, err := r.Pack()
		if err != nil {
			if len(data) > task.MaxResult/8 {
				return
			}
			t.Fatal(err)
		}
		back, err := task.Unpack(blob)
		if err != nil {
			t.Fatal(err)
		}
		a, _ := r.Encode()
		b, _ := back.Encode()
		if string(a) != string(b) {
			t.Fatalf("%s\n%s", a, b)
		}
	})
}
