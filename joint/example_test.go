package joint_test

import (
	"fmt"
	"testing"

	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
)

const mm = q.Millimetre

func ExampleArea() {
	r, err := joint.Area(joint.Measures{Shape: joint.SingleV, Angle: 60 * q.Degree, RootOpening: 2 * mm, Depth: 12 * mm})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm²\n", r.Value.MM2())
	for _, s := range r.Basis.Steps {
		fmt.Printf("%s: %s = %.1f %s\n", s.Name, s.With, s.Value, s.Unit)
	}
	// Output:
	// 107 mm²
	// gap: 2 × 12 = 24.0 mm²
	// V: 12² × tan 30° = 83.1 mm²
	// section:  = 107.1 mm²
	// for a metre:  = 0.8 kg/m
}

// A crack in the side plate of a stone screen: 16 mm plate, both faces can be
// reached, one end runs under a stiffener and is not seen.
func ExampleExcavate() {
	r, err := joint.Excavate(joint.Damage{
		Length: q.Known(160 * mm), Thickness: q.Known(16 * mm), Through: job.Yes, Ends: "one", Access: job.BothSides,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	e := r.Value
	fmt.Printf("remove %.0f to %.0f mm, %.0f mm deep, ramps of %.0f mm\n", e.Remove.Low.MM(), e.Remove.High.MM(), e.Depth.MM(), e.Ramp.MM())
	fmt.Printf("%s, radius %.0f mm, %.1f mm wide; root: %s\n", e.Groove.Shape, e.Groove.Radius.MM(), e.Groove.TopWidth.MM(), e.Root)
	// Output:
	// remove 260 to 300 mm, 8 mm deep, ramps of 24 mm
	// single-u, radius 6 mm, 13.5 mm wide; root: back-gouge
}

func ExampleLayout() {
	g := joint.Groove{Shape: joint.SingleV, Angle: 45 * q.Degree, RootOpening: 6 * mm, Depth: 12 * mm, Thickness: 12 * mm, Backing: joint.SteelBacking}
	r, err := joint.Layout(g, joint.Constraints{
		Fill: joint.Run{Core: 3.2 * mm, Area: 17 * q.SquareMillimetre}, Position: job.Flat, Cap: 2 * mm,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range r.Value.Layers {
		fmt.Printf("layer %d %s: beads %d to %d\n", l.Number, l.Kind, l.First, l.Last)
	}
	// Output:
	// layer 1 root: beads 1 to 1
	// layer 2 fill: beads 2 to 3
	// layer 3 fill: beads 4 to 5
	// layer 4 cap: beads 6 to 8
}

func ExampleAlong() {
	r, err := joint.Along(800*mm, nil, []joint.Layer{{Number: 1, Kind: joint.RootBead}, {Number: 2, Kind: joint.FillBead}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, run := range r.Value.Runs {
		fmt.Printf("layer %d:", run.Layer)
		for _, b := range run.Blocks {
			fmt.Printf(" %.0f→%.0f", b.From.MM(), b.To.MM())
		}
		fmt.Println()
	}
	// Output:
	// layer 1: 200→400 600→400 0→200 800→600
	// layer 2: 450→250 650→450 0→250 800→650
}

func bench(b *testing.B, g joint.Groove) {
	c := joint.Constraints{Fill: joint.Run{Core: 3.2 * mm, Area: 17 * q.SquareMillimetre}, Position: job.Flat, Cap: 2 * mm}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := joint.Layout(g, c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLayoutBothSides25(b *testing.B) {
	u := joint.Groove{Shape: joint.SingleU, Angle: 15 * q.Degree, Radius: 6 * mm, Depth: 14.5 * mm, Thickness: 25 * mm}
	g := u
	g.Depth, g.SecondSide = 12.5*mm, &u
	bench(b, g)
}

func BenchmarkLayoutV60(b *testing.B) {
	bench(b, joint.Groove{Shape: joint.SingleV, Angle: 60 * q.Degree, RootOpening: 3 * mm, Depth: 60 * mm, Thickness: 60 * mm})
}

func BenchmarkExcavate(b *testing.B) {
	d := joint.Damage{Length: q.Known(160 * mm), Thickness: q.Known(16 * mm), Through: job.Yes, Ends: "one", Access: job.BothSides}
	for b.Loop() {
		if _, err := joint.Excavate(d); err != nil {
			b.Fatal(err)
		}
	}
}
