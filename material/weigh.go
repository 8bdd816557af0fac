package material

// From evidence to the steels it can be.
//
// 1. Every piece of evidence becomes a clue: a likelihood for each family of the
//    list (likelihoods.csv, judgement), or for readings the family's usual band
//    blurred by the error of the test. Clues multiply (naive Bayes). Clues of one
//    property are not counted twice: of file, chisel and hardness, of spark and
//    cut edge, of role, part name and wear plate, of several claims, the
//    strongest counts in full and the others with the power reduced_exponent.
// 2. Only measured clues take a family off the list (hardness, analysis, magnet,
//    certificate, stencil, drawing, documented yield, cut edge on more than
//    25 mm): a family leaves when they fit it less than removed_below times as
//    well as the best one. What the eye or the chisel sees (skin, chip) takes
//    off castings and irons only. Where two such facts contradict each other,
//    what the rest leaves without the one or without the other stays.
// 3. The families left share the weight. Credible are those of credible_weight
//    and more, and the heaviest until credible_cumulative is covered, and every
//    family left that asks for more than the mildest of these: a worst-case
//    CE(IIW) above the lowest among them, or an interpass ceiling below the
//    highest; a family to which CE(IIW) does not apply always asks for more, and
//    any other asks for more than it. So talk, sparks, the file, the part and
//    its age shift the weights and may drop milder steels, and never narrow the
//    list toward an easier plan.

import (
	"cmp"
	"math"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Context is what surrounds the part: it moves weights and never rules a family out.
type Context struct {
	Machine   string            `json:"machine"` // kind of machine, in the welder's words
	Part      string            `json:"part"`    // name of the part, in his words
	Role      job.Role          `json:"role"`
	Shape     job.Shape         `json:"shape"`
	Surface   job.Surface       `json:"surface"` // used where the evidence does not say it
	Thickness q.Maybe[q.Length] `json:"thickness"`
	Year      int               `json:"year"` // 0 unknown
}

// ContextOf gathers the context of one damaged place.
func ContextOf(m job.Machine, it job.Item) Context {
	return Context{Machine: m.Kind, Part: it.Part, Role: it.Role, Shape: it.Shape, Surface: it.Steel.Surface, Thickness: it.Thickness, Year: m.Year}
}

// Candidate is one family and how it stands.
type Candidate struct {
	ID       string            `json:"id"` // of the family
	Name     string            `json:"name"`
	Weight   q.Ratio           `json:"weight"` // share of the belief; 0 when removed
	Credible bool              `json:"credible"`
	Guarded  bool              `json:"guarded"`           // credible only because nothing measured rules it out
	Disputed bool              `json:"disputed"`          // credible only because measured facts contradict each other
	Reason   string            `json:"reason,omitempty"`  // why it left, or why it stays in spite of its small weight
	Analysis q.Maybe[Analysis] `json:"analysis,omitzero"` // known where the part was analysed and the analysis fits
}

// Family gives the row of the steel list.
func (c Candidate) Family() Family {
	f, _ := Lookup(c.ID)
	return f
}

// Worst gives the composition to plan with: the analysis, with the family's
// maximum where it is silent, else the worst composition of the family.
func (c Candidate) Worst(thickness q.Maybe[q.Length]) (source.Result[Composition], error) {
	if c.Analysis.Known {
		return Complete(c.Analysis.V, c.ID, thickness)
	}
	f := c.Family()
	return f.Worst(thickness), nil
}

// Typical gives the analysed elements, else the family's illustrative analysis.
func (c Candidate) Typical() Composition {
	all := c.Family().Typical().all()
	if c.Analysis.Known {
		for i, m := range c.Analysis.V.fields() {
			all[i] = float64(m.Or(q.Percent(all[i])))
		}
	}
	return composition(all)
}

// Assessment is what the evidence says about the steel.
type Assessment struct {
	Candidates     []Candidate  `json:"candidates"` // the whole list, heaviest first
	Credible       []Candidate  `json:"credible"`   // those the plan must hold for
	Contradictions []string     `json:"contradictions,omitempty"`
	Unused         []string     `json:"unused,omitempty"` // evidence that could not be used, and why
	Basis          source.Basis `json:"basis"`
	Evidence       job.Evidence `json:"-"`
	Context        Context      `json:"-"`
}

// Weigh weighs the evidence. The rule is on top of this file and in the basis.
func Weigh(ev job.Evidence, ctx Context) Assessment {
	w := weigh(ev, ctx)
	a := w.assessment()
	a.Basis = w.basis(a)
	return a
}

// weighing is the state of one Weigh.
type weighing struct {
	ev       job.Evidence
	ctx      Context
	clues    []clue
	unused   []string
	analysis q.Maybe[Analysis]
	strange  bool     // the analysis fits no family
	odd      []string // readings that fit no family

	// by family of the list
	removedBy []int  // index of the clue that speaks most against it, -1 if it stays
	disputed  []bool // stays only because measured facts contradict each other
	weight    []float64
	credible  []bool
	guarded   []bool // credible only because nothing measured rules it out

	pairs [][2]int // contradicting clues
}

func weigh(ev job.Evidence, ctx Context) *weighing {
	if ev.Surface == "" {
		ev.Surface = ctx.Surface
	}
	w := &weighing{ev: ev, ctx: ctx}
	w.gather()
	w.reduceShares()
	w.rule()
	w.spread()
	w.choose()
	return w
}

// reduceShares lowers the power of clues that repeat what a stronger one tells.
func (w *weighing) reduceShares() {
	for i := range w.clues {
		for j := range w.clues {
			a, b := &w.clues[i], &w.clues[j]
			if i == j || a.channel.share != b.channel.share {
				continue
			}
			// a measured clue goes first, then the rank in evidence.csv
			aMeasured, bMeasured := a.kind == measured, b.kind == measured
			if aMeasured == bMeasured && a.channel.rank > b.channel.rank || bMeasured && !aMeasured {
				a.power = reducedExponent
			}
		}
	}
}

// mayRemove says whether a clue may take a family off the list.
func (k *clue) mayRemove(f *Family) bool { return k.kind <= f.leavesBy }

// survivors marks the families that the clues of a kind up to weakest leave,
// without the clue skip (-1: all count), and for the others the clue that
// speaks most against them. Measured clues alone always leave one.
func (w *weighing) survivors(weakest kind, skip int) (left []bool, by []int) {
	left, by = make([]bool, listed), make([]int, listed)
	score := make([]float64, listed)
	best := math.Inf(-1)
	for f := range score {
		by[f] = -1
		worst := 0.0
		measuredScore := 0.0
		for i := range w.clues {
			k := &w.clues[i]
			if i == skip || k.kind > weakest || !k.mayRemove(&families[f]) {
				continue
			}
			part := k.power * math.Log(max(k.fit[f], math.SmallestNonzeroFloat64))
			score[f] += part
			if k.kind == measured {
				measuredScore += part
			}
			if part < worst {
				worst, by[f] = part, i
			}
		}
		// the yardstick is how well the measured facts can be met at all
		best = max(best, measuredScore)
	}
	cut := math.Log(removedBelow)
	for f := range score {
		if left[f] = score[f]-best >= cut; left[f] {
			by[f] = -1
		}
	}
	return left, by
}

// rule takes families off the list and finds contradictions.
func (w *weighing) rule() {
	left, by := w.survivors(observed, -1)
	w.removedBy, w.disputed = by, make([]bool, listed)
	for i := range w.clues {
		for j := i + 1; j < len(w.clues); j++ {
			a, b := &w.clues[i], &w.clues[j]
			if a.kind == context || b.kind == context {
				continue
			}
			best := 0.0
			for f := range listed {
				best = max(best, min(a.fit[f], b.fit[f]))
			}
			if best >= contradictionFit {
				continue
			}
			w.pairs = append(w.pairs, [2]int{i, j})
			if a.kind > observed || b.kind > observed {
				continue
			}
			for _, skip := range []int{i, j} {
				alone, _ := w.survivors(observed, skip)
				w.restore(left, alone)
			}
		}
	}
	if !slices.Contains(w.removedBy, -1) { // no two clues disagree, all together do
		alone, _ := w.survivors(measured, -1)
		w.restore(left, alone)
		w.odd = append(w.odd, "what is seen does not go with what is measured: no steel of the list fits all of it")
	}
}

// restore puts back families that only a dispute had taken off the list.
func (w *weighing) restore(left, alone []bool) {
	for f := range alone {
		if alone[f] && !left[f] {
			w.disputed[f], w.removedBy[f] = true, -1
		}
	}
}

// spread shares the weight among the families left.
func (w *weighing) spread() {
	log := make([]float64, listed)
	best := math.Inf(-1)
	for f := range log {
		if w.removedBy[f] >= 0 {
			continue
		}
		for i := range w.clues {
			log[f] += w.clues[i].power * w.clues[i].log[f]
		}
		best = max(best, log[f])
	}
	w.weight = make([]float64, listed)
	sum := 0.0
	for f := range log {
		if w.removedBy[f] < 0 {
			w.weight[f] = math.Exp(log[f] - best)
			sum += w.weight[f]
		}
	}
	for f := range w.weight {
		w.weight[f] /= sum
	}
}

// demand is what a family asks of the plan: preheat rises with the CE(IIW) of
// its worst composition, and heat must stay below its interpass ceiling. A
// family to which CE(IIW) does not apply asks for more than any.
func (f *Family) demand(thickness q.Maybe[q.Length]) (ce float64, top q.Temperature) {
	c, ok := f.ceiling(thickness)
	if !f.CE.Known || !ok {
		return math.Inf(1), c.max
	}
	worst, _, _, _ := f.worst(thickness)
	return ceIIW.of(worst), c.max
}

// choose makes the credible set.
func (w *weighing) choose() {
	w.credible, w.guarded = make([]bool, listed), make([]bool, listed)
	covered, mildest, highest := 0.0, math.Inf(1), q.Temperature(0)
	for _, f := range w.order() {
		if w.removedBy[f] >= 0 {
			continue
		}
		if w.weight[f] >= credibleWeight || covered < credibleCumulative {
			w.credible[f] = true
			ce, top := families[f].demand(w.ctx.Thickness)
			if math.IsInf(ce, 1) {
				ce = 0 // manganese and stainless steel take no preheat: any other steel asks for more
			}
			mildest, highest = min(mildest, ce), max(highest, top)
		}
		covered += w.weight[f]
	}
	for f := range w.credible {
		if w.removedBy[f] >= 0 || w.credible[f] {
			continue
		}
		ce, top := families[f].demand(w.ctx.Thickness)
		w.guarded[f] = ce > mildest || top < highest || math.IsInf(ce, 1)
		w.credible[f] = w.guarded[f] || w.disputed[f]
	}
}

var (
	credibleWeight     = judged("credible_weight")
	credibleCumulative = judged("credible_cumulative")
	removedBelow       = judged("removed_below")
	reducedExponent    = judged("reduced_exponent")
	contradictionFit   = judged("contradiction_fit")
)

// order gives the families heaviest first, in the order of the list where equal.
func (w *weighing) order() []int {
	order := make([]int, listed)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(w.weight[b], w.weight[a]) })
	return order
}
