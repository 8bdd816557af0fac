package heat_test

import (
	"fmt"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
)

// A 50 mm plate of CET .40 with H5 rods at 2 kJ/mm.
func ExamplePreheatCET() {
	r, err := heat.PreheatCET(heat.CETInput{CET: .40, Thickness: 50 * q.Millimetre, Hydrogen: 5, HeatInput: 2 * q.KilojoulePerMillimetre})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range r.Basis.Steps {
		fmt.Printf("%-16s %-18s %7.2f %s\n", s.Name, s.Formula, s.Value, s.Unit)
	}
	_, err = heat.PreheatCET(heat.CETInput{CET: .56, Thickness: 50 * q.Millimetre, Hydrogen: 5, HeatInput: 2 * q.KilojoulePerMillimetre})
	fmt.Println(err)
	// Output:
	// steel            697·CET             278.80 °C
	// thickness        160·tanh(d/35)      142.62 °C
	// hydrogen         62·HD^0.35          108.90 °C
	// heat input       (53·CET − 32)·Q     -21.60 °C
	// minimum preheat  sum − 328           180.72 °C
	// preheat-cet: CET 0.56 % is outside the method's range 0.2 to 0.5 %; above it the steel is treated as high-carbon steel: use preheat-ms, or the rule of the family
}

// A rigid repair in 25 mm quenched and tempered plate.
func ExampleMinimumPreheat() {
	f, err := heat.MinimumPreheat(heat.PreheatInput{
		Steel: heat.Steel{C: .15, Si: .25, Mn: .80, Cr: .50, Mo: .45, V: .05, Ni: .80, Cu: .25, B: .002, CE: .5533, CET: .3325, Pcm: .2942},
		Group: heat.A514, Category: heat.CategoryA514, Thickness: 25 * q.Millimetre, Hydrogen: 4,
		HeatInput: 1.2 * q.KilojoulePerMillimetre, Restraint: job.HighRestraint,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range f.Rows {
		if r.Role == heat.Silent {
			fmt.Printf("%-21s %s\n", r.Method, r.Reason)
		} else {
			fmt.Printf("%-21s %3.0f °C, %s\n", r.Method, r.Value.C(), r.Role)
		}
	}
	fmt.Printf("floor %.0f °C by %s\n", f.Minimum.C(), f.By)
	// Output:
	// preheat-cet            85 °C, counts
	// preheat-si            140 °C, counts
	// preheat-prequalified   50 °C, counts
	// preheat-special       no rule of its own for this family
	// preheat-ms            carbon is not above .32 %: the formulas hold
	// cold-steel            the temperature of the steel is not known
	// preheat-ito           140 °C, check
	// preheat-seferian      145 °C, check
	// floor 140 °C by preheat-si
}
