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

var surfaceFigures = source.ReadFigures("conduct/surfaces.csv", surfacesCSV, nil)

func figure(id string) source.Figure { return surfaceFigures.Of(id) }

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
	return q.Ratio(figure("emissivity-" + string(s)).Likely)
}

// FilmOf gives the convection of a wind speed at the work: 4 + 4v.
func FilmOf(wind q.Speed) Film {
	return Film(figure("film-still").Likely + figure("film-wind").Likely*float64(wind))
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

// everywhere is a box that holds every point.
var everywhere = Box{Point{q.Length(math.Inf(-1)), q.Length(math.Inf(-1)), q.Length(math.Inf(-1))},
	Point{q.Length(math.Inf(1)), q.Length(math.Inf(1)), q.Length(math.Inf(1))}}

// Side is the region of all faces that look one way.
func Side(f Face) Region { return Region{f, everywhere} }

func (r Region) has(p [3]float64, f Face) bool {
	return (r.Face == Every || r.Face == f) && r.In.has(p)
}

// Surface is a surface that differs from the environment: a contact with
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
