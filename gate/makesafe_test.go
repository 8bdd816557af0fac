package gate

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

func stepIDs(steps []Step) []string {
	var ids []string
	for _, s := range steps {
		ids = append(ids, s.ID)
	}
	return ids
}

// readWork reads the work of a case: "gouge=no, current=250 A"; "-" is unknown.
func readWork(t *testing.T, text string) Work {
	t.Helper()
	var w Work
	if text == "-" {
		return w
	}
	for part := range strings.SplitSeq(text, ", ") {
		key, value, _ := strings.Cut(part, "=")
		var err error
		switch key {
		case "gouge":
			w.Gouge = job.Answer(value)
		case "torch":
			w.Torch = job.Answer(value)
		case "current":
			w.Current.V, err = q.Read[q.Current](value, q.ReadAs{})
			w.Current.Known = true
		case "gouge-current":
			w.GougeCurrent.V, err = q.Read[q.Current](value, q.ReadAs{})
			w.GougeCurrent.Known = true
		case "bare":
			w.BareEars.V, err = q.Read[q.Time](value, q.ReadAs{})
			w.BareEars.Known = true
		case "shade":
			w.Shade, err = strconv.Atoi(value)
		default:
			t.Fatalf("work %q", part)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return w
}

func TestEveryStepMeetsAndSpares(t *testing.T) {
	cases := readCases(t, "testdata/makesafe.txt")
	f := newFacts(job.Job{}, job.Item{})
	var ids []string
	every := map[string]bool{}
	for _, r := range stepRows {
		ids = append(ids, r.id)
		if because := makeSafeWhen[r.id](f); len(because) > 0 && because[0] == everyJob {
			every[r.id] = true
		}
	}
	bothWays(t, ids, cases, every)
	for _, c := range cases {
		t.Run(c.name()+" "+c.class, func(t *testing.T) {
			got := stepIDs(MakeSafe(c.job, c.job.Items[0], readWork(t, c.class)))
			if slices.Contains(got, c.id) != c.meets {
				t.Errorf("step %s: got %v, want %v (%s); steps %v", c.id, !c.meets, c.meets, c.source, got)
			}
		})
	}
}

// A clear job keeps the steps that every job has, and those only; a job of which
// nothing is known has all but those that a known fact asks for.
func TestStepsOfClearAndUnknownJobs(t *testing.T) {
	j := clearJob()
	got := stepIDs(MakeSafe(j, j.Items[0], Work{Process: Rod, Current: q.Known(130 * q.Ampere), Gouge: job.No, Torch: job.No}))
	want := []string{"stop", "stand", "block", "load-path", "wash", "solvent", "battery", "work-lead", "permit-keep",
		"extinguisher", "fire-watch", "fume", "eyes", "shock", "weather-stop", "emergency-card"}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("clear job:\n%s", d)
	}
	all := slices.Sorted(maps.Keys(makeSafeWhen))
	onlyIfKnown := []string{"chrome", "container", "lining", "noise-dose", "over-water", "permit-keep", "shade", "stay", "traffic", "wiring", "zinc"}
	var missing []string
	unknown := stepIDs(MakeSafe(job.Job{}, job.Item{}, Work{}))
	for _, id := range all {
		if !slices.Contains(unknown, id) {
			missing = append(missing, id)
		}
	}
	if d := cmp.Diff(onlyIfKnown, missing); d != "" {
		t.Errorf("steps that a job without facts lacks:\n%s", d)
	}
}

// The order of the work: people and machine first, then stored energy, tyres,
// hollows, surface, electrics, fire, air, body, weather, help.
func TestStepsAreInTheOrderOfTheWork(t *testing.T) {
	j := clearJob()
	it := job.Item{Part: "fuel tank", Contains: "fuel", Behind: []job.Behind{"tyre", "wiring", "bearing"}, Coating: "galvanized"}
	j.Site, j.Machine = job.Site{}, job.Machine{}
	got := stepIDs(MakeSafe(j, it, Work{}))
	order := []string{"stop", "block", "hydraulics", "accumulator", "tyres", "container", "vent", "wash", "strip-coating", "zinc",
		"battery", "controllers", "work-lead", "return-path", "fire-ban", "combustibles", "fire-watch", "fume", "respirator",
		"noise", "eyes", "shock", "weather-stop", "height", "alone", "emergency-card"}
	last := -1
	for _, id := range order {
		at := slices.Index(got, id)
		if at <= last {
			t.Errorf("%s is at %d, after %d wanted; steps %v", id, at, last, got)
		}
		last = at
	}
	if !slices.IsSortedFunc(stepRows, func(a, b stepRow) int { return a.order - b.order }) {
		t.Error("makesafe.csv is not in the order of the work")
	}
}

// No figure of a step may be left as a placeholder, and each row's values are shown.
func TestStepTexts(t *testing.T) {
	w := Work{Shade: 11, BareEars: q.Known(8 * q.Minute), FireWatch: q.Known(90 * q.Minute)}
	for _, r := range stepRows {
		f := newFacts(job.Job{}, job.Item{})
		f.work = w
		s := r.step(f, []string{everyJob})
		for _, sys := range []q.System{q.SI, q.US} {
			text := s.Heading(sys) + " " + s.Text(sys)
			if strings.ContainsAny(text, "{}") {
				t.Errorf("%s: placeholder left in %s", r.id, text)
			}
			for _, v := range r.values {
				if !strings.Contains(text, v.text(sys)) {
					t.Errorf("%s: value %s not shown in %s", r.id, v.text(sys), text)
				}
			}
		}
		if s.Basis.Why == "" || s.Basis.Skip == "" || s.Basis.Ref.Key == "" || s.Title == "" {
			t.Errorf("%s: why, skip, source or title missing", r.id)
		}
	}
}

func TestStepAsJSON(t *testing.T) {
	j := clearJob()
	steps := MakeSafe(j, j.Items[0], Work{})
	data, err := json.Marshal(steps)
	if err != nil {
		t.Fatal(err)
	}
	var back []Step
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(steps, back); d != "" {
		t.Errorf("JSON round trip:\n%s", d)
	}
}

func TestFireWatchIsTheStrictest(t *testing.T) {
	for _, c := range []struct {
		name  string
		asked q.Maybe[q.Time]
		want  q.Time
	}{
		// 29 CFR 1910.252(a)(2)(iii)(B) 30 min; NFPA 51B 2019 60 min (from memory)
		{"nobody asks for more", q.Maybe[q.Time]{}, 60 * q.Minute},
		{"the site asks for less", q.Known(30 * q.Minute), 60 * q.Minute},
		{"the insurer asks for more", q.Known(4 * q.Hour), 4 * q.Hour},
	} {
		got := FireWatch(c.asked)
		if got.Value != c.want {
			t.Errorf("%s: got %v min, want %v min", c.name, got.Value.Minutes(), c.want.Minutes())
		}
		if got.Basis.Ref == (source.Ref{}) || len(got.Basis.Steps) != len(watchRows) {
			t.Errorf("%s: basis is not filled: %+v", c.name, got.Basis)
		}
	}
}
