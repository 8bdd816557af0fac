package strength_test

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/strength"
)

func ExampleFatigueLife() {
	r, err := strength.FatigueLife(strength.LifeInput{FAT: 80 * q.Megapascal, Range: 100 * q.Megapascal})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3e cycles\n%s\n", float64(r.Value), r.Basis.Why)
	// Output:
	// 1.024e+06 cycles
	// Every load cycle uses up a little of the weld's life; the class of the detail says how fast.
}

func ExampleFADLimit() {
	r, _ := strength.FADLimit(0.8, 355*q.Megapascal, 490*q.Megapascal)
	fmt.Printf("Kr up to %.3f\n", float64(r.Value))
	_, err := strength.FADLimit(1.3, 355*q.Megapascal, 490*q.Megapascal)
	fmt.Println(err)
	// Output:
	// Kr up to 0.784
	// fad: Lr 1.3 is outside the method's range 0 to 1.19; the rest of the section collapses: no Kr is low enough
}

func ExamplePlateEndLimit() {
	r, _ := strength.PlateEndLimit(112*q.Megapascal, 50*q.Megapascal)
	fmt.Printf("end the plate where the stress is at most %.0f %% of that at the crack\n", 100*float64(r.Value))
	// Output:
	// end the plate where the stress is at most 45 % of that at the crack
}

func ExampleCauses() {
	seen := strength.Seen{Starts: "weld-root"}
	for _, c := range strength.Causes(seen).Value[:2] {
		fmt.Printf("%s: %.0f %%\n", c.Title, 100*c.Weight)
	}
	// Output:
	// fatigue from a weld root: 73 %
	// an earlier repair or plate: 18 %
}

func ExampleUntilFriday() {
	in := strength.FridayInput{
		Crack: strength.CrackCase{Geometry: strength.Through, A: 20 * q.Millimetre, Width: 300 * q.Millimetre, Thickness: 20 * q.Millimetre},
		Load:  strength.LoadOf(80*q.Megapascal, strength.StressScatter(), 180, 0.1, false), Peak: 120 * q.Megapascal,
		Yield: 355 * q.Megapascal, Tensile: 490 * q.Megapascal, Toughness: q.At(65 * q.MPaRootMetre),
		Residual: q.Of[q.Stress]{Low: 0, High: 120 * q.Megapascal}, Need: 30 * q.Hour,
	}
	r, err := strength.UntilFriday(in)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Value.Verdict)
	for _, row := range r.Value.Rows {
		fmt.Printf("residual %s: breaks at %.0f mm half length, %s\n", row.Residual.In(q.SI), row.Critical.MM(), row.Light)
	}
	// Output:
	// stop now
	// residual 0 MPa: breaks at 62 mm half length, amber
	// residual 60 MPa: breaks at 35 mm half length, amber
	// residual 120 MPa: breaks at 21 mm half length, red
}

func ExampleSectionOf() {
	box := strength.Profile{Shape: job.Box, Width: 300 * q.Millimetre, Depth: 400 * q.Millimetre, Flange: 16 * q.Millimetre, Web: 10 * q.Millimetre, Webs: 260 * q.Millimetre}
	r, err := strength.SectionOf(box, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("A %.0f mm², I %.4e mm⁴, W %.4e mm³\n", r.Value.Area.MM2(), r.Value.Ix.MM4(), r.Value.WBottom.MM3())
	// Output:
	// A 16960 mm², I 4.3716e+08 mm⁴, W 2.1858e+06 mm³
}
