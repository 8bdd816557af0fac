package material

import (
	"testing"

	"soundmetal/job"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// The short way and the way with working give the same numbers.
func TestValuesAreThoseWithWorking(t *testing.T) {
	for _, thickness := range []q.Maybe[q.Length]{{}, q.Known(6 * q.Millimetre), q.Known(25 * q.Millimetre), q.Known(80 * q.Millimetre)} {
		for _, f := range Families() {
			if f.Group == Iron {
				continue
			}
			for _, c := range []Candidate{{ID: f.ID}, {ID: f.ID, Analysis: q.Known(Analysis{C: q.Known(q.Percent(0.2))})}} {
				worst, err := c.Worst(thickness)
				got, errGot := c.WorstValue(thickness)
				if (err == nil) != (errGot == nil) || got != worst.Value {
					t.Errorf("%s at %v: got %v (%v), want %v (%v)", f.ID, thickness, got, errGot, worst.Value, err)
				}
				if err != nil {
					continue
				}
				values, err := got.Values()
				if err != nil {
					t.Errorf("%s: %v", f.ID, err)
				}
				for name, row := range map[string]struct {
					got  q.Percent
					want func(Composition) (source.Result[Equivalent], error)
				}{"CE(IIW)": {values.CEIIW, CEIIW}, "CET": {values.CET, CET}, "Pcm": {values.Pcm, Pcm}, "CEN": {values.CEN, CEN}} {
					want, err := row.want(got)
					if err != nil || row.got != want.Value.CE {
						t.Errorf("%s %s: got %v, want %v (%v)", f.ID, name, row.got, want.Value.CE, err)
					}
				}
			}
		}
	}
}

// An outcome below the chance asked for keeps words and chance, the others are
// those of Tests.
func TestTestsAboveKeepTheChances(t *testing.T) {
	a := Weigh(job.Evidence{}, Context{})
	all, some := Tests(a, job.MeasureKit{}), TestsAbove(a, job.MeasureKit{}, 0.1)
	dropped := 0
	for i, o := range all {
		for k, x := range o.Outcomes {
			got := some[i].Outcomes[k]
			if got.Says != x.Says || got.Probability != x.Probability {
				t.Errorf("%s: %q %v, want %q %v", o.ID, got.Says, got.Probability, x.Says, x.Probability)
			}
			if x.Probability < 0.1 {
				dropped++
				if got.Credible != nil {
					t.Errorf("%s: %q is looked into at %v", o.ID, got.Says, got.Probability)
				}
			} else if len(got.Credible) != len(x.Credible) {
				t.Errorf("%s: %q leaves %d, want %d", o.ID, got.Says, len(got.Credible), len(x.Credible))
			}
		}
	}
	if dropped == 0 {
		t.Error("no outcome below the chance")
	}
}
