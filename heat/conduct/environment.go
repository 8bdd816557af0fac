package conduct

// What the surfaces give off: convection, wind, radiation, blankets.
//
//	q = h·(Ts − Ta) + ε·σ·(Ts⁴ − Ta⁴)          W/m²
//	h = 4 + 4·v   (v wind at the work, m/s)      W/m²K
//	under a blanket  1/U = 1/(k/d) + 1/(h + hr)  with hr of the blanket's outer face
//
// The rows are in surfaces.csv. Ts is the surface itself: the half cell behind
// it is a resistance of its own, so that a strong flux does not spoil the order.

import (
	_ "embed"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed surfaces.csv
var surfacesCSV string

// Figure is one row of a table of the trade with its range and source.
type Figure struct {
	ID    string
	Value float64
	Low   float64
	High  float64
	Unit  string
	Text  string
	Ref   source.Ref
}

var surfaceFigures = mustReadFigures("surfaces.csv", surfacesCSV)

func figure(id string) Figure {
	f, ok := surfaceFigures[id]
	if !ok {
		panic("conduct: no row " + id + " in surfaces.csv")
	}
	return f
}

// Figures lists the surface figures by id, for the page of sources.
func Figures(id string) (Figure, bool) { f, ok := surfaceFigures[id]; return f, ok }

// Skin is what the surface of the steel looks like.
type Skin string

// Skins with a row in surfaces.csv.
const (
	Scaled Skin = "scaled" // rusty or scaled
	Mill   Skin = "mill"   // as rolled
	Bright Skin = "bright" // ground bright or galvanized
)

// Emissivity of a skin; an unnamed one counts as rolled.
func (s Skin) Emissivity() q.Ratio {
	if s == "" {
		s = Mill
	}
	return q.Ratio(figure("emissivity-" + string(s)).Value)
}

// FilmOf gives the convection of a wind speed at the work: 4 + 4v.
func FilmOf(wind q.Speed) Film {
	return Film(figure("film-still").Value + figure("film-wind").Value*float64(wind))
}

// Environment is what surrounds the part.
type Environment struct {
	Air  q.Temperature
	Wind q.Speed // at the work, behind a shelter if there is one
	Skin Skin
	// LossFactor multiplies what every open or covered surface gives off; 0 means 1.
	// A reading while the part cools calibrates it.
	LossFactor q.Ratio
}

func (e Environment) lossFactor() float64 {
	if e.LossFactor == 0 {
		return 1
	}
	return float64(e.LossFactor)
}

func (e Environment) check() error {
	if !(e.Air > -90 && e.Air < 90) {
		return fmt.Errorf("air of %.4g °C: a temperature between -90 and 90 °C is accepted", e.Air.C())
	}
	if !(e.Wind >= 0 && e.Wind <= 60) {
		return fmt.Errorf("wind of %.4g m/s: 0 to 60 m/s is accepted", float64(e.Wind))
	}
	if e.LossFactor < 0 || math.IsNaN(float64(e.LossFactor)) {
		return fmt.Errorf("loss factor %.4g: above zero is accepted", float64(e.LossFactor))
	}
	switch e.Skin {
	case "", Scaled, Mill, Bright:
	default:
		return fmt.Errorf("skin %q: scaled, mill or bright is accepted", string(e.Skin))
	}
	return nil
}

// Region is a set of faces: those that look to Face (or any, with Every) and
// whose middle lies in In.
type Region struct {
	Face Face
	In   Box
}

// Every is a Region's Face where all six count.
const Every = faces

// Whole is a box that holds every point.
var everywhere = Box{Point{q.Length(math.Inf(-1)), q.Length(math.Inf(-1)), q.Length(math.Inf(-1))},
	Point{q.Length(math.Inf(1)), q.Length(math.Inf(1)), q.Length(math.Inf(1))}}

// Side is the region of all faces that look one way.
func Side(f Face) Region { return Region{f, everywhere} }

func (r Region) has(p [3]float64, f Face) bool {
	return (r.Face == Every || r.Face == f) && r.In.has(p)
}

// Condition of a surface that differs from the environment: a contact with
// something else, a known temperature or flux. Used for machines' odd corners
// and for checking the solver.
type Surface struct {
	Where      Region
	Insulated  bool
	Film       Film    // convection; infinite (math.Inf(1)) holds the surface at Air
	Emissivity q.Ratio // to Air
	Air        q.Temperature
	AirAt      func(q.Time) q.Temperature // replaces Air where it changes with time; must be pure
	Flux       Flux                       // into the steel, beside film and radiation
}

// rule is how one class of surface gives off heat.
type rule struct {
	h, es   float64 // W/m²K, ε·σ
	cover   float64 // W/m²K of the blanket, 0 without
	air     float64 // °C
	airAt   func(q.Time) q.Temperature
	flux    float64
	hold    bool // the surface is held at air
	loss    float64
	counted bool // its heat counts as loss of the part in the ledger, not as a prescribed flux
}

// noSurface is the class of a face that lets nothing through.
const noSurface = 255

// surface is one exposed face of a cell.
type surface struct {
	cell  int32
	dir   Face
	class uint8
	area  float64
	half  float64 // m to the middle of the cell
	ts    float64 // °C of the surface
	q     float64 // W leaving at the start of the step
	g     float64 // W/(W/m) × θΔt: what the step adds by its slope
}

// lose takes from d what the surfaces give off at time t and puts the slope of
// that loss on the diagonal.
func (s *solver) lose(t, dt, theta float64) {
	// The rules' air of this step.
	for i := range s.rules {
		if r := &s.rules[i]; r.airAt != nil {
			r.air = float64(r.airAt(q.Time(t)))
		}
	}
	power := 0.0
	tdt := theta * dt
	for i := range s.face {
		f := &s.face[i]
		r := &s.rules[f.class]
		c := s.pad + int(f.cell)
		h := s.h[c]
		b := &s.mat.surf[s.mat.index(h)]
		tc := b.a + b.slope*h
		var out, slope float64 // W/m², and per unit of Θ
		if r.hold {
			wall := s.mat.thetaOf(r.air)
			out = (s.th[c] - wall) / f.half
			slope = 1 / f.half
			f.ts = r.air
		} else {
			rc := f.half / b.k
			ta := r.air
			var u, grow float64
			if r.cover > 0 {
				// outer face of the blanket: between ta and ts by its two resistances
				hr := radiate(r.es, ta+0.2*(f.ts-ta), ta)
				u = 1 / (rc + 1/r.loss*(1/r.cover+1/(r.h+hr)))
				grow = u
			} else {
				hf := r.loss * (r.h + radiate(r.es, f.ts, ta))
				u = hf / (1 + hf*rc)
				if r.es > 0 && hf*rc > 0.02 { // surface well below the middle of its cell: once more
					ts := tc - u*(tc-ta)*rc
					for range 3 {
						hf = r.loss * (r.h + radiate(r.es, ts, ta))
						u = hf / (1 + hf*rc)
						ts = tc - u*(tc-ta)*rc
					}
					f.ts = ts
				}
				k := f.ts + kelvin
				hg := r.loss * (r.h + 4*r.es*k*k*k)
				grow = hg / (1 + hg*rc)
			}
			out = u * (tc - ta)
			f.ts = tc - (out-r.flux)*rc
			out -= r.flux
			slope = grow / b.k
		}
		f.q = out * f.area
		f.g = tdt * slope * f.area
		s.d[c] -= dt * f.q
		s.m[c] += f.g
		if r.counted {
			power += f.q
		}
	}
	if !s.fresh {
		s.lossSum += s.lossDt * (s.lossPower + power) / 2
	}
	s.fresh = false
	s.lossPower, s.lossDt = power, dt
}

// closeLoss finishes the loss of the last step, before the surfaces change and
// at the end: the power given off now, without a step.
func (s *solver) closeLoss() {
	if s.fresh {
		return
	}
	power := 0.0
	for i := range s.face {
		f := &s.face[i]
		r := &s.rules[f.class]
		if !r.counted {
			continue
		}
		h := s.h[s.pad+int(f.cell)]
		b := &s.mat.surf[s.mat.index(h)]
		tc, rc := b.a+b.slope*h, f.half/b.k
		var u float64
		if r.cover > 0 {
			hr := radiate(r.es, r.air+0.2*(f.ts-r.air), r.air)
			u = 1 / (rc + 1/r.loss*(1/r.cover+1/(r.h+hr)))
		} else {
			hf := r.loss * (r.h + radiate(r.es, f.ts, r.air))
			u = hf / (1 + hf*rc)
		}
		power += u * (tc - r.air) * f.area
	}
	s.lossSum += s.lossDt * (s.lossPower + power) / 2
	s.fresh = true
}

// radiate is the radiation film between two temperatures in °C.
func radiate(es, ts, ta float64) float64 {
	a, b := ts+kelvin, ta+kelvin
	return es * (a*a + b*b) * (a + b)
}

// unload takes the losses' slope off the diagonal again and adds up what the
// step gave off.
func (s *solver) unload() {
	for i := range s.face {
		f := &s.face[i]
		c := s.pad + int(f.cell)
		s.m[c] -= f.g
		if !s.rules[f.class].counted {
			s.fluxSum -= s.lossDt*f.q + f.g*s.d[c]
		}
	}
}
