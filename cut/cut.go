// Package cut is about taking the crack out with a carbon: which carbon the
// rig and the compressor can carry, what groove one pass leaves, how many
// passes, carbons and minutes a groove takes, and what to watch meanwhile.
//
// Gouging is air carbon-arc gouging (CAC-A) with round copper-coated carbons.
// The published current tables disagree by up to a factor of two, and the depth
// of a pass follows the hand and not the amps: so currents are bands with their
// sources, and depth is an input with a range.
package cut

import q "soundmetal/quantity"

// Supply is the kind of carbon and the current it burns on.
type Supply string

const (
	DCEP        Supply = "dcep"       // DC carbon, electrode positive: the usual one for steel
	ACCarbonAC  Supply = "ac"         // AC carbon on alternating current
	ACCarbonNeg Supply = "ac-on-dcen" // AC carbon on electrode negative
)

// Steel says how deep the gouged skin must be ground off.
type Steel string

const (
	AnySteel  Steel = ""              // not known: counted as the harder one
	Carbon    Steel = "carbon"        // carbon and carbon-manganese steel of low carbon equivalent
	Quenched  Steel = "quenched"      // quenched and tempered plate, wear plate
	HighCE    Steel = "high-ce"       // carbon equivalent above 0.45
	Stainless Steel = "stainless"     // stainless
	CastSteel Steel = "steel-casting" // steel casting or unknown casting
)

// Amount is a planning figure and the range it may move in.
type Amount[T ~float64] struct {
	Likely T       `json:"likely"`
	Range  q.Of[T] `json:"range"`
}

// Groove is what has to be taken out, seen from one side: the finished shape
// after grinding.
type Groove struct {
	Depth     q.Length `json:"depth"`      // from the surface to the bottom
	TopWidth  q.Length `json:"top_width"`  // at the surface
	RootWidth q.Length `json:"root_width"` // near the bottom: twice the root radius plus any root opening
	Area      q.Area   `json:"area"`       // cross-section; zero: taken as a trapezoid of the two widths
	Full      q.Length `json:"full"`       // length at full depth
	Ramp      q.Length `json:"ramp"`       // length of one sloped end
	Ramps     int      `json:"ramps"`      // sloped ends: 0, 1 or 2
}

// section is the cross-section in mm².
func (g Groove) section() float64 {
	if g.Area > 0 {
		return g.Area.MM2()
	}
	return (g.TopWidth.MM() + g.RootWidth.MM()) / 2 * g.Depth.MM()
}
