package gate

import (
	"soundmetal/job"
	q "soundmetal/quantity"
)

// Process is how the metal is joined.
type Process string

const (
	Rod          Process = "rod"           // covered electrode
	GasShielded  Process = "gas-shielded"  // gas-shielded wire or TIG
	SelfShielded Process = "self-shielded" // flux-cored wire without gas
)

// Work is what is going to be done at the item. The zero Work knows nothing,
// and what is not known counts as dangerous.
type Work struct {
	Process      Process            // "" is unknown
	Current      q.Maybe[q.Current] // highest welding current
	Gouge        job.Answer         // with carbon arc?
	GougeCurrent q.Maybe[q.Current] // highest gouging current
	Torch        job.Answer         // heating or cutting torch?
	Shade        int                // least filter shade of all arcs from the shade table; 0 is unknown
	BareEars     q.Maybe[q.Time]    // how long bare ears may be in the noise of the gouging
	FireWatch    q.Maybe[q.Time]    // fire watch that permit, site or insurer asks for
}
