package sketch

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

var update = flag.Bool("update", false, "write the golden files again")

// TestGolden pins text and geometry of one drawing of each kind, from invented
// figures. A change here is to be looked at, not only to be accepted.
func TestGolden(t *testing.T) {
	const mm, deg = q.Millimetre, q.Degree
	g, l := grooveOf(t, joint.Groove{Shape: joint.SingleV, Angle: 60 * deg, RootOpening: 3 * mm, RootFace: 1.5 * mm, Depth: 12 * mm, Thickness: 12 * mm}, 3.2, 16)
	f := Frame{Width: PageWidth, High: 70}
	j, err := DrawJoint(jointOf(g, q.SI), f)
	if err != nil {
		t.Fatal(err)
	}
	w, err := DrawWeld(weldOf(g, l), f)
	if err != nil {
		t.Fatal(err)
	}
	seq, err := joint.Along(600*mm, nil, l.Layers)
	if err != nil {
		t.Fatal(err)
	}
	for name, d := range map[string]*draw.Drawing{
		"part": DrawPart(samplePart(140, 25, 0, q.Maybe[q.Length]{}, q.US), f), "joint": j, "weld": w,
		"order": DrawOrder(Order{Length: 600 * mm, Runs: seq.Value.Runs}, f), "plate": DrawPlate(samplePlate(), f), "path": DrawPath(samplePath(), Frame{Width: PhoneWidth}),
		"logged": DrawChart(sampleLogged(q.SI), Frame{Width: PhoneWidth, High: 60}),
	} {
		t.Run(name, func(t *testing.T) {
			got := draw.SVG(d, name)
			file := filepath.Join("testdata", name+".svg")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the drawing differs from %s; look at it and run with -update if it is right", file)
			}
		})
	}
}
