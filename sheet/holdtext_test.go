package sheet

import (
	"strings"
	"testing"
	"unicode/utf8"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

func TestExtraText(t *testing.T) {
	h := func(low, high float64) q.Of[q.Time] {
		return q.Of[q.Time]{Low: q.Time(low) * q.Hour, High: q.Time(high) * q.Hour}
	}
	for want, r := range map[string]q.Of[q.Time]{
		"-": h(0, 0), "+¼-¾ h": h(0.25, 0.7), "+½ h": h(0.5, 0.55), "+2½-9½ h": h(2.5, 9.5), "+0-½ h": h(0.1, 0.5), "+9¾-12 h": h(9.8, 12.2), "> 99 h": h(3, 200),
	} {
		if got := extraText(r); got != want {
			t.Errorf("%v to %v h: got %q, want %q", r.Low.Hours(), r.High.Hours(), got, want)
		}
	}
}

// The answer to "will it hold" of every demo keeps to the width, prints each
// repair that has a life once, and marks the one that is planned.
func TestHoldTextOfDemos(t *testing.T) {
	for _, name := range []string{"tipper", "quarry-screen", "blade-arm", "fork"} {
		for _, sys := range []q.System{q.US, q.SI} {
			data, err := demo.Files.ReadFile(name + ".yaml")
			if err != nil {
				t.Fatal(err)
			}
			j, err := job.Read(name, data)
			if err != nil {
				t.Fatal(err)
			}
			j.Made = "2026-05-04"
			r, err := plan.WillHold(j, nil, sys)
			if err != nil {
				t.Fatal(err)
			}
			text := HoldText(r)
			for i, l := range strings.Split(text, "\n") {
				if n := utf8.RuneCountInString(l); n > Columns {
					t.Errorf("%s: line %d has %d columns: %s", name, i+1, n, l)
				}
			}
			for _, it := range r.Items {
				if it.Hold == nil {
					continue
				}
				for _, rep := range it.Hold.Repairs {
					if rep.Option.Governs != "" && !strings.Contains(text, rep.Short()) {
						t.Errorf("%s: %s is not in the table", name, rep.Option.ID)
					}
					if rep.Option.ID == it.Hold.Planned && !strings.Contains(text, "* "+rep.Short()) {
						t.Errorf("%s: %s is not marked as planned", name, rep.Short())
					}
				}
			}
			if refused := name == "fork"; strings.Contains(text, "No figure is given") != refused {
				t.Errorf("%s: refused is %v, the text says otherwise", name, refused)
			}
		}
	}
}
