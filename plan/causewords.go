package plan

import (
	"fmt"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
	"soundmetal/strength"
)

// causeSection says why it cracked, as far as what was seen tells, and what to
// do about it besides the weld.
func (w *work) causeSection() Section {
	s, f := w.section("cause", "Why it cracked")
	causes := w.strong.holding.Causes
	b := causes.Basis
	if len(b.Inputs) == 0 {
		s.add(Note, "Nothing seen yet that tells why. These are the odds before looking:", &b)
	}
	show, act := rateOf("cause-show").Likely, rateOf("cause-act").Likely
	for i, c := range causes.Value {
		if i > 0 && c.Weight < show || i == 5 {
			break
		}
		s.figure(count(f, c.ID, c.Title, 100*c.Weight, 100*c.Weight, fmt.Sprintf("%.0f %%", 100*c.Weight), b))
	}
	if seen := seenText(b); seen != "" {
		s.add(Note, "Seen: "+seen+".", nil)
	}
	if len(b.Inputs) > 0 {
		for i, c := range causes.Value {
			switch {
			case i == 0:
				w.changes(&s, c)
			case c.Weight >= act:
				s.add(Note, "If it was "+c.Title+": "+strings.Join(w.changeTexts(c), "; ")+".", &b)
			}
		}
	}
	if open := w.causeOpen(); len(open) > 0 {
		s.add(Note, "Would tell more: "+strings.Join(open, "; ")+".", nil)
	}
	return s
}

// changes are what the first cause asks for, one line each.
func (w *work) changes(s *Section, c strength.Cause) {
	for i, t := range w.changeTexts(c) {
		s.add(Do, capital(t), &source.Basis{Method: "cause." + c.Changes[i].ID, Title: t,
			Why:  "Welding alone leaves the cause at work: " + c.Title + ".",
			Skip: "It cracks again at the same place, sooner.", Ref: source.At("judgement", "cause table", source.Judgement)})
	}
}

// changeTexts are the changes of a cause with their amounts.
func (w *work) changeTexts(c strength.Cause) []string {
	var all []string
	for _, ch := range c.Changes {
		t := ch.Text
		if ch.High > 0 {
			t += ": " + w.amountText(ch)
		}
		all = append(all, t)
	}
	return all
}

// amountText prints how much of a change is asked for, in both systems.
func (w *work) amountText(c strength.Change) string {
	switch {
	case c.Unit == "mm":
		return q.Of[q.Length]{Low: q.Length(c.Low) * q.Millimetre, High: q.Length(c.High) * q.Millimetre}.Text(w.sys)
	case c.ID == "preheat-add":
		return q.Of[q.TempDiff]{Low: q.TempDiff(c.Low), High: q.TempDiff(c.High)}.Text(w.sys) + " more"
	case c.Unit == "°C":
		return q.Of[q.Temperature]{Low: q.Temperature(c.Low), High: q.Temperature(c.High)}.Text(w.sys)
	case c.Low == c.High:
		return fmt.Sprintf("%g %s", c.Low, c.Unit)
	}
	return fmt.Sprintf("%g to %g %s", c.Low, c.High, c.Unit)
}

func seenText(b source.Basis) string {
	var all []string
	for _, in := range b.Inputs {
		all = append(all, in.Text)
	}
	return strings.Join(all, "; ")
}

// causeOpen names what was not looked at and would tell causes apart.
func (w *work) causeOpen() []string {
	c, k := w.it.Cause, w.it.Crack
	var all []string
	ask := func(open bool, text string) {
		if open {
			all = append(all, text)
		}
	}
	ask(k.Starts == "", "where it starts")
	ask(c.BeachMarks == job.Unknown && c.Fibrous == job.Unknown && c.Crystalline == job.Unknown, "the face: beach marks, torn and dull, or glittering")
	ask(w.it.History.Welded == job.Unknown, "whether it was welded here before")
	ask(c.LoosePins == job.Unknown, "slop in pins and bushes")
	ask(c.Event == job.Unknown, "a drop, strike or overload")
	return all
}

// untilSection answers whether it may run some hours with the crack in.
func (w *work) untilSection() (Section, bool) {
	h := w.strong.plan
	if h.Until == nil {
		return Section{}, false
	}
	a := *h.Until
	b := source.Basis{Method: "until-friday", Title: "May it run a few hours more?", Ref: source.At("judgement", "", source.Judgement)}
	if f := w.strong.holding.Friday; f != nil {
		b = f.Basis
	}
	s, f := w.section("until", fmt.Sprintf("Can it run %s with the crack in?", LifeText(h.Need)))
	switch a.Verdict {
	case strength.StopNow:
		s.add(Hold, "STOP NOW. It does not work again before it is repaired.", &b)
	case strength.LimitedHours:
		s.figure(one(f, "hours", "LIMITED HOURS", a.Hours, LifeText(a.Hours)+" of work, with the limits below", w.sys, b))
	default:
		s.add(Hold, "NOT A CASE FOR THIS TOOL: no hours can be named.", &b)
	}
	for _, r := range a.Reasons {
		s.add(Note, "Because "+strings.TrimSuffix(r, ".")+".", nil)
	}
	if a.Life.Median > 0 {
		s.figure(one(f, "life", "with the crack in, half last", a.Life.Median, livesText(a.Life), w.sys, b))
	}
	for _, l := range a.Limits {
		s.add(Do, capital(l), nil)
	}
	sharpLines(&s, a.Sharpen)
	s.add(Caution, "An estimate to decide by, not a release. Local rules and the owner's engineer come first.", nil)
	return s, true
}

// sharpLines names the facts that would sharpen the answer, and those that would
// not turn it by themselves.
func sharpLines(s *Section, all []strength.Sharper) {
	var worth, idle []string
	for _, f := range all {
		switch f.Light {
		case strength.Red:
			idle = append(idle, f.Fact)
		case "":
			worth = append(worth, f.Fact)
		default:
			worth = append(worth, f.Fact+", then up to "+LifeText(f.Hours))
		}
	}
	if len(worth) > 0 {
		s.add(Note, "Facts that would sharpen it:", nil)
	}
	for _, f := range worth {
		s.add(Note, "- "+f, nil)
	}
	if len(idle) > 0 {
		s.add(Note, "Good news on one of these alone would not turn it: "+strings.Join(idle, "; ")+".", nil)
	}
}

// LifeText prints hours as one counts them on a site: two figures, rounded down.
func LifeText(t q.Time) string {
	const most = 99000
	h := t.Hours()
	switch {
	case h < 1:
		return "under 1 h"
	case h > most:
		return "99,000+ h"
	case h < 10:
		return fmt.Sprintf("%d h", int(h))
	}
	step := 1
	for x := h; x >= 100; x /= 10 {
		step *= 10
	}
	n := int(h) / step * step
	if n < 1000 {
		return fmt.Sprintf("%d h", n)
	}
	return fmt.Sprintf("%d,%03d h", n/1000, n%1000)
}

// livesText prints a life with its risks.
func livesText(l strength.Life) string {
	return fmt.Sprintf("%s; 19 of 20 %s, 99 of 100 %s", LifeText(l.Median), LifeText(l.Risk5), LifeText(l.Risk1))
}
