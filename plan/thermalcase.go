package plan

// The plan as a case of the simulation: the part, the air, the torch, the beads.
// Axes as in package conduct: x along the groove, y across, z from the far face
// (0) to the face of the first side (t).

import (
	"context"
	"fmt"
	"math"
	"slices"

	"soundmetal/heat"
	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// flame is a torch with its band: weak to strong.
type flame struct {
	kind       job.TorchKind
	power      [3]q.Power // weak, likely, strong
	efficiency [3]q.Ratio
	radius     q.Length
	own        bool // from the shop file
	basis      source.Basis
}

const (
	weak = iota
	likely
	strong
)

// thermalModel is one item made ready for the simulation.
type thermalModel struct {
	w        *work
	ctx      context.Context
	progress func(ThermalProgress)
	part, of int

	level         conduct.Level
	alone         bool // only the likely run: the arc burns very long
	t, length     q.Length
	top           [3]q.Length // width at the surface by side
	body          conduct.Body
	second        []conduct.Corner2 // groove of the second side, gouged later
	env           conduct.Environment
	start         q.Temperature
	floor, target q.Temperature
	ceiling       q.Maybe[q.Temperature]
	heats         bool
	flame         flame
	beads         []conduct.Bead
	sides         []int
	probes        []conduct.Probe
	far, read     [3][]string // names by side
	pause         q.Time      // back-gouge
	last          q.Time      // stand after it is cold, until the test
	points        source.Basis
	assumed       []string

	fit      *conduct.Calibration
	fitBasis source.Basis
	readings []HeatReading

	cold       bool // the flame does not bring the floor
	first      [3]conduct.History
	full       conduct.History    // likely, covered
	band       [3]conduct.History // weak and strong, covered, coarse
	bare, bed  conduct.History    // likely without and with blanket, both at one level
	covered    bool
	gougeKnown bool
}

// thermalModel prepares the item; why says why nothing can be computed.
func (w *work) thermalModel(level conduct.Level, quick bool) (m *thermalModel, why string) {
	if !w.held.open() {
		return nil, "No window of temperature is left for this steel (see `soundmetal plan`): there is nothing to simulate."
	}
	if !w.magnetic() {
		return nil, "Heat runs differently in this steel: the tables of the simulation are those of carbon and low-alloy steel. Keep to the window of `soundmetal plan` and read before every bead."
	}
	m = &thermalModel{w: w, level: level, ctx: context.Background()}
	e := w.dig.Value
	g := e.Groove
	m.t = g.Thickness
	window := w.windowRow()
	m.floor = window.Floor
	m.target = m.floor + q.Temperature(rateOf("preheat-over").Likely)
	if w.held.ceiling != nil {
		m.ceiling = q.Known(window.Ceiling)
		m.target = min(m.target, m.floor+(window.Ceiling-m.floor)/3)
	}
	m.place()
	if why := m.shape(e, g); why != "" {
		return nil, why
	}
	if why := m.torch(); why != "" {
		return nil, why
	}
	m.covered = !w.austenitic()
	if err := m.layBeads(); err != nil {
		return nil, capital(w.reason(err)) + "."
	}
	if err := m.readingPoints(); err != nil {
		return nil, capital(w.reason(err)) + "."
	}
	m.gougePause()
	if h, ok := w.holdTime(); ok {
		m.last = h.Value
	}
	m.budget(quick)
	return m, ""
}

// place is air, wind and the steel before heating.
func (m *thermalModel) place() {
	site := m.w.j.Site
	m.start = site.Steel.Or(site.Air.Or(10))
	air := site.Air.Or(m.start)
	if !site.Air.Known && !site.Steel.Known {
		m.assumed = append(m.assumed, "air and steel of "+air.Text(m.w.sys)+": the job does not say")
	}
	wind := site.Wind.Or(q.Speed(rateOf("heat-wind").Likely))
	if !site.Wind.Known {
		m.assumed = append(m.assumed, "wind of "+wind.Text(m.w.sys)+": the job does not say")
	}
	if site.Shelter == job.Yes && wind > 0 {
		part := rateOf("shelter-wind").Likely
		m.assumed = append(m.assumed, fmt.Sprintf("behind the shelter %.0f %% of the wind is left; without it everything takes longer", part*100))
		wind *= q.Speed(part)
	}
	skin := conduct.Mill
	if m.w.it.Coating == "galvanized" || m.w.it.Coating == "cadmium" {
		skin = conduct.Bright
	}
	m.env = conduct.Environment{Air: air, Wind: wind, Skin: skin}
	if wet := site.Wet; wet != "" && wet != job.Dry && wet != "unknown" {
		m.assumed = append(m.assumed, "dry steel: boiling the water off takes more flame than any of this")
	}
}

// shape is the local part: plate, box wall or block, with the groove.
func (m *thermalModel) shape(e joint.Excavation, g joint.Groove) (why string) {
	w := m.w
	m.length = q.Length(float64(e.Volume.High) / float64(e.Section)) // as a prism of the same volume
	outline, err := g.Outline(1)
	if err != nil {
		return capital(w.reason(err)) + "."
	}
	corners := func(all []joint.Point) (out []conduct.Corner2) {
		for _, p := range all {
			out = append(out, conduct.Corner2{Y: p.X, Z: p.Y + m.t - g.Depth})
		}
		return out
	}
	m.top[1] = g.TopWidth
	if g.SecondSide != nil {
		m.top[2] = g.SecondSide.TopWidth
		other, err := g.Outline(2)
		if err != nil {
			return capital(w.reason(err)) + "."
		}
		m.second = trapezoid(corners(other))
	}
	reach := q.Length(rateOf("heat-reach").Likely) * q.Millimetre
	half := m.length / 2
	spare := reach
	if w.it.Width.Known {
		spare = max(w.it.Width.V-m.length, 0)
		if e.Edges == 0 {
			spare /= 2
		}
	}
	spare = min(spare, reach)
	lo, hi := -half-spare, half+spare
	if e.Edges > 0 {
		lo = -half
	}
	if e.Edges > 1 {
		hi = half
	}
	at := func(x, y, z q.Length) conduct.Point { return conduct.At(x, y, z) }
	wall := conduct.Box{Low: at(lo, -reach, 0), High: at(hi, reach, m.t)}
	b := conduct.Body{Name: "plate", Solid: []conduct.Box{wall}, Insulated: []conduct.Face{conduct.YLow, conduct.YHigh},
		Groove: &conduct.Groove{From: -half, To: half, Outline: trapezoid(corners(outline))}}
	if e.Edges == 0 && spare == reach {
		b.Insulated = append(b.Insulated, conduct.XLow)
	}
	if e.Edges < 2 && spare == reach {
		b.Insulated = append(b.Insulated, conduct.XHigh)
	}
	switch w.it.Shape {
	case job.Box:
		m.box(&b, lo, hi, reach)
	case job.Tube:
		b.Name = "tube wall"
		b.Sheltered = []conduct.Box{{Low: at(lo, -reach, -m.t), High: at(hi, reach, 0)}}
		m.assumed = append(m.assumed, "the wall of the tube as a flat wall with no wind behind it")
	case "", job.Plate, "unknown":
	case "solid", "casting":
		b.Name = "block"
		m.assumed = append(m.assumed, "a flat block of the thickness given; bosses and ribs take more heat")
	default:
		m.assumed = append(m.assumed, "the wall as a flat plate; webs and flanges beside it take more heat")
	}
	if t2 := w.it.Thickness2; t2.Known && t2.V != w.wall {
		m.assumed = append(m.assumed, "one thickness of "+nice(m.t, w.sys)+": the other part is not in the model; read both")
	}
	if e.Ramps > 0 {
		m.assumed = append(m.assumed, "a groove of one depth, "+nice(m.length, w.sys)+" long, with the volume of the planned one")
	}
	m.body = b
	return ""
}

// trapezoid is a groove of the same depth, width at the face and section with
// four corners: each corner makes a plane of the grid, and the arc of a U would
// make it needlessly fine. The wider end is the face.
func trapezoid(all []conduct.Corner2) []conduct.Corner2 {
	low, high := all[0].Z, all[0].Z
	for _, c := range all {
		low, high = min(low, c.Z), max(high, c.Z)
	}
	width := func(z q.Length) (left, right q.Length) {
		left, right = q.Length(math.Inf(1)), q.Length(math.Inf(-1))
		for _, c := range all {
			if math.Abs(float64(c.Z-z)) < 1e-5 {
				left, right = min(left, c.Y), max(right, c.Y)
			}
		}
		return left, right
	}
	face, root := high, low
	left, right := width(high)
	if l, r := width(low); r-l > right-left {
		face, root, left, right = low, high, l, r
	}
	area := (&conduct.Groove{Outline: all}).Area()
	const least = q.Millimetre
	bottom := max(q.Length(2*float64(area)/float64(high-low))-(right-left), least)
	from := (left + right - bottom) / 2
	if left+right > least { // one upright side
		from = left
	}
	return []conduct.Corner2{{Y: from, Z: root}, {Y: from + bottom, Z: root}, {Y: right, Z: face}, {Y: left, Z: face}}
}

// box puts the other three walls round the cracked one. The groove runs across
// the wall: the side walls stand at its ends.
func (m *thermalModel) box(b *conduct.Body, lo, hi, reach q.Length) {
	b.Name = "box wall"
	depth := m.w.it.Depth.Or(m.w.it.Width.Or(0))
	at := conduct.At
	if !m.w.it.Width.Known || depth < 4*m.t || hi-lo < 6*m.t {
		b.Sheltered = []conduct.Box{{Low: at(lo, -reach, -m.t), High: at(hi, reach, 0)}}
		m.assumed = append(m.assumed, "the box's wall as a flat wall with no wind behind it: give width and depth for the whole box")
		return
	}
	bottom := m.t - depth
	b.Solid = append(b.Solid,
		conduct.Box{Low: at(lo, -reach, bottom), High: at(lo+m.t, reach, m.t)},
		conduct.Box{Low: at(hi-m.t, -reach, bottom), High: at(hi, reach, m.t)},
		conduct.Box{Low: at(lo, -reach, bottom), High: at(hi, reach, bottom+m.t)})
	b.Sheltered = []conduct.Box{{Low: at(lo+m.t, -reach, bottom+m.t), High: at(hi-m.t, reach, 0)}}
	b.Insulated = []conduct.Face{conduct.YLow, conduct.YHigh}
	m.assumed = append(m.assumed, "four walls of one thickness, still air inside")
}

// torch is the first torch of the shop, or a usual one.
func (m *thermalModel) torch() (why string) {
	w := m.w
	f := flame{kind: "oxy-propane"}
	var power q.Maybe[q.Power]
	if w.shop != nil && len(w.shop.Torches) > 0 {
		f.kind, power, f.own = w.shop.Torches[0].Kind, w.shop.Torches[0].Power, true
	}
	row, ok := conduct.FlameOf(string(f.kind))
	usual, err := heat.UsualTorch(f.kind)
	if !ok || err != nil {
		return "The kind of the torch is not known: give air-propane, oxy-propane or oxy-acetylene in the shop file."
	}
	f.radius, f.basis = row.Radius, usual.Basis
	f.efficiency = [3]q.Ratio{row.Range.Low, row.Efficiency, row.Range.High}
	if w.shop != nil && w.shop.Factors.TorchEfficiency.Known {
		own, s := w.shop.Factors.TorchEfficiency.V, rateOf("own-torch")
		f.efficiency = [3]q.Ratio{own * q.Ratio(s.Low), own, min(own*q.Ratio(s.High), 1)}
	}
	if power.Known {
		f.power = [3]q.Power{power.V, power.V, power.V}
	} else {
		r := usual.Value.Power
		f.power = [3]q.Power{r.Low, q.Power(math.Sqrt(float64(r.Low) * float64(r.High))), r.High}
		m.assumed = append(m.assumed, fmt.Sprintf("a usual %s torch, about %s", f.kind, f.power[likely].Text(w.sys)))
	}
	m.flame = f
	return ""
}

// layBeads puts the arc of each bead in the middle of its outline.
func (m *thermalModel) layBeads() error {
	w := m.w
	g := w.dig.Value.Groove
	k := arcEfficiency().Value
	base := m.t - g.Depth // height of the first side's root
	for i, b := range w.fill.Value.Beads {
		r := &w.rod.fill
		patch := "rod-medium"
		if b.Kind == joint.RootBead || b.Kind == joint.BackBead {
			r = &w.rod.root
		}
		switch {
		case r.stick.Core <= 2.6*q.Millimetre:
			patch = "rod-small"
		case r.stick.Core >= 4.5*q.Millimetre:
			patch = "rod-large"
		}
		arc, run := r.arcTime().Mid(), r.run.Value.Use.Mid()
		if !(arc > 0 && run > 0) {
			return fmt.Errorf("the burn time of the rod is not known")
		}
		x, y := outlineMiddle(b.Outline)
		from, to := -m.length/2, m.length/2
		if i%2 == 1 {
			from, to = to, from
		}
		speed := q.Speed(float64(run) / float64(arc))
		p, _ := conduct.PatchOf(patch)
		z := min(max(base+y, m.t/100), m.t)
		m.beads = append(m.beads, conduct.Bead{Name: fmt.Sprintf("bead %d", b.Number),
			From: conduct.At(from, x, z), To: conduct.At(to, x, z), Speed: speed,
			Power: q.Power(float64(r.window.Mid()) * float64(k) * float64(speed)), PerRod: run,
			Change: q.Time(rateOf("rod-change").Likely), Patch: p})
		m.sides = append(m.sides, max(b.Side, 1))
	}
	return nil
}

// outlineMiddle is the middle of an outline's corners.
func outlineMiddle(all []joint.Point) (x, y q.Length) {
	if len(all) == 0 {
		return 0, 0
	}
	lowX, highX, lowY, highY := all[0].X, all[0].X, all[0].Y, all[0].Y
	for _, p := range all {
		lowX, highX, lowY, highY = min(lowX, p.X), max(highX, p.X), min(lowY, p.Y), max(highY, p.Y)
	}
	return (lowX + highX) / 2, (lowY + highY) / 2
}

// readingPoints are the points of ISO 13916 and AWS D1.1 that lie on the part,
// for each side, and a point under the flame.
func (m *thermalModel) readingPoints() error {
	wall := m.body.Solid[0]
	beside := q.Length(rateOf("edge-read").Likely) * q.Millimetre
	for side := 1; side <= 2; side++ {
		if side == 2 && m.second == nil {
			break
		}
		r, err := conduct.ReadingPoints(-m.length/2, m.length/2, m.top[side]/2, m.t, false)
		if err != nil {
			return err
		}
		m.points = r.Basis
		all := append(r.Value, conduct.Probe{Name: "edge right", At: conduct.At(0, m.top[side]/2+beside, m.t)},
			conduct.Probe{Name: "edge left", At: conduct.At(0, -m.top[side]/2-beside, m.t)},
			conduct.Probe{Name: "flame", At: conduct.At(0, m.top[side]/2+m.flame.radius, m.t)})
		for _, p := range all {
			if p.At.X < wall.Low.X || p.At.X > wall.High.X { // past the edge of the part
				continue
			}
			if side == 2 {
				p.Name += " 2"
				p.At.Z = m.t - p.At.Z
			}
			m.probes = append(m.probes, p)
			switch p.Name[:4] {
			case "band":
				if (p.At.Z == 0) == (side == 1) {
					m.far[side] = append(m.far[side], p.Name)
					if p.At.X == 0 { // tells of the steel; the face of the flame only of the flame
						m.read[side] = append(m.read[side], p.Name)
					}
				}
			case "read", "edge":
				m.read[side] = append(m.read[side], p.Name)
			}
		}
	}
	return nil
}

// gougePause is how long the back-gouging takes.
func (m *thermalModel) gougePause() {
	if m.second == nil {
		return
	}
	m.pause = q.Time(rateOf("gouge-pause").Likely) * q.Minute
	if len(m.w.gouges) > 1 && m.w.gouges[1].Value.Found {
		m.pause, m.gougeKnown = m.w.gouges[1].Value.Time.Value.Elapsed.Likely, true
	}
}

// budget keeps the answer to a few seconds where no level was asked for: the
// coarse one where the arc burns long, and the likely flame alone where it burns
// for hours.
func (m *thermalModel) budget(quick bool) {
	arc := 0.0 // s
	for i := range m.beads {
		arc += float64(m.length) / float64(m.beads[i].Speed)
	}
	limit := rateOf("arc-quick")
	if quick && arc > limit.Low {
		m.level = conduct.Coarse
		m.assumed = append(m.assumed, fmt.Sprintf("the coarse level, within 5 %% of the finest before the beads: %.1f h of arc; --level working computes it finer and takes minutes", arc/3600))
	}
	if quick && arc > limit.High {
		m.alone = true
		m.assumed = append(m.assumed, "the likely flame alone for the beads: so many take long to compute")
	}
}

// sweep is the torch on one side, round the groove, with its place in the band.
func (m *thermalModel) sweep(side, which int) conduct.Torch {
	wall := m.body.Solid[0]
	past := q.Length(rateOf("flame-past").Likely) * q.Millimetre
	r := m.flame.radius
	lo, hi := max(-m.length/2-past, wall.Low.X+r), min(m.length/2+past, wall.High.X-r)
	if lo >= hi {
		lo, hi = -m.length/8, m.length/8
	}
	y := m.top[side]/2 + r
	face, z := conduct.ZHigh, m.t
	if side == 2 {
		face, z = conduct.ZLow, 0
	}
	return conduct.Torch{Name: "preheat", Face: face, Power: m.flame.power[which], Efficiency: m.flame.efficiency[which], Radius: r,
		Path:  []conduct.Point{conduct.At(lo, y, z), conduct.At(hi, y, z), conduct.At(hi, -y, z), conduct.At(lo, -y, z), conduct.At(lo, y, z)},
		Until: conduct.Until{Probes: m.far[side], AtLeast: q.Known(m.target), For: q.Time(rateOf("heat-longest").Likely) * q.Hour}}
}

// caseOf is the case without events.
func (m *thermalModel) caseOf() conduct.Case {
	return conduct.Case{Body: m.body, Start: m.start, Env: m.env, Probes: m.probes}
}

// warm are the events until the heat stands on one side.
func (m *thermalModel) warm(side, which int) []conduct.Event {
	t := m.sweep(side, which)
	events := []conduct.Event{t}
	if r, err := heat.Soak(m.t); err == nil {
		events = append(events, conduct.Wait{Name: "soak", Until: conduct.Until{For: r.Value}})
	}
	return events
}

// firstHeat is the torch, and then nothing until the first point is below the floor.
func (m *thermalModel) firstHeat(which int) conduct.Case {
	c := m.caseOf()
	c.Events = []conduct.Event{m.sweep(1, which), conduct.Wait{Name: "fall",
		Until: conduct.Until{Probes: slices.Concat(m.far[1], m.read[1]), AtMost: q.Known(m.floor - 1), Any: true, For: 8 * q.Hour}}}
	return c
}

// coldEnough is to where the cooling is followed, °C.
const coldEnough = 100

// whole is the repair from the torch until it is cold, and how long it stands then.
func (m *thermalModel) whole(which int, cover bool, stand q.Time) conduct.Case {
	c := m.caseOf()
	if m.heats {
		c.Events = m.warm(1, which)
	}
	clean := conduct.Wait{Name: "clean", Until: conduct.Until{For: q.Time(rateOf("clean-bead").Likely) * q.Minute}}
	side := 1
	for i, b := range m.beads {
		if m.sides[i] != side {
			side = m.sides[i]
			c.Events = append(c.Events, conduct.Wait{Name: "pause", Until: conduct.Until{For: m.pause}},
				conduct.Gouge{Name: "back-gouge", Groove: conduct.Groove{From: -m.length / 2, To: m.length / 2, Outline: m.second}})
			if m.heats {
				c.Events = append(c.Events, m.warm(side, which)...)
			}
		}
		torch := m.sweep(side, which)
		b.Hold = &conduct.Hold{Probes: m.read[side], Floor: q.Known(m.floor), Ceiling: m.ceiling, Warm: q.Known(m.target), Reheat: &torch}
		c.Events = append(c.Events, b)
		if i+1 < len(m.beads) && m.sides[i+1] == side {
			c.Events = append(c.Events, clean)
		}
	}
	if cover {
		sides := []conduct.Face{conduct.ZHigh}
		if m.w.it.Access == job.BothSides {
			sides = append(sides, conduct.ZLow)
		}
		for _, f := range sides {
			c.Events = append(c.Events, conduct.Blanket{Name: "blanket", Where: []conduct.Region{conduct.Side(f)}})
		}
	}
	var all []string
	for _, p := range m.probes {
		all = append(all, p.Name)
	}
	c.Events = append(c.Events, conduct.Wait{Name: "cool", Until: conduct.Until{Probes: all, AtMost: q.Known[q.Temperature](coldEnough - 1), For: 48 * q.Hour}})
	if stand > 0 {
		c.Events = append(c.Events, conduct.Wait{Name: "stand", Until: conduct.Until{For: stand}})
	}
	return c
}
