package calc

import (
	"fmt"
	"strconv"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/strength"
)

func strengthMethods() []Method {
	fat := stress("FAT", "fatigue class: the range at 2 million cycles")
	knee := choice("m_knee", "curve: how it goes on beyond the knee", strength.CurveIDs()...).or("iiw")
	return []Method{
		{ID: "fatigue-life", Title: "Fatigue life of a class at a stress range",
			Params: []Param{fat, stress("range", "nominal stress range"), knee, number("gamma", "partial factor on stress").or("1"), stress("yield", "yield of the steel, for the limit of the range").optional()},
			run: func(a *args) (Answer, error) {
				r, err := strength.FatigueLife(strength.LifeInput{FAT: get[q.Stress](a, "FAT"), Range: get[q.Stress](a, "range"), Knee: a.word("m_knee"),
					Gamma: a.num("gamma"), Yield: get[q.Stress](a, "yield")})
				return cycles(r.Value, r.Basis), err
			}},
		{ID: "stress-from-life", Title: "Stress range at which a class lasts so many cycles",
			Params: []Param{fat, number("cycles", "cycles it must last"), knee},
			run: func(a *args) (Answer, error) {
				r, err := strength.StressFromLife(get[q.Stress](a, "FAT"), strength.Cycles(a.num("cycles")), a.word("m_knee"))
				return value(r.Value.MPa(), "MPa", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "crack-growth", Title: "Cycles for a crack to grow from a1 to a2",
			Params: []Param{choice("geometry", "where the crack lies", string(strength.Through), string(strength.Edge)), length("a1", "length now: half of a through crack, from the edge of an edge crack"),
				length("a2", "length to reach, measured alike"), length("W", "width of the plate"), stress("range", "stress range of the gross section"),
				choice("law", "growth law", lawWords()...).or(string(strength.TwoStageMean))},
			run: func(a *args) (Answer, error) {
				r, err := strength.CrackGrowth(strength.GrowthInput{Geometry: strength.Geometry(a.word("geometry")), A1: get[q.Length](a, "a1"), A2: get[q.Length](a, "a2"),
					Width: get[q.Length](a, "W"), Range: get[q.Stress](a, "range"), Law: strength.LawInput{Law: strength.Law(a.word("law"))}})
				return cycles(r.Value, r.Basis), err
			}},
		{ID: "sif-surface", Title: "Stress intensity of a surface crack",
			Params: []Param{length("a", "depth"), length("c", "half of the length at the surface"), length("t", "thickness"), length("b", "half of the plate's width"),
				angle("phi", "place on the front: 0 at the surface, 90 at the deepest point").or("90"), stress("sigma_m", "stress through the thickness"), stress("sigma_b", "bending stress at the surface").or("0")},
			run: func(a *args) (Answer, error) {
				r, err := strength.SurfaceIntensity(strength.SurfaceInput{A: get[q.Length](a, "a"), C: get[q.Length](a, "c"), Thickness: get[q.Length](a, "t"),
					HalfWidth: get[q.Length](a, "b"), Phi: get[q.Angle](a, "phi"), Membrane: get[q.Stress](a, "sigma_m"), Bending: get[q.Stress](a, "sigma_b")})
				k := float64(r.Value / q.MPaRootMetre)
				return value(k, "MPa√m", fmt.Sprintf("%.4g MPa√m", k), r.Basis), err
			}},
		{ID: "fad", Title: "Failure assessment diagram: highest Kr at an Lr",
			Params: []Param{number("Lr", "load over the load at which the rest of the section yields"), stress("Re", "yield strength"), stress("Rm", "tensile strength")},
			run: func(a *args) (Answer, error) {
				r, err := strength.FADLimit(a.num("Lr"), get[q.Stress](a, "Re"), get[q.Stress](a, "Rm"))
				return value(float64(r.Value), "1", fmt.Sprintf("Kr at most %.4g", float64(r.Value)), r.Basis), err
			}},
		sectionMethod(),
		{ID: "stop-hole", Title: "Hole that holds the tip of a crack for a while",
			Params: []Param{stress("range", "stress range of the gross section, its upper end"), length("crack", "visible length, tip to tip; from the edge to the tip of an edge crack"),
				stress("yield", "yield strength"), length("W", "width of the plate; wide if left out").optional(), choice("geometry", "where the crack lies", string(strength.Through), string(strength.Edge)).or(string(strength.Through)),
				choice("holes", "are the holes within the length given?", "added", "included").or("added")},
			run: func(a *args) (Answer, error) {
				r, err := strength.StopHole(strength.StopHoleInput{Range: get[q.Stress](a, "range"), Length: get[q.Length](a, "crack"), Width: get[q.Length](a, "W"),
					Yield: get[q.Stress](a, "yield"), Edge: a.word("geometry") == string(strength.Edge), Includes: a.word("holes") == "included"})
				v := r.Value
				return value(v.Diameter.MM(), "mm", fmt.Sprintf("drill %s; radius needed %s", v.Diameter.Text(q.SI), v.Needed.Text(q.SI)), r.Basis), err
			}},
		{ID: "rainflow", Title: "Rainflow count of a load history",
			Params: []Param{text("history", "the values in order: -2,1,-3,5; any unit")},
			run: func(a *args) (Answer, error) {
				history, err := readNumbers(a.word("history"))
				if err != nil {
					return Answer{}, err
				}
				r, err := strength.Rainflow(history)
				var parts []string
				var sum float64
				for _, c := range strength.SumRanges(r.Value) {
					parts = append(parts, fmt.Sprintf("%.4g: %.4g", c.Range, c.Count))
					sum += c.Count
				}
				return value(sum, "cycles", fmt.Sprintf("%.4g cycles; range: count %s", sum, strings.Join(parts, ", ")), r.Basis), err
			}},
	}
}

func lawWords() []string {
	var all []string
	for _, l := range strength.Laws() {
		all = append(all, string(l))
	}
	return all
}

func cycles(n strength.Cycles, b basis) Answer {
	return value(float64(n), "cycles", fmt.Sprintf("%.3g cycles", float64(n)), b)
}

// readNumbers reads values between commas, semicolons or blanks.
func readNumbers(text string) ([]float64, error) {
	var all []float64
	for _, f := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; \t", r) }) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			return nil, fmt.Errorf("history %q is not a list of numbers such as -2,1,-3,5", f)
		}
		all = append(all, v)
	}
	return all, nil
}

// sectionMethod is a section by its usual dimensions, with a plate under it and
// a crack in its lower face.
func sectionMethod() Method {
	var shapes []string
	for _, s := range []job.Shape{job.Plate, job.Box, job.ISection, job.Channel, job.AngleBar, job.Tube} {
		shapes = append(shapes, string(s))
	}
	return Method{ID: "section", Title: "Section: area, second moment, section modulus",
		Params: []Param{choice("shape", "shape of the section", shapes...), length("width", "outside width; outside diameter of a tube"),
			length("depth", "outside depth; thickness of a plate").optional(), length("flange", "thickness of the flanges, or of the lying leg of an angle").optional(),
			length("web", "thickness of a web, of the standing leg, of a tube's wall").optional(), length("webs", "box: between the middles of the webs; at the sides if left out").optional(),
			length("plate_width", "width of a plate on the lower face").optional(), length("plate", "its thickness").optional(),
			length("crack", "length of a crack through the lower flange or the plate").optional(), choice("crack_at", "where it lies across the width", "middle", "edge").or("middle")},
		run: func(a *args) (Answer, error) {
			p := strength.Profile{Shape: job.Shape(a.word("shape")), Width: get[q.Length](a, "width"), Depth: get[q.Length](a, "depth"),
				Flange: get[q.Length](a, "flange"), Web: get[q.Length](a, "web"), Webs: get[q.Length](a, "webs")}
			plates, cracks, err := onLowerFace(a, p)
			if err != nil {
				return Answer{}, err
			}
			r, err := strength.SectionOf(p, plates, cracks)
			s := r.Value
			return value(s.Ix.MM4(), "mm⁴", fmt.Sprintf("A %.4g mm², I %.4g mm⁴, W %.4g mm³ below, %.4g mm³ above", s.Area.MM2(), s.Ix.MM4(), s.WBottom.MM3(), s.WTop.MM3()), r.Basis), err
		}}
}

// onLowerFace places the plate and the crack of a call.
func onLowerFace(a *args, p strength.Profile) (plates, cracks []strength.Rect, err error) {
	if a.has("plate") != a.has("plate_width") {
		return nil, nil, fmt.Errorf("plate and plate_width go together")
	}
	if t := get[q.Length](a, "plate"); t > 0 {
		plates = []strength.Rect{{B: get[q.Length](a, "plate_width"), H: t, Y: -t / 2}}
	}
	if l := get[q.Length](a, "crack"); l > 0 {
		deep := p.Flange
		if p.Shape == job.Plate {
			deep = p.Depth
		}
		c := strength.Rect{B: l, H: deep, Y: deep / 2}
		if l > p.Width {
			return nil, nil, fmt.Errorf("crack %s is longer than the width %s", l.Text(q.SI), p.Width.Text(q.SI))
		}
		if a.word("crack_at") == "edge" {
			c.X = (p.Width - l) / 2
		}
		cracks = []strength.Rect{c}
	}
	return plates, cracks, nil
}
