package conduct

import (
	"context"
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// runner walks through the events of a case.
type runner struct {
	ctx     context.Context
	c       *Case
	o       Options
	s       *solver
	hist    *History
	readers []reader
	byName  map[string]int
	now     []float64 // probe readings
	before  []float64 // and of the step before
	t       float64
	dt      float64 // wish for the next step
	dtLast  float64 // the last step
	env     Environment
	blanket []Blanket
	fills   [][]int32 // cells of each bead, in the order of the arc
	zones   []*zone   // heat-affected zones still cooling
	event   int
	name    string
	missed  float64 // flame energy past the edges, gross into steel
	shot    float64 // time of the last picture
	pace    int
	halved  int     // steps that had to be halved
	stop    float64 // computed so far and no further
}

// Run computes a case. It returns ctx's error when cancelled, and *TooLarge
// when the grid is refused.
func Run(ctx context.Context, c Case, o Options) (History, error) {
	r, err := newRunner(ctx, &c, o)
	if err != nil {
		return History{}, err
	}
	return r.all()
}

// all walks through the events.
func (r *runner) all() (History, error) {
	for i, e := range r.c.Events {
		if r.over() {
			break
		}
		r.event, r.name = i, eventName(e)
		if err := r.do(e); err != nil {
			return History{}, err
		}
	}
	r.s.closeLoss()
	r.picture(true)
	r.finish()
	return *r.hist, nil
}

// over says that the end of a run cut short is reached.
func (r *runner) over() bool { return r.t >= r.stop-1e-9 }

// newRunner makes everything ready for the first step; nothing of the size of
// the grid is allocated afterwards.
func newRunner(ctx context.Context, c *Case, o Options) (*runner, error) {
	if c.Steel == nil {
		c.Steel = Carbon()
	}
	if err := c.check(); err != nil {
		return nil, err
	}
	o = o.filled()
	r := &runner{ctx: ctx, c: c, o: o, env: c.Env}
	g, err := makeGrid(&c.Body, r.regions(), o.sizes(c), o.MaxCells)
	if err != nil {
		return nil, err
	}
	r.s = newSolver(g, c.Steel, &c.Body, float64(c.Start), r.classes)
	r.s.rules = r.rulesOf()
	r.hist = &History{Probes: c.Probes, Temps: make([][]q.Temperature, len(c.Probes))}
	if err := r.bindAll(true); err != nil {
		return nil, err
	}
	r.assign()
	r.startSection()
	r.record()
	r.dt = float64(o.ArcStep)
	r.stop = math.Inf(1)
	return r, nil
}

// regions are the boxes whose planes the grid must meet.
func (r *runner) regions() []Box {
	var all []Box
	for _, s := range r.c.Surfaces {
		all = append(all, s.Where.In)
	}
	for _, e := range r.c.Events {
		if b, ok := e.(Blanket); ok {
			for _, w := range b.Where {
				all = append(all, w.In)
			}
		}
	}
	return all
}

// The classes of surface: the case's own first, then blankets, inside, open.
func (r *runner) rulesOf() []rule {
	var all []rule
	for _, s := range r.c.Surfaces {
		all = append(all, rule{
			h: float64(s.Film), es: float64(s.Emissivity) * stefanBoltzmann, air: float64(s.Air), airAt: s.AirAt,
			flux: float64(s.Flux), hold: math.IsInf(float64(s.Film), 1), loss: 1,
			counted: s.Flux == 0 && !math.IsInf(float64(s.Film), 1) && s.AirAt == nil,
		})
	}
	h := float64(FilmOf(r.env.Wind))
	es := float64(r.env.Skin.Emissivity()) * stefanBoltzmann
	loss := r.env.lossFactor()
	for _, b := range r.blanket {
		film := float64(b.Film)
		if film == 0 {
			film = figure("blanket").Value
		}
		all = append(all, rule{h: h, es: es, cover: film, air: float64(r.env.Air), loss: loss, counted: true})
	}
	all = append(all,
		rule{h: figure("film-inside").Value, air: float64(r.env.Air), loss: loss, counted: true},
		rule{h: h, es: es, air: float64(r.env.Air), loss: loss, counted: true})
	return all
}

// classes gives the class of a face by its middle.
func (r *runner) classes(s *solver) func(int, Face) uint8 {
	return func(c int, f Face) uint8 {
		i, j, k := s.g.ijk(c)
		p := [3]float64{s.g.mid[0][i], s.g.mid[1][j], s.g.mid[2][k]}
		axis, up := f.axis()
		at := [3]int{i, j, k}[axis]
		out := 1e-6 // just outside
		if up {
			p[axis] = s.g.edge[axis][at+1]
		} else {
			p[axis] = s.g.edge[axis][at]
			out = -out
		}
		for n := range r.c.Surfaces {
			if r.c.Surfaces[n].Where.has(p, f) {
				if r.c.Surfaces[n].Insulated {
					return noSurface
				}
				return uint8(n)
			}
		}
		n := len(r.c.Surfaces)
		for b := range r.blanket {
			for _, w := range r.blanket[b].Where {
				if w.has(p, f) {
					return uint8(n + b)
				}
			}
		}
		n += len(r.blanket)
		p[axis] += out
		for _, in := range r.c.Body.Sheltered {
			if in.has(p) {
				return uint8(n)
			}
		}
		return uint8(n + 1)
	}
}

func (r *runner) do(e Event) error {
	m := Mark{Event: r.event, Kind: e.kind(), Name: r.name, From: q.Time(r.t), Met: true}
	var err error
	switch e := e.(type) {
	case Torch:
		m.Met, err = r.heat(&e, e.Until)
		m.Gross = q.Energy(float64(e.Power) * (r.t - float64(m.From)))
	case Wait:
		m.Met, err = r.stand(e.Until)
	case Bead:
		m.Met, m.Gross, err = r.weld(&e)
	case Blanket:
		if e.Off {
			r.blanket = nil
		} else {
			r.blanket = append(r.blanket, e)
		}
		r.surroundings()
	case Weather:
		r.env = e.Env
		r.surroundings()
	}
	m.To = q.Time(r.t)
	r.hist.Ledger.Gross += m.Gross
	r.hist.Marks = append(r.hist.Marks, m)
	return err
}

func (r *runner) surroundings() {
	r.s.rules = r.rulesOf()
	r.s.reclass()
	r.restart(2)
}

// restart begins again with a small step after a sudden change.
func (r *runner) restart(arcSteps float64) {
	r.dt = min(max(r.dt, 1e-3), arcSteps*float64(r.o.ArcStep))
	r.dtLast = 0
}

// stand waits.
func (r *runner) stand(u Until) (bool, error) {
	r.restart(1)
	return r.phase(u, float64(r.o.LongestStep), nil, 0)
}

// heat burns a torch.
func (r *runner) heat(t *Torch, u Until) (bool, error) {
	b := newBurner(r.s, t)
	r.restart(1)
	t0, put := r.t, r.s.sourceSum
	// a moving flame is followed where it is slow: a step covers half a radius
	longest := float64(r.o.FlameStep)
	met, err := r.phase(u, longest, func(a, z float64) []heat { return b.heats(a-t0, z-t0) }, b.power())
	share := 1.0
	if r.s.halfX {
		share /= 2
	}
	if r.s.halfY {
		share /= 2
	}
	in := r.s.sourceSum - put
	r.hist.Ledger.Torch += q.Energy(in)
	r.missed += b.power()*(r.t-t0)*share - in
	return met, err
}

// weld lays a bead under its rule.
func (r *runner) weld(b *Bead) (met bool, gross q.Energy, err error) {
	rec := BeadRecord{Name: r.name, Asked: q.Time(r.t), Ready: true}
	if h := b.Hold; h != nil {
		longest := h.Longest
		if longest == 0 {
			longest = 4 * q.Hour
		}
		// Heating may overshoot into the ceiling and waiting into the floor: twice round.
		for range 2 {
			if h.Ceiling.Known && r.most(h.Probes) > float64(h.Ceiling.V) {
				t := r.t
				if rec.Ready, err = r.stand(Until{Probes: h.Probes, AtMost: h.Ceiling, For: longest}); err != nil {
					return false, gross, err
				}
				rec.Waited += q.Time(r.t - t)
			}
			if h.Floor.Known && r.least(h.Probes) < float64(h.Floor.V) {
				if h.Reheat == nil {
					rec.Ready = false
					break
				}
				t := r.t
				if rec.Ready, err = r.heat(h.Reheat, Until{Probes: h.Probes, AtLeast: h.Floor, For: longest}); err != nil {
					return false, gross, err
				}
				rec.Reheated += q.Time(r.t - t)
				gross += q.Energy(float64(h.Reheat.Power) * (r.t - t))
			}
		}
		const hair = 0.05 // K, of stopping at the crossing
		rec.Ready = rec.Ready &&
			!(h.Ceiling.Known && r.most(h.Probes) > float64(h.Ceiling.V)+hair) &&
			!(h.Floor.Known && r.least(h.Probes) < float64(h.Floor.V)-hair)
	}
	rec.Gross = gross
	rec.Start = q.Time(r.t)
	for _, v := range r.now {
		rec.Before = append(rec.Before, q.Temperature(v))
	}
	n := len(r.hist.Beads)
	r.hist.Beads = append(r.hist.Beads, rec)
	err = r.burn(b, n)
	r.hist.Beads[n].End = q.Time(r.t)
	return rec.Ready, gross, err
}

func (r *runner) most(names []string) float64 {
	v := math.Inf(-1)
	for _, n := range names {
		v = max(v, r.now[r.byName[n]])
	}
	return v
}

func (r *runner) least(names []string) float64 {
	v := math.Inf(1)
	for _, n := range names {
		v = min(v, r.now[r.byName[n]])
	}
	return v
}

// burn moves the arc along the bead, rod by rod.
func (r *runner) burn(b *Bead, n int) error {
	a := newArc(r.s, b)
	r.zones = append(r.zones, newZone(r.s, b, n))
	power, speed := float64(b.Power), float64(b.Speed)
	put := r.s.sourceSum
	defer func() { r.hist.Ledger.Arc += q.Energy(r.s.sourceSum - put) }()
	done, fill := 0.0, 0
	rod := a.length
	if b.PerRod > 0 {
		rod = float64(b.PerRod)
	}
	for done < a.length-1e-9 && !r.over() {
		end := min(done+rod, a.length)
		r.dtLast = 0
		r.dt = float64(r.o.ArcStep)
		burn := (end - done) / speed
		steps := math.Ceil(burn/float64(r.o.ArcStep) - 1e-9)
		dt := burn / steps
		t0 := r.t
		source := func(from, to float64) []heat {
			return a.heats(done+speed*(from-t0), done+speed*(to-t0))
		}
		for i := range int(steps) {
			if r.over() {
				return nil
			}
			p := done + (end-done)*float64(i+1)/steps
			fill = r.layUpTo(n, fill, a, p)
			if err := r.advance(dt, source, power); err != nil {
				return err
			}
			if a.lost {
				return fmt.Errorf("event %d (%s): the arc burns in the air %.4g mm after its start; the bead must lie on or in the steel", r.event+1, r.name, p*1000)
			}
		}
		done = end
		if done < a.length-1e-9 && b.Change > 0 {
			if _, err := r.stand(Until{For: b.Change}); err != nil {
				return err
			}
		}
	}
	r.layUpTo(n, fill, a, math.Inf(1))
	return nil
}

// stiffest is the longest step in explicit limits: beyond it the splitting of the
// axes begins to ring at inner corners.
const stiffest = 600

// phase steps until a condition. Waits let the step grow as the curve straightens.
func (r *runner) phase(u Until, longest float64, source func(a, z float64) []heat, power float64) (bool, error) {
	end := min(r.t+float64(u.For), r.stop)
	least := r.t + float64(u.Least)
	free := len(u.Probes) == 0
	if !free && u.Least == 0 && r.meets(&u, r.now) {
		return true, nil
	}
	small := float64(r.o.ArcStep) / 4
	longest = min(longest, stiffest*r.s.explicit)
	for end-r.t > 1e-9*(1+end) {
		dt := min(r.dt, longest)
		if !free {
			if x := r.crossing(&u); x > 0 && x < dt {
				dt = max(x, small)
			}
		}
		switch left := end - r.t; {
		case dt >= left*(1-1e-9):
			dt = left
		case dt > left/2:
			dt = left / 2
		}
		if err := r.advance(dt, source, power); err != nil {
			return false, err
		}
		r.control(dt, longest)
		if !free && r.t >= least && r.meets(&u, r.now) {
			return true, nil
		}
	}
	return free, nil
}

// damping is θ: ½ while steps are short, a little more for long ones.
func (r *runner) damping(dt float64) float64 {
	base := 2 * float64(r.o.ArcStep)
	if dt <= base {
		return 0.5
	}
	return 0.5 + 0.08*(1-base/dt)
}

// control picks the next step from how far the last one bent.
func (r *runner) control(dt, longest float64) {
	if r.dtLast == 0 { // first after a change: its bend means nothing
		r.dtLast = dt
		return
	}
	r.dtLast = dt
	bend := r.s.maxCurve / float64(nominalK)
	grow := 1.3
	if bend > 0 {
		grow = min(max(0.9*math.Sqrt(float64(r.o.Tolerance)/bend), 0.5), 1.3)
	}
	r.dt = min(dt*grow, longest)
}

// nominalK turns a bend of Θ into kelvins near enough for the step control.
const nominalK Conductivity = 45

// advance makes one step and reads what must be read.
func (r *runner) advance(dt float64, source func(a, z float64) []heat, power float64) error {
	r.s.ratio = 0
	if r.dtLast > 0 {
		r.s.ratio = dt / r.dtLast
	}
	r.step(r.t, dt, source, power, 0)
	r.t += dt
	r.record()
	for i := 0; i < len(r.zones); {
		if r.zones[i].watch(r.s, r.t, dt) {
			r.hist.Beads[r.zones[i].bead].Cooling = r.zones[i].result()
			r.zones = append(r.zones[:i], r.zones[i+1:]...)
			continue
		}
		i++
	}
	r.picture(false)
	r.pace++
	if r.pace%16 == 0 {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if r.o.Progress != nil && r.pace%64 == 0 {
			r.o.Progress(Progress{Event: r.event, Name: r.name, Time: q.Time(r.t), Steps: r.s.steps})
		}
	}
	return nil
}

// step makes one step, in halves where the whole was not sound.
func (r *runner) step(t, dt float64, source func(a, z float64) []heat, power float64, depth int) {
	var into []heat
	if source != nil {
		into = source(t, t+dt)
	}
	before := r.s.account
	const deepest = 6
	if r.s.step(t, dt, r.damping(dt), into, power) || depth == deepest {
		return
	}
	r.s.revert(before)
	r.halved++
	r.step(t, dt/2, source, power, depth+1)
	r.step(t+dt/2, dt/2, source, power, depth+1)
}

// meets says whether a condition holds for readings.
func (r *runner) meets(u *Until, now []float64) bool {
	all, any := true, false
	for _, n := range u.Probes {
		v := now[r.byName[n]]
		ok := (!u.AtLeast.Known || v >= float64(u.AtLeast.V)) && (!u.AtMost.Known || v <= float64(u.AtMost.V))
		all, any = all && ok, any || ok
	}
	if u.Any {
		return any
	}
	return all
}

// crossing guesses from the last step how long until the condition is met; 0
// where it cannot say.
func (r *runner) crossing(u *Until) float64 {
	if r.dtLast == 0 {
		return 0
	}
	worst, first := 0.0, math.Inf(1)
	for _, n := range u.Probes {
		p := r.byName[n]
		rate := (r.now[p] - r.before[p]) / r.dtLast
		left := 0.0
		for _, lim := range []struct {
			q.Maybe[q.Temperature]
			up bool
		}{{u.AtLeast, true}, {u.AtMost, false}} {
			if !lim.Known {
				continue
			}
			d := float64(lim.V) - r.now[p]
			if lim.up && d <= 0 || !lim.up && d >= 0 {
				continue
			}
			if d*rate <= 0 {
				left = math.Inf(1)
				continue
			}
			left = max(left, d/rate)
		}
		worst, first = max(worst, left), min(first, left)
	}
	if u.Any {
		worst = first
	}
	if math.IsInf(worst, 1) {
		return 0
	}
	return worst * 1.001
}
