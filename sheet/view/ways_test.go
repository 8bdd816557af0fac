package view

import (
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

// For the demo machines, on a page and on a phone: both places of the clamp are
// drawn, nothing runs over the edge, and the words tell it without the picture.
func TestWays(t *testing.T) {
	for _, name := range []string{"quarry-screen", "blade-arm", "tipper", "dumper"} {
		data, err := demo.Files.ReadFile(name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		j, err := job.Read(name, data)
		if err != nil {
			t.Fatal(err)
		}
		a, err := plan.Rig(j, nil, q.SI, plan.RigAsk{})
		if err != nil {
			t.Fatal(err)
		}
		for _, width := range []float64{sketch.PageWidth, sketch.PhoneWidth} {
			d, err := Ways(a.Currents, sketch.Frame{Width: width})
			if err != nil {
				t.Fatal(name, err)
			}
			parts := draw.Apart(d)
			sheet := draw.Box{X1: d.W, Y1: d.H}
			for _, text := range parts.Texts {
				if !text.Box.Within(sheet, 0.5) {
					t.Errorf("%s at %.0f mm: %q runs over the edge: %+v", name, width, text.S, text.Box)
				}
			}
			words := strings.Join(parts.Words(), " ")
			for _, item := range a.Currents {
				for _, p := range item.Current.Compared {
					if !strings.Contains(strings.ToLower(words), "clamp on the "+p.Name) || !strings.Contains(d.Desc, p.Say) {
						t.Errorf("%s: the clamp on the %s is not told", name, p.Name)
					}
				}
			}
		}
	}
	if _, err := Ways(nil, sketch.Frame{Width: sketch.PageWidth}); err == nil || !strings.Contains(err.Error(), "machine.contacts") {
		t.Errorf("nothing to draw: %v", err)
	}
}
