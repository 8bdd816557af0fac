package plan

import (
	"fmt"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
	"soundmetal/strength"
)

// holdSection compares the repairs at the load that the crack tells of.
func (w *work) holdSection() (Section, bool) {
	h, held := w.strong.plan, w.strong.holding
	s, f := w.section("hold", "Will it hold? Choose the repair")
	if w.strong.notOurs != "" {
		s.add(Note, "No figure here: "+w.strong.notOurs+". What it may carry and when it is looked at is his to say who approves it.", nil)
		return s, true
	}
	if h.Load == nil {
		return s, false
	}
	w.loadLines(&s, f)
	if top := h.Causes[0]; notFatigue[top.ID] {
		s.add(Caution, "It looks like "+top.Title+", not fatigue: then the time it lasted tells nothing of the load. Trust the order of the repairs, not the hours.", &held.Causes.Basis)
	}
	w.culprit(&s)
	for _, r := range h.Repairs {
		if r.Option.Governs != "" {
			s.figure(w.repairFigure(f, r, held.Repairs.Basis))
		}
	}
	w.notPossible(&s)
	w.plateLines(&s, f)
	w.pullLines(&s, f)
	var assumed []string
	for _, a := range h.Assumed {
		if !strings.HasPrefix(a, "the crack is taken as a fatigue crack") { // said above
			assumed = append(assumed, a)
		}
	}
	if len(assumed) > 0 {
		s.add(Note, "Assumed: "+strings.Join(assumed, "; ")+".", nil)
	}
	for _, m := range h.Missing {
		s.add(Note, "Not worked out: "+plainReason(m)+".", nil)
	}
	return s, true
}

// notFatigue are the causes that do not count loads.
var notFatigue = map[string]bool{"overload": true, "cold": true, "lamellar": true, "wear": true}

// loadLines say what load the crack tells of.
func (w *work) loadLines(s *Section, f figures) {
	l, b := w.strong.plan.Load, w.strong.holding.Load.Basis
	if !l.Known {
		s.add(Note, "Load not known: neither the hours it lasted nor a measured range. Lives below are times the life it had.", &b)
		return
	}
	r := l.Range
	text := fmt.Sprintf("about %s, %s", q.RoundTo(l.Median, roundStress).Text(w.sys), q.Of[q.Stress]{Low: q.RoundTo(r.Low, roundStress), High: q.RoundTo(r.High, roundStress)}.In(w.sys))
	s.figure(between(f, "range", "stress range the crack tells of", r, text, w.sys, b))
	from := "From the measured range"
	if held := w.lasted(); held.Known {
		from = fmt.Sprintf("From the %s it lasted at about %s loads an hour, and the class of the place where it started", LifeText(held.V), thousands(float64(l.Rate)))
		if l.Measured {
			from += ", and the measured range"
		}
	}
	s.add(Note, from+".", &b)
	if c := w.it.Cause.CyclesPerHour; c.Known && float64(l.Rate) > 10*c.V {
		s.add(Note, fmt.Sprintf("%s work cycles an hour alone would need more stress than the steel bears: the small loads between them count too.", thousands(c.V)), &b)
	}
	if !l.Plausible {
		s.add(Caution, "That is more than the steel can bear over and over: more loads came than were counted, or it was not fatigue. Trust the order of the repairs, not the hours.", &b)
	}
}

const roundStress = q.Megapascal

// thousands prints a count with two figures.
func thousands(v float64) string {
	switch {
	case v < 10:
		return fmt.Sprintf("%.2g", v)
	case v < 1000:
		return fmt.Sprintf("%.0f", v)
	}
	n := int(v/100+0.5) * 100
	return fmt.Sprintf("%d,%03d", n/1000, n%1000)
}

// option finds a repair by its id.
func (h *HoldPlan) option(id string) (Repair, bool) {
	for _, r := range h.Repairs {
		if r.Option.ID == id {
			return r, true
		}
	}
	return Repair{}, false
}

// bestWeld is the weld without a plate that lasts longest.
func (h *HoldPlan) bestWeld() (Repair, bool) {
	for _, r := range h.Repairs {
		if o := r.Option; o.Possible && !o.Temporary && !o.Plate {
			return r, true
		}
	}
	return Repair{}, false
}

// culprit names the old plate, with numbers, where the crack comes from it.
func (w *work) culprit(s *Section) {
	h := w.strong.plan
	if w.it.History.PlateOver != job.Yes && w.it.Crack.Starts != "plate-end" {
		return
	}
	id, ends := "plate-tapered", "tapered or round"
	if w.it.History.PlateEnds == "square" || w.it.History.PlateEnds == "" {
		id, ends = "plate-square", "square"
	}
	old, ok := h.option(id)
	weld, ok2 := h.bestWeld()
	if !ok || !ok2 || !old.Option.Worse {
		return
	}
	name := "The old plate is the likely culprit"
	if top := h.Causes[0]; top.ID != "repair" {
		name = "The old plate may be to blame"
	}
	text := fmt.Sprintf("%s: its %s end is a hard spot that stands %.0f %% of the stress that the weld alone stands.", name, ends, 100*float64(old.Option.EndLimit))
	a, b := old.Option.Life, weld.Option.Life
	if h.Load.Known {
		text += fmt.Sprintf(" At this load half of such plates crack in %s; without it, %s, half last %s.", LifeText(a.Median), weld.Option.Title, LifeText(b.Median))
	} else if a.Times > 0 {
		text += fmt.Sprintf(" Without it, %s, the part lasts %.2g times as long.", weld.Option.Title, b.Times/a.Times)
	}
	basis := w.strong.holding.Repairs.Basis
	s.add(Caution, text, &basis)
	s.add(Do, "Take the old plate off and leave it off.", &basis)
}

// repairFigure is the life of one repair as a figure; the sheet prints them as a table.
func (w *work) repairFigure(f figures, r Repair, b source.Basis) Figure {
	o := r.Option
	b.Notes = append(append([]string(nil), b.Notes...), "cracks first: "+o.Governs, o.Text)
	if !w.strong.plan.Load.Known {
		return count(f, "repair-"+o.ID, o.Title, o.Life.Times5, o.Life.Times, fmt.Sprintf("%.2g times the life it had; 19 of 20 %.2g", o.Life.Times, o.Life.Times5), b)
	}
	return between(f, "repair-"+o.ID, o.Title, q.Of[q.Time]{Low: o.Life.Risk1, High: o.Life.Median}, livesText(o.Life), w.sys, b)
}

// lasted is the hours the load was read from.
func (w *work) lasted() q.Maybe[q.Time] {
	return strength.LoadInputOf(w.j.Machine, w.it, 0).Hours
}

// notPossible names what has no life in the table, each reason once.
func (w *work) notPossible(s *Section) {
	titles := map[string][]string{}
	var reasons []string
	for _, r := range w.strong.plan.Repairs {
		o := r.Option
		if o.Governs != "" {
			continue
		}
		if len(titles[o.WhyNot]) == 0 {
			reasons = append(reasons, o.WhyNot)
		}
		titles[o.WhyNot] = append(titles[o.WhyNot], o.Title)
	}
	for _, why := range reasons {
		if why == strength.ErrCrackLeftIn.Error() {
			if w.it.History.PlateOver == job.Yes || w.j.Wanted.PlateOver != job.No {
				s.add(Caution, "Never a plate over the crack with the crack left in: it hides it, the crack grows on, and the plate's end starts a second one.", nil)
			}
			continue
		}
		s.add(Note, "Not here: "+strings.Join(titles[why], "; ")+": "+plainReason(why)+".", nil)
	}
}

// plainReason is what a method that is out of its range says to do instead.
func plainReason(why string) string {
	if strings.Contains(why, "outside the method's range") {
		if _, instead, ok := strings.Cut(why, "; "); ok {
			return instead
		}
	}
	return why
}

// plateLines say whether a plate helps and where its ends must sit, and give
// the plate to size.
func (w *work) plateLines(s *Section, f figures) {
	h := w.strong.plan
	full, ok := h.option("plate-tapered")
	if !ok || full.Option.Governs == "" {
		return
	}
	ground, _ := h.option("plate-ground")
	moved, _ := h.option("plate-moved")
	weld, _ := h.bestWeld()
	rb := w.strong.holding.Repairs.Basis
	switch {
	case ground.Option.Worse:
		s.add(Caution, fmt.Sprintf("A plate makes it worse here, unless both its ends sit where the stress is no more than %.0f %% of that at the crack. If you do not know such a place, weld without one.", 100*float64(full.Option.EndLimit)), &rb)
	case full.Option.Worse:
		s.add(Caution, fmt.Sprintf("A plate makes it worse, unless its end welds are built up and ground, or both ends sit where the stress is no more than %.0f %% of that at the crack.", 100*float64(full.Option.EndLimit)), &rb)
	case weld.Option.ID != "" && full.Option.Life.Times5 > 0:
		s.add(Note, fmt.Sprintf("A plate with tapered ends lasts %.2g times the weld alone here.", full.Option.Life.Times5/weld.Option.Life.Times5), &rb)
	}
	if h.Plate == nil || ground.Option.Worse && moved.Option.Worse {
		return
	}
	p, b := h.Plate, w.strong.holding.Plate.Basis
	s.add(Note, "A plate to size, only over the crack taken out, welded, tested and ground flush:", &b)
	s.figure(one(f, "plate-thickness", "plate", p.Thickness, fmt.Sprintf("%s thick, %s wide, %s long or more", p.Thickness.Text(w.sys), nice(p.Width, w.sys), nice(p.Length, w.sys)), w.sys, b))
	s.figure(one(f, "plate-end", "each end from the crack", p.EndAt, fmt.Sprintf("%s or more, %s left free at the edges", nice(p.EndAt, w.sys), nice(p.Edge, w.sys)), w.sys, b))
	s.figure(one(f, "plate-taper", "taper of each end", p.Taper+p.Nose, fmt.Sprintf("%s to the tip; nose and corners of radius %s", nice(p.Taper+p.Nose, w.sys), nice(p.Nose, w.sys)), w.sys, b))
	s.figure(one(f, "plate-leg", "fillet leg", p.Leg, w.legText(*p), w.sys, b))
	s.figure(one(f, "plate-stop", "no start or stop from the nose within", p.Stop, nice(p.Stop, w.sys), w.sys, b))
	for _, r := range p.Rules {
		if plateSaid[r.ID] {
			s.add(Do, capital(r.Text), &source.Basis{Method: "plate." + r.ID, Title: r.Text, Ref: r.Ref})
		}
	}
	if p.EndGround {
		s.add(Do, "Build up and grind the end welds with a taper.", &b)
	}
}

// legText is the fillet's leg with what it must keep to.
func (w *work) legText(p strength.PlateDesign) string {
	if p.LeastLeg >= p.MostLeg {
		return p.Leg.Text(w.sys)
	}
	return p.Leg.Text(w.sys) + "; " + q.Of[q.Length]{Low: p.LeastLeg, High: p.MostLeg}.In(w.sys) + " would do"
}

// plateSaid are the rules of a plate that are said here; the others are met by
// the measures above.
var plateSaid = map[string]bool{"never-across": true, "never-edge": true, "around": true, "gap": true}

// pullLines say how the weld pulls, and what that asks for.
func (w *work) pullLines(s *Section, f figures) {
	move := func(name, label string, m *strength.Movement, b source.Basis) {
		if m != nil && m.Band.High >= q.Millimetre/2 {
			s.figure(between(f, name, label, m.Band, "about "+tenth(m.Likely, w.sys)+", "+tenthSpan(m.Band, w.sys), w.sys, b))
		}
	}
	h := w.strong.plan
	move("across", "the weld pulls across, left free", h.Across, w.strong.across.Basis)
	move("along", "and shortens along", h.Along, w.strong.along.Basis)
	if h.Across != nil {
		if text, ok := strength.BoreWarning(w.it, *h.Across, w.sys); ok {
			s.add(Caution, capital(text), &w.strong.across.Basis)
		}
	}
	for _, r := range strength.SequenceAdvice(w.it, w.restraint()) {
		if r.ID == "no-clamp" || r.ID == "bore" || r.ID == "bore-check" {
			s.add(Do, capital(r.Text), &source.Basis{Method: "sequence." + r.ID, Title: r.Text, Ref: r.Ref})
		}
	}
}

// tenth prints a small movement: 0.8 mm, or 1/32 in.
func tenth(l q.Length, sys q.System) string {
	return q.RoundTo(l, movement(sys)).Text(sys)
}

func tenthSpan(r q.Of[q.Length], sys q.System) string {
	return q.Of[q.Length]{Low: q.RoundTo(r.Low, movement(sys)), High: q.RoundUp(r.High, movement(sys))}.In(sys)
}

func movement(sys q.System) q.Length {
	if sys == q.US {
		return q.Inch / 32
	}
	return q.Millimetre / 10
}
