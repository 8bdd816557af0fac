package conduct

import (
	q "soundmetal/quantity"
)

// History is what a case came to.
type History struct {
	Probes []Probe
	Times  []q.Time
	Temps  [][]q.Temperature // by probe, then by time
	Marks  []Mark            // one for each event
	Beads  []BeadRecord      // one for each bead
	Final  []q.Temperature   // by probe
	Ledger Ledger
	Size   Size
	// Section is the ordered cross-section; nil without an order.
	Section *Section
	// Notes say what the reader must know of this run.
	Notes []string
}

// Mark is one event as it happened.
type Mark struct {
	Event    int
	Kind     string
	Name     string
	From, To q.Time
	Met      bool     // its condition was met (or it had none)
	Gross    q.Energy // gas burnt in it, gross heat
}

// BeadRecord is one bead as it happened.
type BeadRecord struct {
	Name     string
	Asked    q.Time // when it could have begun
	Waited   q.Time // for the ceiling
	Reheated q.Time // for the floor
	Start    q.Time
	End      q.Time
	Ready    bool            // floor and ceiling were met when the arc was struck
	Before   []q.Temperature // by probe, when the arc was struck
	Gross    q.Energy        // gas burnt in reheating
	Cooling  Cooling
}

// Cooling is t8/5 in the heat-affected zone of a bead, half-way along it, over
// the cells of base metal whose peak lay between 900 and 1450 °C; where a
// coarse grid has none, of the hottest cell that passed 800 °C.
type Cooling struct {
	T85   q.Maybe[q.Of[q.Time]]
	Mean  q.Time
	Cells int
	Peak  q.Temperature // hottest base metal of that section
}

// Ledger is the balance of energy. In − Lost − Stored − Removed should be nothing; the
// loss is added up from the surface temperatures, not from the solution, so
// that the balance checks the stepping.
type Ledger struct {
	Torch   q.Energy // into the steel
	Arc     q.Energy
	Fixed   q.Energy // through surfaces with a prescribed temperature or flux
	Lost    q.Energy
	Stored  q.Energy // above the start
	Gross   q.Energy // gas burnt
	Removed q.Energy // went with gouged steel
	Missed  q.Ratio  // part of the flame past the edges of the part, mean
}

// Imbalance is what is missing, as part of the larger of input and storage.
func (l Ledger) Imbalance() q.Ratio {
	in := float64(l.Torch + l.Arc + l.Fixed)
	scale := max(in, float64(l.Stored), float64(l.Lost), -float64(l.Stored), -float64(l.Lost))
	if scale == 0 {
		return 0
	}
	return q.Ratio((in - float64(l.Lost) - float64(l.Stored) - float64(l.Removed)) / scale)
}

// Size is what the run took.
type Size struct {
	NX, NY, NZ int
	Cells      int // of the grid, air counted
	Steps      int
	Updates    float64 // cells × steps
	Bytes      int     // of the arrays
	Level      Level
}

// Section is a cross-section through time: rectangles of Y × Z.
type Section struct {
	X      q.Length
	YEdges []q.Length
	ZEdges []q.Length
	Times  []q.Time
	Temps  [][]float32 // °C by time, then z·ny+y; NaN where there was no steel yet
	// LaidBy is the bead that fills the cell, −1 base metal, −2 never steel.
	LaidBy []int
	// Laid is when.
	Laid []q.Time
}
