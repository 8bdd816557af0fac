package sketch

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
)

// -draw writes the drawings of invented data into a folder, to be looked at.
var drawInto = flag.String("draw", "", "folder to write the sample drawings to")

func label(l q.Length, sys q.System) Label {
	s := q.US
	if sys == q.US {
		s = q.SI
	}
	return Label{l.In(sys), l.In(s)}
}

func samplePlate() Plate {
	const mm = q.Millimetre
	return Plate{Part: 200 * mm, Length: 640 * mm, Width: 140 * mm, Taper: 150 * mm, Nose: 25 * mm, Stop: 100 * mm,
		LongText: label(640*mm, q.SI), WideText: label(140*mm, q.SI), TaperText: label(150*mm, q.SI), NoseText: label(25*mm, q.SI),
		ThickText: label(12*mm, q.SI), LegText: label(8*mm, q.SI), StopText: label(100*mm, q.SI), FreeText: label(30*mm, q.SI)}
}

func sampleChart(sys q.System) Chart {
	c := Chart{Floor: q.Known(q.Temperature(140)), Ceiling: q.Known(q.Temperature(245)), Units: sys}
	edge, far := Series{Name: "50 mm from the edge"}, Series{Name: "far face"}
	for i := 0; i <= 180; i++ {
		t := float64(i)
		v := 12 + 150*(1-math.Exp(-t/25))
		if t > 60 {
			v += 40*math.Abs(math.Sin((t-60)/9)) - 8
		}
		edge.Points = append(edge.Points, ChartPoint{q.Time(t) * q.Minute, q.Temperature(v)})
		far.Points = append(far.Points, ChartPoint{q.Time(t) * q.Minute, q.Temperature(12 + 140*(1-math.Exp(-t/45)))})
	}
	c.Series = []Series{edge, far}
	for b := range 14 {
		c.Beads = append(c.Beads, BeadMark{q.Time(60+8*b) * q.Minute, fmt.Sprint(b + 1)})
	}
	return c
}

// sampleLogged is a chart of readings over what was expected of both faces.
func sampleLogged(sys q.System) Chart {
	c := Chart{Floor: q.Known(q.Temperature(140)), Ceiling: q.Known(q.Temperature(245)), Units: sys}
	near, far := Band{Name: "expected, your face"}, Band{Name: "expected, far face"}
	for i := 0; i <= 60; i++ {
		t := float64(i)
		at := q.Time(t) * q.Minute
		near.Points = append(near.Points, BandPoint{at, q.Temperature(12 + 150*(1-math.Exp(-t/12))), q.Temperature(12 + 230*(1-math.Exp(-t/10)))})
		far.Points = append(far.Points, BandPoint{at, q.Temperature(12 + 140*(1-math.Exp(-t/20))), q.Temperature(12 + 160*(1-math.Exp(-t/14)))})
	}
	c.Bands = []Band{near, far}
	mine, other := Series{Name: "read, your face", Dots: FullDot}, Series{Name: "read, far face", Dots: RingDot}
	for i := range 6 {
		t := float64(4 + 8*i)
		mine.Points = append(mine.Points, ChartPoint{q.Time(t) * q.Minute, q.Temperature(12 + 180*(1-math.Exp(-t/14)))})
		other.Points = append(other.Points, ChartPoint{q.Time(t+2) * q.Minute, q.Temperature(12 + 120*(1-math.Exp(-t/22)))})
	}
	c.Series = []Series{mine, other}
	for b := range 4 {
		c.Beads = append(c.Beads, BeadMark{q.Time(32+7*b) * q.Minute, fmt.Sprint(b + 1)})
	}
	return c
}

func samplePath() Path {
	return Path{Arc: "arm", Clamp: "frame", Bodies: []Body{
		{"arm", "lift arm", 12, 30}, {"pin", "pin", 35, 48}, {"frame", "main frame", 60, 30}, {"cyl", "tilt cylinder with a long name", 30, 85}, {"bear", "slew ring bearing", 85, 60}, {"ctrl", "controller", 85, 95}},
		Contacts: []Contact{
			{"arm", "pin", "bush", 0.55, "66 A", false}, {"pin", "frame", "bush", 0.55, "66 A", false}, {"arm", "cyl", "rod eye", 0.3, "36 A", true},
			{"cyl", "frame", "gland", 0.3, "36 A", true}, {"frame", "bear", "race", 0.001, "", true}, {"bear", "ctrl", "loom", 0, "", false}}}
}

// grooveOf makes a layout as the joint room does it.
func grooveOf(t testing.TB, g joint.Groove, core, bead float64) (joint.Groove, joint.Layers) {
	t.Helper()
	r, err := joint.Layout(g, joint.Constraints{Fill: joint.Run{Core: q.Length(core) * q.Millimetre, Area: q.Area(bead) * q.SquareMillimetre}, Position: "flat", LowHydrogen: true, Cap: 2 * q.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	return g, r.Value
}

func weldOf(g joint.Groove, l joint.Layers) Weld {
	w := Weld{Groove: g}
	for _, b := range l.Beads {
		w.Beads = append(w.Beads, WeldBead{b.Number, b.Layer, b.Side, string(b.Kind), b.Outline})
	}
	return w
}

// grooves are cases with what is hard to draw about them.
func grooves(t testing.TB) map[string]Weld {
	const mm, deg = q.Millimetre, q.Degree
	side := joint.Groove{Shape: joint.SingleU, Angle: 15 * deg, Radius: 6 * mm, Depth: 32 * mm, Thickness: 60 * mm}
	both := side
	both.Depth = 30 * mm
	both.SecondSide = &side
	all := map[string]Weld{}
	for name, c := range map[string]struct {
		g          joint.Groove
		core, bead float64
	}{
		"thin 6 mm":                      {joint.Groove{Shape: joint.SingleV, Angle: 60 * deg, RootOpening: 3 * mm, RootFace: 1.5 * mm, Depth: 6 * mm, Thickness: 6 * mm}, 3.2, 16},
		"thick 60 mm, 45 and more beads": {both, 4, 24},
		"wide, 14 in a layer":            {joint.Groove{Shape: joint.SingleV, Angle: 90 * deg, RootOpening: 30 * mm, Depth: 38 * mm, Thickness: 38 * mm, Backing: joint.SteelBacking, BackingSize: 6 * mm}, 3.2, 18},
		"bevel":                          {joint.Groove{Shape: joint.SingleBevel, Angle: 45 * deg, RootOpening: 6 * mm, Depth: 20 * mm, Thickness: 20 * mm, Backing: joint.SteelBacking, BackingSize: 5 * mm}, 4, 25},
		"not through":                    {joint.Groove{Shape: joint.SingleU, Angle: 15 * deg, Radius: 6 * mm, Depth: 14 * mm, Thickness: 40 * mm}, 4, 25},
		"square":                         {joint.Groove{Shape: joint.Square, RootOpening: 2 * mm, Depth: 3 * mm, Thickness: 3 * mm}, 2.5, 8},
	} {
		g, l := grooveOf(t, c.g, c.core, c.bead)
		all[name] = weldOf(g, l)
	}
	return all
}

func TestSamples(t *testing.T) {
	if *drawInto == "" {
		t.Skip("-draw DIR writes the drawings to look at")
	}
	write := func(name string, d *draw.Drawing) {
		if err := os.WriteFile(filepath.Join(*drawInto, name+".svg"), []byte(draw.SVG(d, "x")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, w := range []float64{PageWidth, PhoneWidth} {
		f := Frame{Width: w}
		write(fmt.Sprintf("plate-%.0f", w), DrawPlate(samplePlate(), f))
		write(fmt.Sprintf("chart-%.0f", w), DrawChart(sampleChart(q.US), f))
		write(fmt.Sprintf("logged-%.0f", w), DrawChart(sampleLogged(q.US), f))
		write(fmt.Sprintf("path-%.0f", w), DrawPath(samplePath(), f))
		for name, s := range grooves(t) {
			d, err := DrawWeld(s, Frame{Width: w, High: w})
			if err != nil {
				t.Fatal(err)
			}
			write(fmt.Sprintf("weld-%s-%.0f", name[:4], w), d)
			j, err := DrawJoint(Joint{Groove: s.Groove, First: JointText{Angle: Label{"60°", ""}, Depth: label(s.Groove.Depth, q.SI), Top: Label{"8 mm", "5/16 in"}, Opening: label(s.Groove.RootOpening, q.SI), Face: label(s.Groove.RootFace, q.SI), Radius: label(s.Groove.Radius, q.SI)}, Thick: label(s.Groove.Thickness, q.SI), Back: label(s.Groove.BackingSize, q.SI)}, f)
			if err != nil {
				t.Fatal(err)
			}
			write(fmt.Sprintf("joint-%s-%.0f", name[:4], w), j)
		}
	}
}
