package conduct

import (
	"context"
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
	r.assign(0)
	r.startSection()
	r.record()
	r.dt = float64(o.ArcStep)
	r.stop = math.Inf(1)
	return r, nil
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
	case Gouge:
		err = r.gouge(&e, r.event)
	case Weather:
		r.env = e.Env
		r.surroundings()
	}
	m.To = q.Time(r.t)
	r.hist.Ledger.Gross += m.Gross
	r.hist.Marks = append(r.hist.Marks, m)
	return err
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
