package view

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

// planned plans a demo job.
func planned(t testing.TB, name string, sys q.System) []Item {
	t.Helper()
	data, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shop, err := job.ReadShop("shop.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	if data, err = demo.Files.ReadFile(name + ".yaml"); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(name+".yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Make(j, &shop, sys)
	if err != nil {
		t.Fatal(err)
	}
	all, err := Items(p, j)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

var demoJobs = []string{"quarry-screen", "blade-arm", "tipper", "dumper"}

// Every figure on a drawing stands in the plan: in a figure's text, or it is a
// measure of the job itself, the thickness or the sound metal beyond the crack.
func TestFiguresAreThePlans(t *testing.T) {
	for _, name := range demoJobs {
		for _, sys := range []q.System{q.US, q.SI} {
			for _, it := range planned(t, name, sys) {
				if it.Plan.Groove == nil {
					continue
				}
				var known []string
				for _, s := range it.Plan.Sections {
					for _, l := range s.Lines {
						if l.Figure != nil {
							known = append(known, Lead(l.Figure.Text, sys))
						}
					}
				}
				known = append(known, it.Job.Crack.Length.V.Text(sys), it.Plan.Groove.Groove.Thickness.Text(sys))
				known = append(known, (2 * q.Inch).Text(sys), (50 * q.Millimetre).Text(sys)) // sound metal beyond each end, AWS D1.1 5.25.1.4
				part, _ := it.Part()
				end, hasEnd := it.End()
				jt, _ := it.Joint()
				labels := []sketch.Label{part.CrackText, part.Removed, part.RampText, part.BandText, part.ReadText,
					jt.First.Angle, jt.First.Radius, jt.First.Opening, jt.First.Face, jt.First.Depth, jt.First.Top, jt.Thick, jt.Back,
					jt.Second.Angle, jt.Second.Radius, jt.Second.Depth, jt.Second.Top}
				if hasEnd {
					labels = append(labels, end.BeyondText, end.RampText, end.DepthText, end.ThickText)
				}
				for _, l := range labels {
					if l.Lead == "" {
						continue
					}
					if !slices.ContainsFunc(known, func(s string) bool { return strings.Contains(s, l.String()) }) {
						t.Errorf("%s %s, %s: the figure %q is not in the plan", name, sys, it.Name(), l)
					}
				}
			}
		}
	}
}

// The dimensions of the joint are those of the groove, within what a tape shows.
func TestDimensionsAreTheGrooves(t *testing.T) {
	for _, name := range demoJobs {
		for _, it := range planned(t, name, q.SI) {
			e := it.Plan.Groove
			if e == nil {
				continue
			}
			jt, _ := it.Joint()
			for _, c := range []struct {
				what string
				text sketch.Label
				want q.Length
			}{{"depth", jt.First.Depth, e.Groove.Depth}, {"top", jt.First.Top, e.Groove.TopWidth}, {"thickness", jt.Thick, e.Groove.Thickness}} {
				got, err := q.Read[q.Length](c.text.Lead, q.ReadAs{})
				if err != nil {
					t.Fatal(err)
				}
				if d := got - c.want; d < -0.6*q.Millimetre || d > 0.6*q.Millimetre {
					t.Errorf("%s, %s: %s says %s, the groove has %.2f mm, difference %.2f", name, it.Name(), c.what, c.text.Lead, c.want.MM(), d.MM())
				}
			}
		}
	}
}

// The drawings of the demo jobs keep to their frames, on page and phone, and
// lead in one system only.
func TestDrawingsOfDemoJobs(t *testing.T) {
	wrong := map[q.System]*regexp.Regexp{q.SI: regexp.MustCompile(`\d ?(in|ft|°F)\b.*\(`), q.US: regexp.MustCompile(`\d ?(mm|°C)\b.*\(`)}
	for _, name := range demoJobs {
		for _, sys := range []q.System{q.US, q.SI} {
			for _, it := range planned(t, name, sys) {
				for _, w := range []float64{sketch.PageWidth, sketch.PhoneWidth} {
					d, err := it.Draw(sketch.Frame{Width: w, High: w * 0.7})
					if err != nil {
						t.Fatal(err)
					}
					for _, n := range d.All() {
						full := fmt.Sprintf("%s %s, %s, %s %.0f", name, sys, it.Name(), n.Name, w)
						p := draw.Apart(n.Drawing)
						for i, a := range p.Texts {
							if !a.Box.Within(draw.Box{X1: n.Drawing.W, Y1: n.Drawing.H}, 0.6) {
								t.Errorf("%s: %q runs out of the frame", full, a.S)
							}
							if wrong[sys].MatchString(a.S) {
								t.Errorf("%s: %q leads in the wrong system", full, a.S)
							}
							for _, b := range p.Texts[i+1:] {
								if a.Box.Meets(b.Box, 0.35) {
									t.Errorf("%s: %q and %q lie on each other", full, a.S, b.S)
								}
							}
						}
						if svg := draw.SVG(n.Drawing, n.Name); len(svg) > 60<<10 {
							t.Errorf("%s: %d bytes of SVG, want less than 60 kB", full, len(svg))
						}
					}
				}
			}
		}
	}
}

func TestFirstPair(t *testing.T) {
	for _, c := range []struct{ text, lead, echo string }{
		{"13 in (330 mm)", "13 in", "330 mm"},
		{"1/4 in (6 mm) or more", "1/4 in", "6 mm"},
		{"10 in (254 mm) at least; up to 12 in (305 mm)", "10 in", "254 mm"},
		{"15°", "15°", ""},
		{"2 of 8 in (203 mm), from the middle", "2 of 8 in", "203 mm"},
		{"", "", ""},
	} {
		if got := FirstPair(c.text); got.Lead != c.lead || got.Echo != c.echo {
			t.Errorf("%q: got %q and %q, want %q and %q", c.text, got.Lead, got.Echo, c.lead, c.echo)
		}
	}
}

// A refused place has nothing to draw.
func TestRefusedHasNoDrawing(t *testing.T) {
	for _, it := range planned(t, "fork", q.SI) {
		d, err := it.Draw(sketch.Frame{Width: sketch.PageWidth})
		if err != nil {
			t.Fatal(err)
		}
		if all := d.All(); len(all) > 0 {
			t.Errorf("%s: %d drawings of a refused place", it.Name(), len(all))
		}
	}
}

func TestItemsThatDoNotBelong(t *testing.T) {
	if _, err := Items(&plan.Plan{Items: make([]plan.Item, 2)}, job.Job{}); err == nil {
		t.Error("a plan with other places than the job was taken")
	}
}

func BenchmarkDraw(b *testing.B) {
	items := planned(b, "quarry-screen", q.US)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := items[0].Draw(sketch.Frame{Width: sketch.PageWidth}); err != nil {
			b.Fatal(err)
		}
	}
}
