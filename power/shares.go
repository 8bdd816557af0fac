package power

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// The share of the welding current through each contact, with resistances that
// nobody knows better than to a factor of ten.
//
// Method: each contact's resistance is drawn log-uniform from its range, one
// that may be open is open in half the draws (judgement), and the network is
// solved for each draw; low, median and high are the 5, 50 and 95 % points. The
// draws are the same for every clamp position, so positions compare fairly. The
// seed is the caller's: same input, same answer.
// A guarded contact (pin, bearing, gear, cylinder, rope, hose, electronics) is
// flagged where its high figure passes 1 A or 1 % of the welding current.

// Draws is how the random draws are made; zero means 500 draws with seed 1.
type Draws struct {
	Count int
	Seed  uint64
	// Middle solves the network once instead, with every contact at the geometric
	// middle of its range and those that may be open closed: which way, in no time.
	Middle bool
}

const (
	usualDraws = 500
	mostDraws  = 100_000
	lowPart    = 0.05
	highPart   = 0.95
)

// Share is the current through one contact.
type Share struct {
	Contact Contact         `json:"contact"`
	Guard   Guard           `json:"guard"`
	Amps    q.Of[q.Current] `json:"amps"` // 5 to 95 %
	Median  q.Current       `json:"median"`
	Part    q.Ratio         `json:"part"` // median over the welding current
	Flagged bool            `json:"flagged"`
}

// Shares gives the current through every contact for one clamp position, the
// largest first. Method id: return-shares.
func Shares(n Network, arc, clamp string, i q.Current, d Draws) (source.Result[[]Share], error) {
	all, err := draw(n, arc, []string{clamp}, i, d)
	if err != nil {
		return source.Result[[]Share]{}, err
	}
	if all[0].never {
		return source.Result[[]Share]{}, fmt.Errorf("no way for the current from %s to %s: nothing that conducts joins them", arc, clamp)
	}
	shares := all[0].shares
	b := shareBasis(n, arc, i, d)
	b.Inputs = append(b.Inputs, source.Input{Name: "clamp on", Text: clamp})
	for _, s := range shares {
		if s.Amps.High > 0 {
			b.Steps = append(b.Steps, source.Step{Name: s.Contact.Name, Value: float64(s.Median), Unit: "A",
				Text: fmt.Sprintf("median %.1f A, %.1f to %.1f A%s", float64(s.Median), float64(s.Amps.Low), float64(s.Amps.High), flagText(s))})
		}
	}
	return source.Result[[]Share]{Value: shares, Basis: b}, nil
}

func flagText(s Share) string {
	if s.Flagged {
		return ": too much for a " + string(s.Guard)
	}
	return ""
}

func (d Draws) count() int {
	if d.Middle {
		return 1
	}
	if d.Count == 0 {
		return usualDraws
	}
	return d.Count
}

func (d Draws) seed() uint64 {
	if d.Seed == 0 {
		return 1
	}
	return d.Seed
}

func (d Draws) text() string {
	if d.Middle {
		return "none: every contact at the middle of its range"
	}
	return fmt.Sprintf("%d, seed %d", d.count(), d.seed())
}

func shareBasis(n Network, arc string, i q.Current, d Draws) source.Basis {
	return source.Basis{
		Method: "return-shares", Title: "Where the welding current comes back", Formula: "Kirchhoff over random contact resistances",
		Inputs: []source.Input{{Name: "machine", Text: n.Title}, {Name: "arc on", Text: arc}, {Name: "current", Text: ampText(i)},
			{Name: "draws", Text: d.text()}},
		Ref:  source.At("circuit-theory", "nodal analysis", source.Derived),
		Also: []source.Ref{resistances["bearing-still"].Ref, fig("flag-amps").Ref, fig("flag-share").Ref, fig("open-chance").Ref},
		Notes: []string{
			"Contact resistances are orders of magnitude from memory: read the answer as which way, not how many ampere.",
			"The machine is a simple drawing; look at the real one for straps, hoses and harness.",
		},
		Why:  "Damage sits where current breaks at a contact: a pit in a race, a burnt rod, a dead controller.",
		Skip: "It shows weeks later, and they will say it was your welding.",
	}
}

// outcome is one clamp position over all draws.
type outcome struct {
	clamp  string
	shares []Share // largest median first
	never  bool    // joined in no draw
}

// draw solves the network for every draw and every clamp.
func draw(n Network, arc string, clamps []string, i q.Current, d Draws) ([]outcome, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	if err := within("network", "current", float64(i)); err != nil {
		return nil, err
	}
	if d.Count < 0 || d.Count > mostDraws {
		return nil, fmt.Errorf("%d draws: give 1 to %d", d.Count, mostDraws)
	}
	for _, id := range append([]string{arc}, clamps...) {
		if _, ok := n.Body(id); !ok {
			return nil, n.bodyError(id)
		}
	}
	ends := make([][2]string, len(n.Contacts))
	for k, c := range n.Contacts {
		ends[k] = [2]string{c.A, c.B}
	}
	net := newCircuit(ends)
	at := func(id string) int { // a body without contacts gets a place of its own
		b, ok := net.body(id)
		if !ok {
			b = len(net.names)
			net.names = append(net.names, id)
		}
		return b
	}
	ground := at(arc)
	feeds := make([]int, len(clamps))
	for k, id := range clamps {
		feeds[k] = at(id)
	}
	// seen[clamp][contact] collects the ampere of every draw that joins arc and clamp
	seen := make([][][]float64, len(clamps))
	for k := range seen {
		seen[k] = make([][]float64, len(n.Contacts))
	}
	rng := rand.New(rand.NewPCG(d.seed(), 0))
	for range d.count() {
		g := n.sample(rng)
		if d.Middle {
			g = n.middle()
		}
		f, ok := net.factor(g, ground)
		if !ok {
			continue // cannot be for the ranges of the tables; a measured range may be absurd
		}
		inverse := f.inverse()
		for k, feed := range feeds {
			volts, ok := f.solveBy(inverse, feed, float64(i))
			if !ok {
				continue
			}
			for e, a := range f.currents(volts) {
				seen[k][e] = append(seen[k][e], math.Abs(a))
			}
		}
	}
	all := make([]outcome, len(clamps))
	for k := range clamps {
		all[k] = outcome{clamp: clamps[k], never: clamps[k] != arc}
		for e, c := range n.Contacts {
			amps := seen[k][e]
			all[k].never = all[k].never && len(amps) == 0
			all[k].shares = append(all[k].shares, share(c, amps, i))
		}
		slices.SortStableFunc(all[k].shares, func(a, b Share) int { return cmp.Compare(b.Median, a.Median) })
	}
	return all, nil
}

// sample draws one set of conductances.
func (n Network) sample(rng *rand.Rand) []float64 {
	chance := fig("open-chance").Likely
	g := make([]float64, len(n.Contacts))
	for k, c := range n.Contacts {
		r, open, maybe := c.spread()
		// both draws are made for every contact, so that one contact's kind does not shift the others' draws
		u, v := rng.Float64(), rng.Float64()
		if open || maybe && v < chance {
			continue
		}
		g[k] = 1 / (float64(r.Low) * math.Pow(float64(r.High/r.Low), u))
	}
	return g
}

// middle gives every contact the geometric middle of its range.
func (n Network) middle() []float64 {
	g := make([]float64, len(n.Contacts))
	for k, c := range n.Contacts {
		if r, open, _ := c.spread(); !open {
			g[k] = 1 / math.Sqrt(float64(r.Low)*float64(r.High))
		}
	}
	return g
}

func share(c Contact, amps []float64, i q.Current) Share {
	s := Share{Contact: c, Guard: c.Guarded()}
	if len(amps) == 0 {
		return s
	}
	slices.Sort(amps)
	point := func(p float64) q.Current { return q.Current(amps[int(math.Round(p*float64(len(amps)-1)))]) }
	s.Amps = q.Of[q.Current]{Low: point(lowPart), High: point(highPart)}
	s.Median = point(0.5)
	s.Part = q.Ratio(s.Median / i)
	limit := min(fig("flag-amps").Likely, fig("flag-share").Likely*float64(i))
	s.Flagged = s.Guard != "" && float64(s.Amps.High) > limit
	return s
}
