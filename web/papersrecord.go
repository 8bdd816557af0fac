package web

import (
	"fmt"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
)

// The repair record from the book.

// mostPrinted are printed of each table of a place. More are counted, and the log
// of the job has them; a long day has about a hundred.
const mostPrinted = 400

// recordPaper prints the repair record.
func (r *request) recordPaper(p *printing) (draw.Doc, error) {
	c := recorder{j: r.job, p: p, h: r.heads(p), now: r.now, heats: map[string]*plan.ThermalItem{}}
	for _, pl := range r.job.Standing() {
		it, err := r.expectedHeat(pl.ID)
		if err != nil {
			return draw.Doc{}, err
		}
		c.heats[pl.ID] = it
	}
	if r.job.Machine != "" {
		c.machine, _ = r.reg.Machine(r.job.Machine)
	}
	doc := c.record()
	var all []book.Logged[book.Photo]
	for _, ph := range r.job.Photos {
		if !ph.Void {
			all = append(all, ph)
		}
	}
	doc.Log.Photos, doc.Log.NoPhoto = r.prints(all, p.Options)
	p.Standing = "" // what was done stands, whichever plan it is held against
	return paper.RecordPaper(doc, p.Options)
}

// recorder maps a job of the book to its record.
type recorder struct {
	j       *book.Job
	p       *printing
	h       paper.Heads
	machine book.Party
	now     time.Time
	log     *paper.RecordLog
	printed map[string]bool              // places that have a section of their own
	heats   map[string]*plan.ThermalItem // what was worked out, by place
}

func (c *recorder) record() paper.Record {
	c.log = &paper.RecordLog{Opened: c.at(c.j.Opened)}
	c.printed = map[string]bool{}
	out := paper.Record{Heads: c.h, Log: c.log, Serial: c.j.Facts.Get("machine.serial"), Hours: c.j.Facts.Get("machine.hours")}
	if out.Serial == "" {
		out.Serial = c.machine.Get("serial")
	}
	if c.p.version != nil {
		c.log.Plan = fmt.Sprintf("plan %d of %s, %s", c.p.version.Number, c.at(c.p.version.At), c.p.version.Standing)
	}
	if c.p.noFile != nil {
		c.log.LeftOut = append(c.log.LeftOut, "The planned figures: the file of the plan is not on this device, or it is damaged.")
	}
	if d := c.j.Hours(book.WorkClock, c.now); d > 0 {
		c.log.Worked = span(d)
	}
	c.end(&out)
	c.answers()
	c.holds()
	c.tins()
	for _, pl := range c.j.Places {
		if it := c.place(pl); !pl.Dropped || logged(it) {
			if pl.Dropped {
				it.Name += " (no longer to be repaired)"
			}
			c.printed[pl.ID] = true
			out.Items = append(out.Items, it)
		}
	}
	c.rest()
	c.corrections()
	return out
}

// logged says that something was logged at a place.
func logged(it paper.RecordItem) bool {
	return len(it.Gouges)+len(it.Beads)+len(it.PostHeats)+len(it.Readings)+len(it.Deviations)+len(it.Tests) > 0
}

func (c *recorder) at(t time.Time) string { return stamp(t, c.p.Options) }

// end takes the last page: closed or not, what was not examined, how it may work.
func (c *recorder) end(out *paper.Record) {
	last := c.j.Closing()
	if last == nil {
		c.log.Status = "NOT FINISHED: the job is open"
		return
	}
	c.log.Closed = true
	c.log.Status = "closed by " + last.Is.By + ", " + c.at(last.At)
	out.Signed = last.Is.By + ", " + c.at(last.At)
	c.log.Done = last.Is.Done
	for _, s := range last.Is.NotExamined {
		c.log.NotExamined = append(c.log.NotExamined, capital(s))
	}
	for _, s := range last.Is.Limits {
		c.log.Limits = append(c.log.Limits, capital(s))
	}
	for _, f := range c.j.FollowUps {
		s := capital(f.What) + ", by " + c.at(f.Due)
		if f.Hours != nil {
			s += ", or after " + hourText(*f.Hours) + " of work"
		}
		if d := f.Done; d != nil {
			s += ". Looked at " + c.at(d.At) + ": " + word(d.Is.Result) + prefixed(": ", d.Is.Note)
		}
		c.log.NextLook = append(c.log.NextLook, s+".")
	}
}

// answers are the customer's answers to the work and to its changes.
func (c *recorder) answers() {
	for _, a := range c.j.Agreed {
		c.log.Answers = append(c.log.Answers, paper.Answer{To: "The work" + prefixed(", ", a.Is.Price), Says: yesText(a.Is.Yes, c.p.Options), Strokes: strokesOf(a.Is.Yes)})
	}
	for i := range c.j.Changes {
		ch := &c.j.Changes[i]
		a := paper.Answer{To: fmt.Sprintf("Change %d, proposed %s: %s", ch.Number, c.at(ch.At), ch.Why), Says: "Not answered yet."}
		if m := ch.Difference.Price; m != nil {
			a.To += " (" + moneyText(m.More) + " more)"
		}
		switch {
		case ch.Accepted != nil:
			a.Says, a.Strokes = yesText(ch.Accepted.Is.Yes, c.p.Options), strokesOf(ch.Accepted.Is.Yes)
		case ch.Refused != nil:
			a.Says = noText(ch.Refused, c.p.Options)
		}
		c.log.Answers = append(c.log.Answers, a)
	}
}

// holds sorts the hold points of the plan in force by how they were passed.
func (c *recorder) holds() {
	for i := range c.j.Holds {
		h := &c.j.Holds[i]
		text := c.named(h.Item) + strings.TrimRight(view.Lead(firstSentence(h.Text), c.p.Units), ".")
		switch {
		case h.Override != nil && h.Passed:
			c.log.Overridden = append(c.log.Overridden, fmt.Sprintf("%s. %s, %s: %s", text, h.Override.Is.Name, c.at(h.Override.At), h.Override.Is.Reason))
		case !h.Passed:
			c.log.Unanswered = append(c.log.Unanswered, text+prefixed(". Open again: ", h.Reopened)+".")
		default:
			a := h.Answers[len(h.Answers)-1]
			for _, one := range h.Answers { // the last that stands
				if !one.Void {
					a = one
				}
			}
			says := "yes"
			if a.Is.Says == book.SaysNotHere {
				says = "does not apply here"
			}
			c.log.Answered = append(c.log.Answered, fmt.Sprintf("%s: %s, %s%s%s%s", text, says, c.at(a.At), prefixed(", ", a.Is.How), prefixed(", ", a.Is.By), prefixed(": ", a.Is.Note)))
		}
	}
}

// named begins a text with its place where the job has more than one.
func (c *recorder) named(item string) string {
	if pl, ok := c.j.Place(item); ok && len(c.j.Places) > 1 {
		return capital(pl.Name) + ": "
	}
	return ""
}

// tins are the rods that were out.
func (c *recorder) tins() {
	for i := range c.j.Tins {
		t := &c.j.Tins[i]
		if t.Void {
			continue
		}
		s := t.Is.Class
		if t.Is.Size != nil {
			s += " " + t.Is.Size.SI.Text(c.p.Units)
		}
		s += prefixed(", lot ", t.Is.Lot) + prefixed(", from ", word(t.Is.From)) + ", out " + c.at(t.At)
		if t.Away != nil {
			s += ", away " + c.at(t.Away.At) + " (" + word(t.Away.Is.Into) + ")"
		}
		if t.Due != nil {
			s += ", may be out until " + c.at(*t.Due)
		}
		c.log.Rods = append(c.log.Rods, s+fmt.Sprintf("; %g burnt.", t.Rods))
	}
}

// rest takes what is of no place of the record: nothing that stands is left out.
func (c *recorder) rest() {
	other := func(item string) bool { return !c.printed[item] }
	c.log.Readings = c.readings(other, &c.log.LeftOut)
	c.log.Deviations = c.deviations(other, &c.log.LeftOut)
	c.log.Tests = c.tests(other, &c.log.LeftOut)
	notes := limitRows(&c.log.LeftOut, "notes")
	for _, n := range c.j.Notes {
		if !n.Void && notes() {
			c.log.Notes = append(c.log.Notes, c.at(n.At)+": "+c.named(n.Is.Item)+n.Is.Text+mark(n.Meta, "; "))
		}
	}
	for _, f := range c.j.Strange {
		c.log.LeftOut = append(c.log.LeftOut, "an entry that this build cannot read ("+f.Ref.String()+")")
	}
	for _, d := range c.j.Damages {
		if !d.Void {
			c.log.Notes = append(c.log.Notes, c.at(d.At)+": "+c.named(d.Is.Item)+"more damage was found: "+d.Is.Text+mark(d.Meta, "; "))
		}
	}
}

// corrections lists every entry that was corrected or taken back, with what it
// said before.
func (c *recorder) corrections() {
	room := limitRows(&c.log.LeftOut, "corrections")
	for _, l := range c.j.Log {
		if !l.Corrected() || !room() {
			continue
		}
		s := c.at(l.Logged) + ": "
		for _, was := range l.Was() {
			s += was + " → "
		}
		s += l.Text()
		if l.Void {
			s += " → taken back"
		}
		var why []string
		for _, x := range l.Corrections {
			why = append(why, x.Reason+" ("+c.at(x.At)+")")
		}
		c.log.Corrections = append(c.log.Corrections, s+". Why: "+strings.Join(why, "; ")+".")
	}
}

// mark marks a row whose entry was corrected.
func mark(m book.Meta, join string) string {
	if n := len(m.Corrections); n > 0 {
		return join + "corrected: " + m.Corrections[n-1].Reason
	}
	return ""
}

// limitRows counts the rows of a table and says, once, how many do not fit.
func limitRows(left *[]string, what string) func() bool {
	n, at := 0, -1
	return func() bool {
		if n++; n <= mostPrinted {
			return true
		}
		if at < 0 {
			at = len(*left)
			*left = append(*left, "")
		}
		(*left)[at] = fmt.Sprintf("%d more %s: the log of the job has them.", n-mostPrinted, what)
		return false
	}
}

// chart is the logged heat of a place, as wide as the page.
func (c *recorder) chart(item string, left *[]string) *draw.Drawing {
	const wide, high = 184, 62
	d, drawn := heatLog{j: c.j, item: item, sys: c.p.Units, now: c.now}.draw(c.heats[item], sketch.Frame{Width: wide, High: high, Size: 3, Words: c.p.Words})
	if d == nil || drawn.Read < 2 {
		return nil
	}
	if drawn.Cut != "" {
		*left = append(*left, drawn.Cut)
	}
	return d
}
