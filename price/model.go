package price

import (
	_ "embed"
	"fmt"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// The model: what is not known about a call (its drivers), and one reckoning of
// hours and quantities for one set of their values (scenario.go).

//go:embed drivers.csv
var driversCSV string

// driverLabels names the groups of drivers, in the order of drivers.csv.
var driverLabels, driverOrder = readDriverLabels()

func readDriverLabels() (map[string]string, []string) {
	labels, order := map[string]string{}, []string(nil)
	for _, r := range source.Table("price/drivers.csv", driversCSV) {
		labels[r.Text("id")] = r.Text("label")
		order = append(order, r.Text("id"))
	}
	return labels, order
}

// driver is one thing that is not known. It is triangular, or a chance of 0 or 1.
// Every driver is turned so that more of u is more work: see at.
type driver struct {
	group             string
	column            int // draws: drivers of one column go up and down together
	low, likely, high float64
	chance            bool // high is the chance of 1
	falls             bool // more of it is less work: a rate, a share
	seen              bool // nothing in what is seen: growth, a second crack
	ref               source.Ref
	note              string
}

// at gives the value at the share u of the draws.
func (d *driver) at(u float64) float64 {
	switch {
	case d.chance:
		if u > 1-d.high {
			return 1
		}
		return 0
	case d.falls:
		return triangle(d.low, d.likely, d.high, 1-u)
	}
	return triangle(d.low, d.likely, d.high, u)
}

// planned is the value in the plan of what is seen.
func (d *driver) planned() float64 {
	if d.seen {
		return 0
	}
	return d.likely
}

// model is a call made ready for reckoning.
type model struct {
	call    Call
	prices  *prices
	sys     q.System // that leads in the texts
	drivers []driver
	columns []string // names of the columns of draws
	items   []itemModel
	rods    []RodUsed    // classes and sizes, without mass
	carbons []CarbonUsed // sizes, without count
	steps   []stepInfo

	drive, setup, again, induction, clean, look, grind, fit, fitCut, reheat, cap, test, closing, watch,
	access, weather, crew, discMass, capMass, postGas, loss, carbonLoss, gasLoss, weldFuel, gougeFuel, idleFuel int
	oneWay    float64 // s, where the drive time is known or assumed
	distance  q.Maybe[q.Length]
	timeKnown bool
	ownRules  bool // the site lets nobody in without its own papers
	day       float64
	past      float64 // cleaned beyond both ends, m
	every     float64 // welding between two re-heats, s
	rodsUsed  float64 // own rods used over rods planned; 1 where he has no figure
	rodsArc   float64 // of it that burns in the time of the arc
	rates     rates
	extra     float64 // lines by hand
}

// itemModel holds the places of an item's drivers.
type itemModel struct {
	w     Work
	ratio float64 // crack in the length taken out

	growth, second, size, remove, gouge, gougeArc, ground, backing, preheat, reheat, gas, oxygen, soak, operating, waits, postHeat, cool, capLength int
	rods                                                                                                                                            []rodModel
	carbons                                                                                                                                         []carbonModel
	reheats                                                                                                                                         bool
	tests                                                                                                                                           [3]float64
	step                                                                                                                                            map[string]int
}

type rodModel struct {
	count, arc, kind int
	mass             float64
}

type carbonModel struct{ count, size int }

// stepInfo is one step of the work in the order of a scenario's times.
type stepInfo struct {
	id   string
	item int // -1: of the whole call
}

// add registers a driver and gives its place.
func (m *model) add(group, column string, r [3]float64, ref source.Ref, note string) int {
	if _, ok := driverLabels[group]; !ok {
		panic("price: no driver " + group + " in drivers.csv")
	}
	at := slices.Index(m.columns, column)
	if at < 0 {
		at = len(m.columns)
		m.columns = append(m.columns, column)
	}
	m.drivers = append(m.drivers, driver{group: group, column: at, low: r[0], likely: r[1], high: r[2], ref: ref, note: note})
	return len(m.drivers) - 1
}

func (m *model) figure(group string, f figure) int {
	return m.add(group, group, [3]float64{f.Low, f.Likely, f.High}, f.Ref, f.Note)
}

// falling is a figure of which more is less work.
func (m *model) falling(group string, f figure) int {
	n := m.figure(group, f)
	m.drivers[n].falls = true
	return n
}

// computed is a quantity handed over by the plan.
func (m *model) computed(group, column string, r [3]float64) int {
	return m.add(group, column, r, source.At("derived", "quantities of the plan", source.Derived), "")
}

// newModel reads a call. The order of steps here is the order of the work.
func newModel(c Call, shop job.Shop) (*model, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	p, err := readPrices(shop)
	if err != nil {
		return nil, err
	}
	m := &model{call: c, prices: &p, sys: systemOf(shop), distance: c.Trip.Distance, ownRules: ownRules(c.Trip.Rules),
		day: fig("day").Likely, past: 2 * fig("clean-past").Likely, every: fig("reheat-every").Likely}
	m.trip()
	m.slowing()
	m.setup, m.again, m.induction = m.figure("setup", fig("setup")), m.figure("setup", fig("setup-again")), m.figure("induction", fig("induction"))
	m.clean, m.look, m.grind = m.falling("clean", fig("clean-rate")), m.figure("look", fig("look")), m.figure("grind", fig("grind"))
	m.fitCut, m.fit = m.figure("fit", sum(fig("fit-cut"), fig("fit-tack"))), m.figure("fit", fig("fit-field"))
	m.reheat, m.cap, m.test, m.closing = m.figure("reheat", fig("reheat")), m.figure("cap", fig("cap-grind")), m.figure("test", fig("final-test")), m.figure("close", fig("close"))
	m.carbonLoss, m.gasLoss, m.postGas = m.figure("waste", fig("carbon-loss")), m.figure("waste", fig("gas-loss")), m.figure("gas", fig("post-heat-gas"))
	if err := m.ownRods(shop.Factors); err != nil {
		return nil, err
	}
	m.discMass, m.capMass = m.falling("discs", fig("disc-mass")), m.figure("cap", fig("cap-mass"))
	if w := c.Trip.Watch; w.None() {
		m.watch = m.figure("watch", fig("fire-watch"))
	} else {
		m.watch = m.computed("watch", "watch", plain(w))
	}
	e := c.Engine
	m.weldFuel, m.gougeFuel, m.idleFuel = m.computed("engine", "engine", plain(e.Weld)), m.computed("engine", "engine", plain(e.Gouge)), m.computed("engine", "engine", plain(e.Idle))

	m.step("drive", -1)
	m.step("setup", -1)
	m.step("induction", -1)
	for i, w := range c.Items {
		if err := m.item(i, w, shop); err != nil {
			return nil, err
		}
	}
	for _, id := range []string{"watch", "cool", "hold", "close", "again"} {
		m.step(id, -1)
	}
	m.rates = p.floats()
	extra, err := p.bill(Used{Extra: c.Extra}, Terms{})
	if err != nil {
		return nil, err
	}
	m.extra = extra.Subtotal.float()
	return m, nil
}

func (m *model) step(id string, item int) int {
	m.steps = append(m.steps, stepInfo{id, item})
	return len(m.steps) - 1
}

func sum(a, b figure) figure {
	return figure{Low: a.Low + b.Low, Likely: a.Likely + b.Likely, High: a.High + b.High, Ref: a.Ref, Note: a.Note}
}

// ownRods takes the welder's own use of rods. What he loses is then in his
// figure. So is the arc of the further rods in his own operating factor, which
// comes from the time of his beads; without that factor they burn in their time.
func (m *model) ownRods(own job.Factors) error {
	m.rodsUsed, m.rodsArc = 1, 1
	loss := fig("rod-loss")
	if own.Rods.Known {
		if !(own.Rods.V > 0) {
			return fmt.Errorf("factors.rods must be more than 0 %%, not %.4g %%", float64(own.Rods.V)*100)
		}
		m.rodsUsed = float64(own.Rods.V)
		if !own.OperatingFactor.Known {
			m.rodsArc = m.rodsUsed
		}
		loss.Low, loss.Likely, loss.High, loss.Note = 0, 0, 0, "in your own figure"
	}
	m.loss = m.figure("loss", loss)
	return nil
}

// trip reads the drive: the time given, or the distance at a usual speed, or a
// usual time where neither is known. An assumed time is not billed.
func (m *model) trip() {
	t := m.call.Trip
	spread, speed, unknown := fig("drive-spread"), fig("drive-speed"), fig("drive-unknown")
	m.timeKnown = t.Drive.Known
	switch {
	case t.Drive.Known:
		m.oneWay = float64(t.Drive.V)
		m.drive = m.figure("drive", spread)
	case t.Distance.Known:
		m.oneWay = float64(t.Distance.V) / speed.Likely
		m.drive = m.add("drive", "drive", [3]float64{speed.Likely / speed.High, 1, speed.Likely / speed.Low}, speed.Ref, speed.Note)
	default:
		m.oneWay = unknown.Likely
		m.drive = m.add("drive", "drive", [3]float64{unknown.Low / unknown.Likely, 1, unknown.High / unknown.Likely}, unknown.Ref, unknown.Note)
	}
}

// item reads one damaged place.
func (m *model) item(i int, w Work, shop job.Shop) error {
	col := func(group string) string { return fmt.Sprintf("%s#%d", group, i) }
	own := func(group string, r [3]float64) int { return m.computed(group, col(group), r) }
	it := itemModel{w: w, reheats: !w.Preheat.None() && w.Reheat != job.No, step: map[string]int{}}
	if w.Remove.Likely > 0 {
		it.ratio = float64(w.Crack.Likely / w.Remove.Likely)
	}
	m.hidden(i, &it)
	it.remove, it.ground, it.backing, it.capLength = own("remove", plain(w.Remove)), own("ground", plain(w.Ground)), own("remove", plain(w.Backing)), own("remove", plain(w.Cap))
	it.gouge, it.gougeArc = own("gouge", plain(w.Gouge)), own("gouge", plain(w.GougeArc))
	if mine := shop.Factors.GougePer100mm; mine.Known && !w.Passes.None() {
		if !(mine.V > 0) {
			return fmt.Errorf("factors.gouge_per_100mm must be more than 0 s, not %.4g s", float64(mine.V))
		}
		s := fig("own-spread")
		per := float64(mine.V) / float64(100*q.Millimetre)
		it.gouge = m.add("gouge", col("gouge"), [3]float64{float64(w.Passes.Low) * per * s.Low, float64(w.Passes.Likely) * per, float64(w.Passes.High) * per * s.High}, s.Ref, "your own time for 100 mm")
	}
	it.preheat, it.reheat = own("preheat", plain(w.Preheat)), own("reheat", plain(w.Reheats))
	it.gas, it.oxygen = m.computed("gas", "gas", plain(w.TorchGas)), m.computed("gas", "gas", plain(w.Oxygen))
	it.soak, it.waits = m.computed("after", "after", plain(w.Soak)), m.computed("waits", "waits", plain(w.Waits))
	it.postHeat, it.cool = m.computed("after", "after", plain(w.PostHeat)), m.computed("after", "after", plain(w.Cool))
	var err error
	if it.operating, err = m.operating(w, shop.Factors.OperatingFactor); err != nil {
		return err
	}
	for _, r := range w.Rods {
		kind := slices.IndexFunc(m.rods, func(o RodUsed) bool { return rodID(o.Class, o.Core) == rodID(r.Class, r.Core) })
		if kind < 0 {
			kind = len(m.rods)
			m.rods = append(m.rods, RodUsed{Class: r.Class, Core: r.Core})
		}
		it.rods = append(it.rods, rodModel{own("rods", plain(r.Count)), own("arc", plain(r.Arc)), kind, float64(r.Mass)})
	}
	for _, c := range w.Carbons {
		size := slices.IndexFunc(m.carbons, func(o CarbonUsed) bool { return carbonID(o.Size) == carbonID(c.Size) })
		if size < 0 {
			size = len(m.carbons)
			m.carbons = append(m.carbons, CarbonUsed{Size: c.Size})
		}
		it.carbons = append(it.carbons, carbonModel{own("carbons", plain(c.Count)), size})
	}
	for _, t := range w.Tests {
		it.tests[slices.Index(testMethods, t.Method)] += float64(t.Count)
	}
	for _, id := range []string{"clean", "map", "gouge", "grind", "prove", "fit", "preheat", "soak", "weld", "reheat", "waits", "post-heat", "cap", "test"} {
		it.step[id] = m.step(id, i)
	}
	m.items = append(m.items, it)
	return nil
}
