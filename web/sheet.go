package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"soundmetal/book"
	"soundmetal/gate"
	"soundmetal/plan"
	"soundmetal/source"
)

// The job sheet: one long page in the order of the work.

type sheetView struct {
	Plan     *planned
	Version  *book.PlanVersion
	Old      bool // an old plan is shown: nothing can be logged from here
	NoFile   bool // the plan's file has not reached this device
	Said     []book.Line
	Fresh    []book.Deviation // shown by what was just logged
	Open     []book.Deviation
	Next     *row
	NextIn   string // title of the section that holds it
	Common   section
	Places   []placeView
	Bring    section
	Hours    section
	Before   []book.Card
	Agreed   bool
	Done     int
	Steps    int
	Last     []book.Line // what was logged last, newest first
	Photos   []book.Logged[book.Photo]
	Running  []book.Clock
	Verdict  gate.Class
	Narrow   []plan.Narrowing
	Explains bool
}

// placeView is one damaged place on the sheet.
type placeView struct {
	book.PlaceOf
	Number   int
	Item     plan.Item
	Sections []section
	Limits   book.ItemLimits
	Bead     string // what the plan asks of the next bead
	Beads    int    // laid
	Readings int
	OpenGap  string // why the work at this place stands still
}

// section is one part of the work.
type section struct {
	ID, Title string
	Rows      []row
	Now       bool // it holds the next thing to do
	Open      int  // hold points and steps that are not done
	Count     int  // hold points and steps
	Draw      []drawingRef
	Chart     *heatDrawn // logged against expected heat
	HeatPage  string     // address of the simulated heat
	Lazy      string     // address of the section by itself, where the sheet only names it
}

type drawingRef struct {
	URL, Alt string
	W, H     int
}

// row is one line of a section.
type row struct {
	Kind   plan.LineKind
	Text   string
	Label  string // of a figure
	Value  string // of a figure: what leads
	Echo   string // of a figure: the rest
	Weak   source.Status
	Why    string // address of the working
	ID     string // of a figure, for the fragment
	Step   *book.Step
	Hold   *book.Hold
	Now    bool
	Locked string // why it is not open yet
}

// Mark is how a hold point stands.
func (w row) Mark() string {
	switch {
	case w.Step != nil && w.Step.Done != nil:
		return "done"
	case w.Hold != nil && w.Hold.Override != nil && w.Hold.Passed:
		return "warn"
	case w.Hold != nil && w.Hold.Passed:
		return "done"
	case w.Hold != nil:
		return "stop"
	}
	return ""
}

func (r *request) sheet() error {
	if r.URL.Query().Has("why") {
		return r.why()
	}
	v, err := r.sheetOf(r.job.Plan(), false)
	if err != nil {
		return err
	}
	r.said(&v)
	for i := len(r.job.Log) - 1; i >= 0 && len(v.Last) < 3; i-- {
		v.Last = append(v.Last, r.job.Log[i])
	}
	for _, ph := range r.job.Photos {
		if !ph.Void {
			v.Photos = append(v.Photos, ph)
		}
	}
	if n := len(v.Photos); n > 12 {
		v.Photos = v.Photos[n-12:]
	}
	for _, c := range r.job.Clocks {
		if c.Running() && c.What != book.LookClock {
			v.Running = append(v.Running, c)
		}
	}
	v.Before = r.before()
	return r.render("sheet", r.job.Name, v)
}

// said finds what the last form has logged, and what it shows.
func (r *request) said(v *sheetView) {
	q := r.URL.Query()
	to, err := book.ReadRef(q.Get("did"))
	if err != nil {
		return
	}
	from, err := book.ReadRef(q.Get("from"))
	if err != nil || from.Device != to.Device || to.Seq-from.Seq > 300 {
		from = to
	}
	in := func(ref book.Ref) bool { return ref.Device == to.Device && ref.Seq >= from.Seq && ref.Seq <= to.Seq }
	for i := len(r.job.Log) - 1; i >= 0; i-- {
		if in(r.job.Log[i].Ref) {
			v.Said = append(v.Said, r.job.Log[i])
		}
	}
	slices.Reverse(v.Said)
	for _, d := range r.job.Deviations {
		if in(d.Ref) {
			v.Fresh = append(v.Fresh, d)
		}
	}
}

// sheetOf lays out a plan of the job.
func (r *request) sheetOf(version *book.PlanVersion, old bool) (sheetView, error) {
	v := sheetView{Version: version, Old: old, Agreed: len(r.job.Agreed) > 0, Explains: r.setting("explain") == "yes"}
	fresh := map[string]bool{}
	for _, d := range r.job.OpenDeviations() {
		if !fresh[d.ID] {
			v.Open = append(v.Open, d)
		}
	}
	if version == nil {
		return v, nil
	}
	v.Verdict = version.Limits.Verdict
	p, err := r.plans.get(r.Context(), r.Book, version)
	if err != nil {
		return v, err
	}
	v.Plan = p
	l := &layout{r: r, p: p, old: old, version: version, used: map[string]bool{}, opens: map[[2]string]string{}}
	if m := p.plan.MakeSafe; m != nil {
		v.Common = l.section("", 0, *m)
	}
	ids := version.Limits.Items
	for i, it := range p.plan.Items {
		id := ""
		if i < len(ids) {
			id = ids[i].Item
		}
		pv := placeView{Number: i + 1, Item: it}
		pv.PlaceOf, _ = r.job.Place(id)
		if i < len(ids) {
			pv.Limits = ids[i]
		}
		for _, s := range it.Sections {
			sec := l.section(id, i+1, s)
			sec.Draw = r.drawingsFor(p, i, s.ID, version)
			if s.ID == "heat" && !old && it.Planned {
				sec.HeatPage = r.heatPath(id)
				if sec.Chart, err = r.heatChartOf(id); err != nil {
					return v, err
				}
			}
			pv.Sections = append(pv.Sections, sec)
		}
		for _, b := range r.job.Beads {
			if !b.Void && b.Is.Item == id {
				pv.Beads++
			}
		}
		for _, rd := range r.job.Readings {
			if !rd.Void && rd.Is.Item == id {
				pv.Readings++
			}
		}
		if !old && it.Planned {
			pv.Bead = r.beadPlan(pv.Limits, pv.NextBead)
			if err := r.job.Opens(id, "passes"); err != nil {
				pv.OpenGap = err.Error()
			}
		}
		v.Places = append(v.Places, pv)
	}
	if p.plan.Bring != nil {
		v.Bring = l.section("", 0, *p.plan.Bring)
	}
	if p.plan.Hours != nil {
		v.Hours = l.section("", 0, *p.plan.Hours)
	}
	v.Narrow = p.plan.Narrow
	v.Steps, v.Done = l.count, l.done
	v.Next, v.NextIn = v.next()
	v.all(func(number int, s *section) {
		if named[s.ID] && !s.Now {
			s.Lazy = fmt.Sprintf("%s/part/%d/%s", l.base(), number, s.ID)
		}
	})
	return v, nil
}

// named are the sections that the sheet names and opens when they are asked for:
// they are read once, and the sheet is to be light.
var named = map[string]bool{"cause": true, "until": true, "hold": true, "bring": true, "hours": true, "next": true}

// all visits every section in the order of the work; number is that of the place.
func (v *sheetView) all(f func(number int, s *section)) {
	f(0, &v.Common)
	for i := range v.Places {
		for k := range v.Places[i].Sections {
			f(v.Places[i].Number, &v.Places[i].Sections[k])
		}
	}
	f(0, &v.Bring)
	f(0, &v.Hours)
}

// sheetPart shows one section by itself.
func (r *request) sheetPart() error {
	if r.URL.Query().Has("why") {
		return r.why()
	}
	version, old := r.job.Plan(), false
	if id := r.PathValue("plan"); id != "" {
		version, old = r.job.PlanOf(id), true
	}
	if version == nil {
		return missing("this job has no such plan")
	}
	v, err := r.sheetOf(version, old)
	if err != nil {
		return err
	}
	var found *section
	v.all(func(number int, s *section) {
		if strconv.Itoa(number) == r.PathValue("place") && s.ID == r.PathValue("section") {
			found = s
		}
	})
	if found == nil {
		return missing("this plan has no such section")
	}
	found.Lazy, found.Now = "", true
	return r.render("part", found.Title, *found)
}

// next marks the next thing to do: the first hold point or step not yet done. A
// hold point comes before the steps of its own section, since it stops the work.
func (v *sheetView) next() (*row, string) {
	if v.Old {
		return nil, ""
	}
	var all []*section
	v.all(func(_ int, s *section) { all = append(all, s) })
	for _, s := range all {
		for i := range s.Rows {
			w := &s.Rows[i]
			if (w.Step != nil && w.Step.Done == nil || w.Hold != nil && !w.Hold.Passed) && w.Locked == "" {
				w.Now, s.Now = true, true
				return w, s.Title
			}
		}
	}
	return nil, ""
}

// layout turns plan sections into rows and ties them to the record.
type layout struct {
	r           *request
	p           *planned
	opens       map[[2]string]string // why a section of a place is not open yet
	old         bool
	version     *book.PlanVersion
	used        map[string]bool
	count, done int
}

func (l *layout) section(item string, number int, s plan.Section) section {
	out := section{ID: s.ID, Title: s.Title}
	for i, line := range s.Lines {
		w := row{Kind: line.Kind, Text: l.p.in(line.Text)}
		at := fmt.Sprintf("%d.%s.%d", number, s.ID, i)
		if f := line.Figure; f != nil {
			w.Label, w.ID, w.Weak = strings.TrimSpace(f.Label), f.ID, f.Basis.Ref.Status
			w.Value, w.Echo = splitFigure(l.p.in(f.Text))
			w.Why = l.why("f", f.ID)
		} else if line.Basis != nil {
			w.ID, w.Weak = at, line.Basis.Ref.Status
			w.Why = l.why("l", at)
		}
		if !l.old {
			l.tie(&w, item, s.ID, line)
		}
		out.Rows = append(out.Rows, w)
	}
	if !l.old { // hold points that every place has, and the plan does not say in its own words
		for i := range l.r.job.Holds {
			h := &l.r.job.Holds[i]
			if h.Item == item && h.Section == s.ID && !l.used[h.ID] {
				l.used[h.ID] = true
				out.Rows = append(out.Rows, row{Kind: plan.Hold, Text: l.p.in(h.Text), Hold: h, ID: h.ID, Why: l.why("h", h.ID), Locked: l.locked(h.Item, h.Section)})
			}
		}
	}
	for _, w := range out.Rows {
		if w.Step != nil || w.Hold != nil {
			out.Count++
			if w.Mark() == "stop" || w.Step != nil && w.Step.Done == nil {
				out.Open++
			}
		}
	}
	l.count += out.Count
	l.done += out.Count - out.Open
	return out
}

// tie finds the step or hold point that a line of the plan stands for.
func (l *layout) tie(w *row, item, sec string, line plan.Line) {
	switch line.Kind {
	case plan.Do:
		for i := range l.r.job.Steps {
			s := &l.r.job.Steps[i]
			if s.Text == line.Text && s.Item == item && s.Section == sec && !l.used[s.ID] {
				l.used[s.ID], w.Step, w.Locked = true, s, l.locked(item, sec)
				return
			}
		}
	case plan.Hold:
		for i := range l.r.job.Holds {
			h := &l.r.job.Holds[i]
			if h.Text == line.Text && h.Item == item && h.Section == sec && !l.used[h.ID] {
				l.used[h.ID], w.Hold, w.Locked = true, h, l.locked(item, sec)
				return
			}
		}
	}
}

func (l *layout) locked(item, sec string) string {
	key := [2]string{item, sec}
	why, known := l.opens[key]
	if !known {
		if err := l.r.job.Opens(item, sec); err != nil {
			why = err.Error()
		}
		l.opens[key] = why
	}
	return why
}

// why is the address of the working: that of the sheet itself with a question.
func (l *layout) why(kind, id string) string {
	return "?why=" + kind + "." + url.QueryEscape(id)
}

// base is the address of the sheet.
func (l *layout) base() string {
	if l.old {
		return "/jobs/" + l.r.job.ID + "/plans/" + l.version.ID
	}
	return "/jobs/" + l.r.job.ID
}

// splitFigure parts a figure into what is read from a distance and the rest.
func splitFigure(text string) (lead, rest string) {
	for _, mark := range []string{" (", ", ", "; "} {
		if i := strings.Index(text, mark); i > 0 && i <= 40 {
			lead, rest = text[:i], strings.TrimLeft(text[i:], ",; ")
			return lead, rest
		}
	}
	if len(text) > 44 {
		return "", text
	}
	return text, ""
}

// drawingsFor are the drawings that stand at the head of a section.
func (r *request) drawingsFor(p *planned, item int, sec string, version *book.PlanVersion) []drawingRef {
	names := map[string][]string{"cut": {"part", "end"}, "joint": {"joint"}, "passes": {"weld", "order"}}[sec]
	var all []drawingRef
	for _, n := range names {
		if d := p.draw(item, n); d != nil {
			address := fmt.Sprintf("/jobs/%s/draw/%d/%s.svg?plan=%s", r.job.ID, item+1, n, version.ID)
			all = append(all, drawingRef{address, d.Title + ". " + d.Desc, int(d.W * 4), int(d.H * 4)})
		}
	}
	return all
}

// oldPlan shows a plan as it was made: it stays readable.
func (r *request) oldPlan() error {
	if r.URL.Query().Has("why") {
		return r.why()
	}
	version := r.job.PlanOf(r.PathValue("plan"))
	if version == nil {
		return missing("this job has no such plan")
	}
	v, err := r.sheetOf(version, true)
	if err != nil {
		return err
	}
	return r.render("sheet", "Plan "+strconv.Itoa(version.Number), v)
}
