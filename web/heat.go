package web

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"
	"sync"

	"soundmetal/book"
	"soundmetal/plan"
	"soundmetal/store"
	"soundmetal/task"
)

// The simulated heat of a place: the page, what is computed from, what is kept.

// heatCache keeps the simulations used last: unpacking one takes longer than
// showing it.
type heatCache struct {
	mu   sync.Mutex
	all  map[store.Hash]*task.Result
	used []store.Hash
}

const keepHeats = 8

func (c *heatCache) get(ctx context.Context, b *book.Book, s book.HeatSimulated) (*task.Result, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if r := c.all[s.Blob]; r != nil {
		return r, nil
	}
	r, err := b.Heat(ctx, s)
	if err != nil {
		return nil, err
	}
	if c.all == nil {
		c.all = map[store.Hash]*task.Result{}
	}
	c.all[s.Blob] = r
	if c.used = append(c.used, s.Blob); len(c.used) > keepHeats {
		delete(c.all, c.used[0])
		c.used = slices.Delete(c.used, 0, 1)
	}
	return r, nil
}

// simulated is what was worked out for a place.
type simulated struct {
	book.Logged[book.HeatSimulated]
	Result *task.Result
	Plan   *book.PlanVersion
	Old    bool // of an earlier plan
}

// heatNow gives the last simulation of a place, and the last one without readings
// of the same plan before it. Both are nil where there is none, or where its file
// has not reached this device yet.
func (r *request) heatNow(item string) (now, before *simulated, err error) {
	all, _ := r.job.HeatOf(item)
	inForce := r.job.Plan()
	pick := func(ok func(book.HeatSimulated) bool) (*simulated, error) {
		for i := len(all) - 1; i >= 0; i-- {
			if !ok(all[i].Is) {
				continue
			}
			res, err := r.heats.get(r.Context(), r.Book, all[i].Is)
			if errors.Is(err, store.ErrNoBlob) {
				continue
			}
			if err != nil {
				return nil, err
			}
			return &simulated{all[i], res, r.job.PlanOf(all[i].Is.Plan), inForce == nil || all[i].Is.Plan != inForce.PlanMade.ID}, nil
		}
		return nil, nil
	}
	if inForce != nil {
		now, err = pick(func(s book.HeatSimulated) bool { return s.Plan == inForce.PlanMade.ID })
	}
	if now == nil && err == nil {
		now, err = pick(func(book.HeatSimulated) bool { return true })
	}
	if err != nil || now == nil || len(now.Is.Readings) == 0 {
		return now, nil, err
	}
	before, err = pick(func(s book.HeatSimulated) bool { return s.Plan == now.Is.Plan && len(s.Readings) == 0 })
	return now, before, err
}

// heatView is the page.
type heatView struct {
	Places   []book.PlaceOf // to choose from, where none is asked for
	Place    book.PlaceOf
	Cannot   string // why there is nothing to work out
	Now      *simulated
	Sections []section
	Beads    []beadRow
	Compare  []beforeAfter
	Readings []fitReading
	Usable   int
	Fitted   int // readings that the shown answer was fitted to
	Torch    *book.Clock
	Chart    *heatDrawn
	Task     *taskView // nil: nothing runs
	Way      string    // "tasks", "worker" or "": how it can be worked out here
	Worker   string
}

// Refresh is after how many seconds a browser without scripts looks again.
func (v heatView) Refresh() int {
	if v.Task != nil && v.Task.Busy() {
		return 4
	}
	return 0
}

// taskView is a task on its way.
type taskView struct {
	TaskState
	Item string
}

// Percent is how much of the runs is done.
func (t taskView) Percent() int {
	if t.Progress.Of < 1 {
		return 0
	}
	return min(99, max(0, t.Progress.Part-1)*100/t.Progress.Of)
}

// Minutes is the time in the simulation.
func (t taskView) Minutes() int { return int(t.Progress.Time / 60) }

type beadRow struct {
	plan.ThermalBead
	At, Low, High, Wait, Torch, T85, Formula string
}

// beforeAfter is a figure before and after the readings.
type beforeAfter struct{ Label, Before, After string }

func (r *request) heat() error {
	if r.URL.Query().Has("why") {
		return r.heatWhy()
	}
	var v heatView
	item := r.item()
	if item == "" {
		v.Places = r.job.Standing()
		return r.render("heat", "The heat, worked out", v)
	}
	pl, ok := r.job.Place(item)
	if !ok {
		return missing("this job has no such place")
	}
	v.Place = pl
	var no *book.Refusal
	if _, _, err := r.planPlace(item); errors.As(err, &no) {
		v.Cannot = capital(no.Text) + "."
	} else if err != nil {
		return err
	}
	var err error
	var before *simulated
	if v.Now, before, err = r.heatNow(item); err != nil {
		return err
	}
	if v.Now != nil {
		r.showHeat(&v, before)
	}
	v.Readings = r.fitReadings(item)
	v.Usable = len(usable(v.Readings))
	for _, c := range r.job.TorchLit(item) {
		if c.Running() {
			v.Torch = &c
		}
	}
	if v.Chart, err = r.heatChartOf(item); err != nil {
		return err
	}
	switch {
	case r.Tasks != nil:
		v.Way = "tasks"
		if s := r.Tasks.State(r.taskID(item)); s.Phase != NoTask {
			v.Task = &taskView{s, item}
		}
	case r.Worker != "":
		v.Way, v.Worker = "worker", r.Worker
	}
	return r.render("heat", "The heat, worked out", v)
}

func (r *request) taskID(item string) string { return r.job.ID + "/" + item }

// showHeat lays out an answer.
func (r *request) showHeat(v *heatView, before *simulated) {
	it := v.Now.Result.Thermal()
	v.Fitted = len(v.Now.Is.Readings)
	for _, s := range it.Sections {
		out := section{ID: s.ID, Title: s.Title}
		for i, line := range s.Lines {
			w := row{Kind: line.Kind, Text: r.heatWords(line.Text)}
			at := v.Now.Is.ID + "." + s.ID + "." + strconv.Itoa(i)
			if f := line.Figure; f != nil {
				w.Label, w.ID, w.Weak = strings.TrimSpace(f.Label), f.ID, f.Basis.Ref.Status
				w.Value, w.Echo = splitFigure(r.heatWords(f.Text))
				w.Why = "?why=" + at + "&item=" + v.Place.ID
			} else if line.Basis != nil {
				w.ID, w.Weak, w.Why = at, line.Basis.Ref.Status, "?why="+at+"&item="+v.Place.ID
			}
			out.Rows = append(out.Rows, w)
		}
		out.Now = s.ID == "warm" || s.ID == "touch" || s.ID == "read"
		v.Sections = append(v.Sections, out)
	}
	for _, b := range it.Beads {
		v.Beads = append(v.Beads, r.beadRow(b))
	}
	if before != nil {
		v.Compare = compared(before.Result.Thermal(), it, r.heatWords)
	}
}

// heatWords turns a text of the answer for the page: there are no flags here.
func (r *request) heatWords(text string) string {
	text = strings.NewReplacer("; --level working computes it finer and takes minutes", "", "--level working", "the working level", "`soundmetal plan`", "the plan").Replace(text)
	return page{R: r.scene}.In(text)
}

func (r *request) beadRow(b plan.ThermalBead) beadRow {
	sys := r.system()
	minutes := func(t float64) string {
		switch {
		case t <= 0:
			return ""
		case t < 30:
			return "< 1 min"
		}
		return strconv.Itoa(int(t/60+0.5)) + " min"
	}
	w := beadRow{ThermalBead: b, Low: b.Coldest.In(sys), High: b.Hottest.In(sys), Wait: minutes(float64(b.Waited)), Torch: minutes(float64(b.Reheated))}
	m := int(float64(b.Start)/60 + 0.5)
	w.At = strconv.Itoa(m/60) + ":" + strconv.Itoa(100 + m%60)[1:]
	if b.T85 != nil {
		w.T85 = strconv.FormatFloat(float64(*b.T85), 'f', 1, 64) + " s"
	}
	if b.Formula != nil {
		w.Formula = strconv.FormatFloat(float64(*b.Formula), 'f', 1, 64) + " s"
	}
	return w
}

// comparedFigures are shown before and after the readings, by the name after the
// number of the place.
var comparedFigures = []string{"model.flame", "warm.reach", "warm.torch", "warm.stands", "warm.gas", "warm.gas-all", "beads.waits", "beads.reheats", "beads.time", "cool.covered"}

func compared(before, after *plan.ThermalItem, words func(string) string) []beforeAfter {
	figures := func(it *plan.ThermalItem) map[string]plan.Figure {
		all := map[string]plan.Figure{}
		for _, s := range it.Sections {
			for _, l := range s.Lines {
				if l.Figure != nil {
					_, name, _ := strings.Cut(l.Figure.ID, ".")
					all[name] = *l.Figure
				}
			}
		}
		return all
	}
	a, b := figures(before), figures(after)
	var out []beforeAfter
	for _, name := range comparedFigures {
		was, ok := a[name]
		is, ok2 := b[name]
		if !ok && !ok2 {
			continue
		}
		row := beforeAfter{Label: strings.TrimSpace(was.Label), Before: "none", After: "none"}
		if ok {
			row.Before = words(was.Text)
		}
		if ok2 {
			row.Label, row.After = strings.TrimSpace(is.Label), words(is.Text)
		}
		out = append(out, row)
	}
	return out
}

// heatWhy is the working behind a figure or a line of a simulation: its id, a
// section, the number of the line.
func (r *request) heatWhy() error {
	parts := strings.Split(r.URL.Query().Get("why"), ".")
	if len(parts) != 3 {
		return missing("say which number")
	}
	n, err := strconv.Atoi(parts[2])
	i := slices.IndexFunc(r.job.Simulated, func(l book.Logged[book.HeatSimulated]) bool { return l.Is.ID == parts[0] })
	if err != nil || i < 0 {
		return missing("this job has no such simulation")
	}
	res, err := r.heats.get(r.Context(), r.Book, r.job.Simulated[i].Is)
	if err != nil {
		return err
	}
	for _, s := range res.Thermal().Sections {
		if s.ID != parts[1] || n < 0 || n >= len(s.Lines) {
			continue
		}
		v := whyView{Back: r.heatPath(r.job.Simulated[i].Is.Item)}
		switch l := s.Lines[n]; {
		case l.Figure != nil:
			v.Title, v.Text, v.Basis = strings.TrimSpace(l.Figure.Label), r.heatWords(l.Figure.Text), l.Figure.Basis
		case l.Basis != nil:
			v.Title, v.Text, v.Basis = l.Basis.Title, r.heatWords(l.Text), *l.Basis
		default:
			return missing("this line has no working")
		}
		if knownMethod(v.Basis.Method) {
			v.Try = "/explain/" + v.Basis.Method
		}
		return r.render("why", "Why?", v)
	}
	return missing("this simulation has no such line")
}

// send writes text that is no page.
func (r *request) sendText(media string, data []byte) error {
	h := r.w.Header()
	h.Set("Content-Type", media)
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	r.w.WriteHeader(statusOK)
	r.w.Write(data)
	return nil
}
