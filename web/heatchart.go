package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

// heatDrawn is what was logged of a place's heat, over what was worked out.
type heatDrawn struct {
	Item     string
	SVG      template.HTML
	W, H     int // of the drawing on a phone, px
	Title    string
	Desc     string
	Read     int    // readings shown
	Expected bool   // a simulation of the plan in force stands behind it
	How      string // how the two are lined up
	Cut      string // what of the record is not drawn
	Hints    []plan.HeatHint
	Live     bool   // readings are to be expected now
	Mark     string // changes with what is shown
}

// heatLog is the record of a place's heat.
type heatLog struct {
	j    *book.Job
	item string
	sys  q.System
	now  time.Time // of the look; its location is that of the times shown
	from time.Time // what was logged before it belongs to an earlier heat
}

func (r *request) heatLog(item string) heatLog {
	return heatLog{j: r.job, item: item, sys: r.system(), now: r.now}
}

const (
	mostHints = 3
	mostMarks = 40             // beads marked
	liveFor   = 4 * time.Hour  // after the last entry of a place
	chartSpan = 24 * time.Hour // shown after the torch is lit
	chartLead = 30 * time.Minute
)

// lined says how simulation and record are laid on each other.
type lined struct {
	zero time.Time // when the torch was lit, as far as one can tell
	how  string
	ok   bool
	lit  bool // it was logged
}

// lineUp finds when the torch was lit: as it was logged; else from the first bead;
// else from the first reading. lit is the logged time that a reading may be held
// against; where it is not known, readings are compared before no bead.
func (h heatLog) lineUp(it *plan.ThermalItem) lined {
	j, item := h.j, h.item
	bead, number, welded := firstBead(j, item, h.from)
	lit := j.TorchLit(item)
	for i := len(lit) - 1; i >= 0 && !lit[i].Started.Before(h.from); i-- {
		if !welded || lit[i].Started.Before(bead) {
			return lined{lit[i].Started, "Lined up where the torch was lit, " + h.clock(lit[i].Started) + ".", true, true}
		}
	}
	if it == nil || it.Chart == nil {
		return lined{}
	}
	if welded {
		for _, m := range it.Chart.Beads {
			if m.Label == strconv.Itoa(number) {
				return lined{bead.Add(-seconds(m.At)), fmt.Sprintf("Lined up at bead %d, %s: nobody logged when the torch was lit.", number, h.clock(bead)), true, false}
			}
		}
		return lined{}
	}
	first := (*book.Logged[book.Reading])(nil)
	for i := range j.Readings {
		if l := &j.Readings[i]; !l.Void && l.Is.Item == h.item && l.Is.Temp != nil && !l.At.Before(h.from) && (first == nil || l.At.Before(first.At)) {
			first = l
		}
	}
	if first == nil {
		return lined{}
	}
	f := it.Chart.Face(first.Is.FarFace)
	if f == nil {
		return lined{}
	}
	at := q.Time(0)
	for _, p := range f.Points {
		if at = p.At; (p.Low+p.High)/2 >= first.Is.Temp.SI {
			break
		}
	}
	return lined{first.At.Add(-seconds(at)), "Lined up at the first reading, " + h.clock(first.At) + ": nobody logged when the torch was lit, so nothing can be said of the first one.", true, false}
}

func (h heatLog) clock(t time.Time) string { return clockText(t, h.now) }

func seconds(t q.Time) time.Duration { return time.Duration(float64(t) * float64(time.Second)) }

// expectedHeat is what was worked out for the plan in force; nil where it was not.
func (r *request) expectedHeat(item string) (*plan.ThermalItem, error) {
	now, _, err := r.heatNow(item)
	if err != nil || now == nil || now.Old || now.Result.Thermal().Chart == nil {
		return nil, err
	}
	return now.Result.Thermal(), nil
}

// heatChartOf draws the heat of a place for a page; nil where there is too little
// to show.
func (r *request) heatChartOf(item string) (*heatDrawn, error) {
	it, err := r.expectedHeat(item)
	if err != nil {
		return nil, err
	}
	log := r.heatLog(item)
	d, v := log.draw(it, sketch.Frame{Width: sketch.PhoneWidth, High: 60})
	if d == nil {
		return nil, nil
	}
	svg := draw.SVG(d, "heat-"+item)
	v.SVG, v.Title, v.Desc, v.W, v.H = template.HTML(svg), d.Title, d.Desc, int(d.W*4), int(d.H*4)
	v.Live = log.live()
	sum := sha256.Sum256([]byte(svg + fmt.Sprint(v.Hints, v.How, v.Live)))
	v.Mark = hex.EncodeToString(sum[:6])
	return v, nil
}

// draw shows what was logged against the plan's window, the beads and, where it is
// given, what was expected; nil where there is too little to show.
func (h heatLog) draw(it *plan.ThermalItem, f sketch.Frame) (*draw.Drawing, *heatDrawn) {
	c, v := sketch.Chart{Units: h.sys}, &heatDrawn{Item: h.item, Expected: it != nil}
	h.from = h.lastHeat()
	line := h.lineUp(it)
	near, far, first, last, cut := h.series(line, it != nil)
	v.Read = len(near.Points) + len(far.Points)
	if it == nil { // nothing to tell the faces apart for
		near = sketch.Series{Name: "read", Points: append(near.Points, far.Points...)}
		far.Points = nil
		slices.SortStableFunc(near.Points, func(a, b sketch.ChartPoint) int { return cmp.Compare(a.At, b.At) })
	}
	if v.Read < 2 && it == nil {
		return nil, nil
	}
	zero := first
	if it != nil && line.ok {
		zero, v.How = line.zero, line.how
	}
	shift := time.Duration(0) // of what was read before the torch was lit
	if v.Read > 0 && first.Before(zero) {
		shift = zero.Sub(first)
	}
	at := func(t time.Time) q.Time { return q.Time((t.Sub(zero) + shift).Seconds()) }
	for _, s := range []*sketch.Series{&near, &far} {
		for i := range s.Points {
			s.Points[i].At = at(time.Unix(int64(s.Points[i].At), 0))
		}
		if len(s.Points) > 0 {
			c.Series = append(c.Series, *s)
		}
	}
	end := q.Time(0)
	if v.Read > 0 {
		end = at(last)
	}
	welding, unmarked := false, 0
	for _, b := range h.j.Beads {
		begun := begunAt(b.Is)
		if b.Void || b.Is.Item != h.item || begun.Before(h.from) {
			continue
		}
		s := at(begun)
		if s < 0 || it == nil && s > end || begun.Sub(zero) > chartSpan || len(c.Beads) >= mostMarks {
			unmarked++
			continue
		}
		c.Beads = append(c.Beads, sketch.BeadMark{At: s, Label: strconv.Itoa(b.Is.Number)})
		welding, end = true, max(end, s)
	}
	if it != nil {
		c.Bands = bands(it.Chart, &near, &far, q.Time(shift.Seconds()), bandEnd(it.Chart, end, welding, line.lit && !h.from.IsZero()))
		v.Hints = h.hints(it, line)
		if !welding {
			v.How = strings.TrimSpace(v.How + " The band is what was worked out for the weak, the likely and the strong flame.")
		}
	}
	v.Cut = strings.Join(nonEmpty(h.before(it != nil && line.lit), cut, marksLeft(unmarked)), " ")
	if l, ok := h.j.Limits(h.item); ok {
		if l.Floor != nil {
			c.Floor = q.Known(*l.Floor)
		}
		if l.Ceiling != nil {
			c.Ceiling = q.Known(*l.Ceiling)
		}
	}
	return sketch.DrawChart(c, f), v
}

// series are the readings of each face, at their times of day in seconds. A
// reading far outside the time of the simulation would press it flat.
func (h heatLog) series(line lined, expected bool) (near, far sketch.Series, first, last time.Time, cut string) {
	near, far = sketch.Series{Name: "read, your face", Dots: sketch.FullDot}, sketch.Series{Name: "read, far face", Dots: sketch.RingDot}
	type point struct {
		at  time.Time
		t   q.Temperature
		far bool
	}
	var all []point
	outside := 0
	for _, l := range h.j.Readings {
		if l.Void || l.Is.Item != h.item || l.At.Before(h.from) {
			continue
		}
		t := readAs(l.Is)
		if t == nil {
			continue
		}
		p := point{at: l.At, t: *t, far: l.Is.FarFace}
		if off := l.At.Sub(line.zero); expected && line.ok && (off < -chartLead || off > chartSpan) {
			outside++
			continue
		}
		all = append(all, p)
	}
	slices.SortStableFunc(all, func(a, b point) int { return a.at.Compare(b.at) })
	if n := len(all); n > mostRows {
		all = all[n-mostRows:]
		cut = fmt.Sprintf("The chart shows the last %d of %d readings.", mostRows, n)
	}
	if outside > 0 {
		cut = strings.TrimSpace(cut + fmt.Sprintf(" %s more than half an hour before the torch or a day after it %s not drawn.", countOf(outside, "reading"), isAre(outside)))
	}
	for _, p := range all {
		s := &near
		if p.far {
			s = &far
		}
		s.Points = append(s.Points, sketch.ChartPoint{At: q.Time(p.at.Unix()), T: p.t})
	}
	if len(all) > 0 {
		first, last = time.Unix(all[0].at.Unix(), 0), all[len(all)-1].at
	}
	return near, far, first, last, cut
}

// bandEnd is how far the expected heat is shown: while it is heated a little
// beyond the first bead, then to the end of welding, and never short of the record.
//
// A torch lit again at a place that is welded in part is held against the first
// heat alone: the beads after it are not those of the simulation.
func bandEnd(c *plan.ThermalChart, logged q.Time, welding, again bool) q.Time {
	end := logged * 1.05
	if again {
		end, welding = 0, false
	}
	if n := len(c.Beads); n > 0 {
		to := c.Beads[0].At*1.3 + 2*q.Minute
		if welding {
			to = c.Beads[n-1].At + 30*q.Minute
		}
		end = max(end, to)
	}
	return end
}

// bands are what was expected of the faces that are read; of both where nothing is
// read yet.
func bands(c *plan.ThermalChart, near, far *sketch.Series, shift, end q.Time) []sketch.Band {
	var all []sketch.Band
	for _, side := range []struct {
		far  bool
		read *sketch.Series
		name string
	}{{false, near, "expected, your face"}, {true, far, "expected, far face"}} {
		f := c.Face(side.far)
		if f == nil || len(side.read.Points) == 0 && len(near.Points)+len(far.Points) > 0 {
			continue
		}
		b := sketch.Band{Name: side.name}
		for _, p := range f.Points {
			if p.At+shift > end {
				break
			}
			b.Points = append(b.Points, sketch.BandPoint{At: p.At + shift, Low: p.Low, High: p.High})
		}
		if len(b.Points) > 1 {
			all = append(all, b)
		}
	}
	return all
}

// hints holds readings against the simulation: the last one in any case, and
// those before it that were off. Readings at a bead are compared bead by bead,
// those of the first heat by time; where the torch was not logged the first of
// them is what the two are lined up by.
func (h heatLog) hints(it *plan.ThermalItem, line lined) []plan.HeatHint {
	bead, _, welded := firstBead(h.j, h.item, h.from)
	logged := line.lit
	var all []plan.HeatHint
	list := slices.Clone(h.j.Readings)
	slices.SortStableFunc(list, func(a, b book.Logged[book.Reading]) int { return a.At.Compare(b.At) })
	skipped := logged || welded
	for _, l := range list {
		if l.Void || l.Is.Item != h.item || l.Is.Temp == nil || l.At.Before(h.from) {
			continue
		}
		if !skipped {
			skipped = true
			continue
		}
		seen := plan.HeatSeen{T: l.Is.Temp.SI, Bead: l.Is.Bead, Far: l.Is.FarFace}
		if l.Is.Distance != nil {
			seen.From = q.Known(l.Is.Distance.SI)
		}
		if l.Is.Bead == 0 {
			if !line.ok || welded && !l.At.Before(bead) {
				continue
			}
			seen.At = q.Time(l.At.Sub(line.zero).Seconds())
		}
		if hint, ok := it.Compare(seen, h.sys); ok {
			all = append(all, hint)
		}
	}
	var out []plan.HeatHint
	for i := len(all) - 1; i >= 0 && len(out) < mostHints; i-- {
		if all[i].Off != 0 || i == len(all)-1 {
			out = append(out, all[i])
		}
	}
	return out
}

// live says whether a reading may come at any moment: the torch burns, rods are
// out, or something was logged here not long ago.
func (h heatLog) live() bool {
	if h.j.Status != book.JobOpen {
		return false
	}
	for _, c := range h.j.Clocks {
		if c.Running() && (c.What == book.TorchClock && c.Item == h.item || c.What == book.RodClock) {
			return true
		}
	}
	recent := func(t time.Time) bool { return h.now.Sub(t) < liveFor }
	return slices.ContainsFunc(h.j.Readings, func(l book.Logged[book.Reading]) bool { return !l.Void && l.Is.Item == h.item && recent(l.At) }) ||
		slices.ContainsFunc(h.j.Beads, func(l book.Logged[book.Bead]) bool { return !l.Void && l.Is.Item == h.item && recent(l.At) })
}

// heatChartPart is the chart by itself, for a page that looks again. Where nothing
// has changed nothing is sent, so that nothing flickers.
func (r *request) heatChartPart() error {
	c, err := r.heatChartOf(r.item())
	if err != nil {
		return err
	}
	if c == nil {
		return missing("fewer than two readings are logged here: there is no chart yet")
	}
	if r.part() && r.FormValue("seen") == c.Mark {
		r.w.WriteHeader(statusNoContent)
		return nil
	}
	return r.render("chart", "Heat against time", c)
}

// chart serves the drawing by itself.
func (r *request) chart() error {
	id, _ := strings.CutSuffix(r.PathValue("item"), ".svg")
	c, err := r.heatChartOf(id)
	if err != nil {
		return err
	}
	if c == nil {
		return missing("fewer than two readings are logged here: there is no chart yet")
	}
	r.w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	return r.sendText("image/svg+xml; charset=utf-8", []byte(c.SVG))
}
