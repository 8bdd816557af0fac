package filler_test

import (
	"fmt"

	"soundmetal/filler"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func ExampleRead() {
	for _, said := range []string{"118", "E7018-H4R", "lo-hi", "7081"} {
		c, err := filler.Read(said)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s: %s, hydrogen %s\n", said, c, filler.LevelName(c.Level().V))
	}
	// Output:
	// 118: E11018-M, hydrogen H4
	// E7018-H4R: E7018 H4R, hydrogen H4
	// lo-hi: E7018, hydrogen H16
	// "7081" is not a rod or wire we know; the nearest is E7018 (write E7018); accepted: the class on the tin, such as E7018-H4R, E11018-M, E309L
}

func ExampleRunOut() {
	r, err := filler.RunOut(4*q.Millimetre, 410*q.Millimetre, 0.0408*filler.KilojoulePerCubicMillimetre, 1.0*q.KilojoulePerMillimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm of weld from one rod\n", r.Value.MM())
	// Output: 267.6 mm of weld from one rod
}

func ExampleDryness() {
	r, err := filler.Dryness(filler.DryIn{Rod: job.Rod{Class: "7018-H4", Condition: "opened", Opened: q.Known(6 * q.Hour)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Value.Say)
	fmt.Println("plan with", filler.LevelName(r.Value.Hydrogen.V))
	// Output:
	// Out longer than its 4 h. Bake it once before use.
	// plan with H16
}

func ExampleCandidates() {
	r, err := filler.Candidates(filler.Need{
		Steels: []filler.Base{
			{Group: filler.Structural, Name: "S355", Yield: q.Known(355 * q.Megapascal)},
			{Group: filler.Quenched, Name: "S690QL", Yield: q.Known(690 * q.Megapascal)},
		},
		Weld: filler.FilletShear,
		Rods: []job.Rod{
			{Class: "6010", Size: 3.2 * q.Millimetre, Condition: "opened"},
			{Class: "7018-H4R", Size: 3.2 * q.Millimetre, Condition: "sealed"},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Value.Use {
		fmt.Println("use", c.Class, "-", c.Strategy)
	}
	for _, c := range r.Value.Never {
		fmt.Println("never", c.Class, "-", c.Reasons[0].Text)
	}
	// Output:
	// use E7018 H4R - undermatch
	// never E6010 - the cellulosic coating brings 30 ml of hydrogen or more per 100 g: hardened steel cracks from it
}
