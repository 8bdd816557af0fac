package material

import (
	"encoding/json"
	"fmt"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// A 4140 shaft: the equivalent is arithmetic and is given, with a flag that the
// formula was not made for this steel.
func ExampleCET() {
	shaft := Composition{C: .40, Si: .25, Mn: .88, Cr: .95, Mo: .20}
	r, err := CET(shaft)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f %% in range: %v\n", float64(r.Value.CE), r.Value.InRange)
	for _, o := range r.Value.Outside {
		fmt.Println(o)
	}
	// Output:
	// 0.5555 % in range: false
	// C 0.4 % is outside 0.05 to 0.32 %
	// CE 0.5555 % is outside 0.2 to 0.5 %
}

func ExampleFamily_Worst() {
	f, _ := Lookup("s355")
	for _, d := range []q.Length{20 * q.Millimetre, 60 * q.Millimetre} {
		worst := f.Worst(q.Known(d)).Value
		ce, err := CEIIW(worst)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f mm: C %.2f, CE(IIW) %.2f\n", d.MM(), float64(worst.C), float64(ce.Value.CE))
	}
	// Output:
	// 20 mm: C 0.20, CE(IIW) 0.45
	// 60 mm: C 0.22, CE(IIW) 0.47
}

func ExampleTests() {
	a := Weigh(job.Evidence{Magnet: "strong", Surface: "rolled"}, Context{Machine: "quarry screen", Shape: job.Plate, Thickness: q.Known(12 * q.Millimetre)})
	for _, o := range Tests(a, job.MeasureKit{Hardness: job.Yes}) {
		if o.ID != "hardness" {
			continue
		}
		fmt.Printf("%s, %.0f min, on the truck: %s\n", o.Title, o.Time.Minutes(), o.Have)
		for _, x := range o.Outcomes[:5] {
			fmt.Printf("%s (%.0f %%): %d of %d families stay\n", x.Says, 100*float64(x.Probability), len(x.Credible), len(a.Credible))
		}
	}
	// Output:
	// Hardness of a ground spot, 15 min, on the truck: yes
	// the hardness is about 118 HB (14 %): 3 of 16 families stay
	// the hardness is about 148 HB (48 %): 5 of 16 families stay
	// the hardness is about 180 HB (19 %): 6 of 16 families stay
	// the hardness is about 218 HB (1 %): 7 of 16 families stay
	// the hardness is about 262 HB (7 %): 6 of 16 families stay
}

func TestPlansCanBeStored(t *testing.T) {
	a := Weigh(job.Evidence{Analysis: map[string]float64{"C": .2}, Hardness: q.Known(q.Brinell(150))}, Context{})
	text, err := json.Marshal(struct {
		A Assessment
		T []TestOption
	}{a, Tests(a, job.MeasureKit{})})
	if err != nil {
		t.Fatal(err)
	}
	var back struct{ A Assessment }
	if err := json.Unmarshal(text, &back); err != nil || len(back.A.Credible) != len(a.Credible) || back.A.Credible[0].Analysis != a.Credible[0].Analysis {
		t.Errorf("does not come back: %v", err)
	}
}
