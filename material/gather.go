package material

import (
	"fmt"
	"math"
	"slices"

	q "soundmetal/quantity"
)

// gather turns the evidence and the context into clues.
func (w *weighing) gather() {
	w.clues = append(w.clues, channels["base"].clue(channels["base"].values["any"], ""))
	w.closed("magnet", lower(w.ev.Magnet))
	w.closed("file", lower(w.ev.File))
	w.closed("spark", lower(w.ev.Spark))
	w.closed("chip", lower(w.ev.Chip))
	w.closed("surface", lower(w.ev.Surface))
	w.closed("wear", lower(w.ev.Wear))
	w.closed("role", lower(w.ctx.Role))
	w.closed("shape", lower(w.ctx.Shape))
	w.text("part", w.ctx.Part)
	w.text("machine", w.ctx.Machine)
	if w.ctx.Thickness.Known {
		w.spanned("thickness", w.ctx.Thickness.V.MM())
	}
	if w.ctx.Year != 0 {
		w.spanned("year", float64(w.ctx.Year))
	}
	w.claims()
	w.hardness()
	w.cutEdge()
	w.yield()
	w.analysed()
}

func (w *weighing) skip(format string, v ...any) {
	w.unused = append(w.unused, fmt.Sprintf(format, v...))
}

// closed adds the clue of a closed list of words.
func (w *weighing) closed(channel, value string) {
	if value == "" {
		return
	}
	c := channels[channel]
	v, ok := c.values[value]
	if !ok {
		w.skip("%s %q says nothing about the steel and is not used", c.title, value)
		return
	}
	w.clues = append(w.clues, c.clue(v, value))
}

// text adds the clue of a word found in free text; other text says nothing.
func (w *weighing) text(channel, text string) {
	c := channels[channel]
	if v, ok := c.matched(text); ok {
		w.clues = append(w.clues, c.clue(v, text))
	}
}

func (w *weighing) spanned(channel string, x float64) {
	c := channels[channel]
	v, ok := c.span(x)
	if !ok {
		w.skip("%s %s is beyond anything in the tables and is not used", c.title, num(x))
		return
	}
	w.clues = append(w.clues, c.clue(v, num(x)))
}

// claims adds the grade and the family the welder believes in.
func (w *weighing) claims() {
	if w.ev.Grade != "" {
		by := lower(w.ev.GradeBy)
		if by == "" {
			by = "unsaid"
		}
		c, ok := channels["grade-"+by]
		if !ok {
			w.skip("%q is no origin of a grade; the grade is taken as told", string(w.ev.GradeBy))
			c = channels["grade-unsaid"]
		}
		if set := named(w.ev.Grade); set != nil {
			w.clues = append(w.clues, c.claim(set, w.ev.Grade))
		} else {
			w.skip("the list has no steel called %q; the grade is not used", w.ev.Grade)
		}
	}
	if w.ev.Family != "" {
		if set := named(w.ev.Family); set != nil {
			w.clues = append(w.clues, channels["family"].claim(set, w.ev.Family))
		} else {
			w.skip("the list has no steel family %q; it is not used", w.ev.Family)
		}
	}
}

// banded adds the clue of a reading against each family's band. A family
// without a band (ok false) fits anything.
func (w *weighing) banded(c *channel, k kind, value string, x, s float64, of func(f *Family) (band, bool), reason string) {
	cl := clue{channel: c, kind: k, value: value, says: c.say(value), power: 1, reason: reason,
		log: make([]float64, listed), fit: make([]float64, listed)}
	mean, n := 0.0, 0
	for f := range cl.log {
		b, ok := of(&families[f])
		if !ok {
			cl.fit[f] = 1
			cl.log[f] = math.NaN()
			continue
		}
		cl.fit[f] = b.fit(x, s)
		// the density: a narrow band that fits says more than a wide one
		density := max(cl.fit[f], math.SmallestNonzeroFloat64) / (b.high - b.low)
		cl.log[f] = math.Log(density)
		mean += density
		n++
	}
	for f, l := range cl.log { // a family without a band is neither helped nor hurt
		if math.IsNaN(l) {
			cl.log[f] = math.Log(mean / float64(n))
		}
	}
	w.normalise(&cl)
	w.clues = append(w.clues, cl)
}

// normalise makes the best fit 1, so that a reading between two bands does not
// seem to contradict everything else, and reports one that lies beyond all.
func (w *weighing) normalise(k *clue) {
	best := slices.Max(k.fit)
	if best < contradictionFit {
		w.odd = append(w.odd, k.says+": no steel of the list is like that")
	}
	for f := range k.fit {
		k.fit[f] /= best
	}
}

// hardnessBand is the usual hardness of a family.
func hardnessBand(f *Family) (band, bool) {
	return band{math.Log(float64(f.Hardness.Low)), math.Log(float64(f.Hardness.High))}, true
}

func (w *weighing) hardness() {
	if !w.ev.Hardness.Known {
		return
	}
	hb := float64(w.ev.Hardness.V)
	if !(hb >= judged("hardness_low") && hb <= judged("hardness_high")) {
		w.skip("hardness %s HB is outside %s to %s HB, where a steel can lie: measure again; it is not used", num(hb), num(judged("hardness_low")), num(judged("hardness_high")))
		return
	}
	c := channels["hardness"]
	w.banded(c, c.kind, num(hb), math.Log(hb), scale(judged("hardness_error")), hardnessBand, figures.Of("hardness_error").Note)
}

// cutEdgeBand is the hardness that a flame-cut edge of the family reaches: at
// most that of martensite with its highest carbon, at least its cut_share of
// that with its lowest. Families that do not harden on a cut have no band.
func cutEdgeBand(f *Family) (band, bool) {
	if f.cutShare == 0 {
		return band{}, false
	}
	carbon := f.limit(carbonIndex, q.Maybe[q.Length]{})
	low := carbon.Low
	if low == 0 { // the standard gives no minimum
		low = f.limits[carbonIndex][0].typical / 2
	}
	hv := func(c float64) float64 { return float64(Martensite(q.Percent(c))) }
	return band{math.Log(f.cutShare * hv(low)), math.Log(hv(carbon.High))}, true
}

var carbonIndex = mustElement("C")

func (w *weighing) cutEdge() {
	if !w.ev.CutEdge.Known {
		return
	}
	hv := float64(w.ev.CutEdge.V)
	if !(hv >= judged("cut_edge_low") && hv <= judged("cut_edge_high")) {
		w.skip("cut-edge hardness %s HV is outside %s to %s HV: measure again; it is not used", num(hv), num(judged("cut_edge_low")), num(judged("cut_edge_high")))
		return
	}
	c, k := channels["cut_edge"], measured
	reason := "how hard a cut edge gets tells its carbon"
	if least := q.Length(judged("cut_edge_thickness")) * q.Millimetre; !w.ctx.Thickness.Known || w.ctx.Thickness.V < least {
		k = indicated
		reason += "; " + figures.Of("cut_edge_thickness").Note
	}
	w.banded(c, k, num(hv), math.Log(hv), scale(judged("cut_edge_error")), cutEdgeBand, reason)
}

func yieldBand(f *Family) (band, bool) {
	return band{math.Log(float64(f.Yield.Low)), math.Log(float64(f.Yield.High))}, true
}

func (w *weighing) yield() {
	if !w.ev.Yield.Known {
		return
	}
	if !(w.ev.Yield.V > 0) {
		w.skip("yield strength %s MPa is no strength; it is not used", num(w.ev.Yield.V.MPa()))
		return
	}
	c := channels["yield"]
	w.banded(c, c.kind, num(w.ev.Yield.V.MPa()), math.Log(float64(w.ev.Yield.V)), scale(judged("yield_error")), yieldBand, figures.Of("yield_error").Note)
}

// misfit counts how far an analysis lies outside a family, in tolerances of the elements.
func misfit(a Analysis, f *Family, thickness q.Maybe[q.Length]) float64 {
	sum := 0.0
	for i, m := range a.fields() {
		if !m.Known {
			continue
		}
		s := f.limit(i, thickness)
		v := float64(m.V)
		sum += max(0, s.Low-v, v-s.High) / tolerances[i]
	}
	return sum
}

var tolerances = func() (t [elements]float64) {
	for i, s := range symbols {
		t[i] = judged("tolerance_" + s)
	}
	return t
}()

// fitsAnalysis says whether the analysis alone would leave a family on the list.
func (w *weighing) fitsAnalysis(f int) bool {
	return math.Exp(-misfit(w.analysis.V, &families[f], w.ctx.Thickness)) >= removedBelow
}

func (w *weighing) analysed() {
	if len(w.ev.Analysis) == 0 {
		return
	}
	a, ignored, err := ReadAnalysis(w.ev.Analysis)
	if err != nil {
		w.skip("%s; the analysis is not used", err)
		return
	}
	if ignored != nil {
		w.skip("analysis: %s is not needed by any formula here", list(ignored))
	}
	if a.Known() == 0 {
		return
	}
	w.analysis = q.Known(a)
	c := channels["analysis"]
	k := clue{channel: c, kind: c.kind, value: a.String(), says: c.say(a.String()), power: 1, log: make([]float64, listed), fit: make([]float64, listed),
		reason: "a family fits where every element lies in its range, within the tolerance of a check analysis"}
	best := math.Inf(1)
	for f := range k.log {
		m := misfit(a, &families[f], w.ctx.Thickness)
		k.log[f] = -m
		best = min(best, m)
	}
	w.strange = math.Exp(-best) < removedBelow
	for f := range k.fit {
		k.fit[f] = math.Exp(k.log[f] + best)
	}
	w.clues = append(w.clues, k)
}
