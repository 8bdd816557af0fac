package price

import (
	"math"

	q "soundmetal/quantity"
)

// One reckoning of a call.
//
// Method (per item; x a driver's value)
//
//	f      = 1 + growth · crack/length + [second crack] · size     work against what is seen
//	slow   = access · weather · crew, on hands-on work; weather and crew on setting up;
//	         weather only on welding, whose operating factor holds access already
//	weld   = Σ rods · f · arc time / operating factor · weather
//	reheat = its computed time · f, else weld / 20 min · allowance, where it is preheated
//	gas    = rate · (preheat + re-heat + share · post-heat) · (1 + waste)
//	discs  = (ground · f + cap · f · mass per length) / mass per disc
//
// Days: the work on site in days of at most 10 h; each further day drives and
// sets up again. After the weld he waits on site for cooling and hold time, a day
// at most, where that is no dearer than driving home and coming back; otherwise
// the final test is a second visit. Where standby or travel have no price, the
// hours decide. The cheaper of two prices that both rise with the damage rises
// with it too; the hours may fall where the way of ending the job changes.
//
// Validity: one man, one rig. Source: the rows of figures.csv.

// outcome is what a scenario comes to. It is filled anew by every run.
type outcome struct {
	times                  []float64 // of the steps, s
	labour, standby, drive float64   // s
	onSite, total          float64   // s
	trips                  float64   // drives there and back, without a second visit
	second                 bool      // a second visit for the final test
	rods                   []float64 // kg
	carbons                []float64 // pieces
	gas, discs             float64   // kg, pieces
	fuel, oxygen           float64   // m³
	tests                  [3]float64
	weldMetal, backing     float64 // kg, m
}

func (m *model) outcome() *outcome {
	return &outcome{times: make([]float64, len(m.steps)), rods: make([]float64, len(m.rods)), carbons: make([]float64, len(m.carbons))}
}

// run reckons the call for one value of each driver.
func (m *model) run(x []float64, o *outcome) {
	clear(o.rods)
	clear(o.carbons)
	o.gas, o.oxygen, o.discs, o.fuel, o.tests, o.weldMetal, o.backing, o.second = 0, 0, 0, 0, [3]float64{}, 0, 0, false
	site := x[m.weather] * x[m.crew]
	hands := site * x[m.access]
	t := o.times
	labour, waits, cool, hold := 0.0, 0.0, 0.0, 0.0
	k := 1
	put := func(v float64) float64 {
		t[k] = v
		k++
		return v
	}
	labour += put(x[m.setup] * site)
	induction := 0.0
	if m.ownRules {
		induction = x[m.induction]
	}
	labour += put(induction)
	for i := range m.items {
		it := &m.items[i]
		again, f := 1.0, 1+x[it.growth]*it.ratio
		if x[it.second] > 0 {
			again, f = 2, f+x[it.size]
		}
		sides := float64(it.w.sides())
		clean := 0.0
		if x[it.remove] > 0 {
			clean = (x[it.remove]*f + m.past) / x[m.clean] * hands
		}
		labour += put(clean)
		labour += put(x[m.look] * again * hands)
		gouge := put(x[it.gouge] * f * hands)
		grind := put(x[it.remove] * f * sides * x[m.grind] * hands)
		labour += gouge + grind
		labour += put(x[m.look] * again * float64(it.w.looks()-1) * hands)
		labour += put(x[it.backing] * f * x[m.fitCut] * x[m.fit] * hands)
		preheat := put(x[it.preheat] * f)
		labour += preheat
		labour += put(x[it.soak])
		arc := 0.0
		for _, r := range it.rods {
			n := x[r.count] * f
			arc += n * m.rodsArc * x[r.arc]
			o.rods[r.kind] += n * m.rodsUsed * (1 + x[m.loss]) * r.mass
		}
		weld := put(arc / x[it.operating] * x[m.weather])
		labour += weld
		reheat := 0.0
		switch {
		case !it.reheats:
		case !it.w.Reheats.None():
			reheat = x[it.reheat] * f
		default:
			reheat = weld / m.every * x[m.reheat]
		}
		labour += put(reheat)
		waits += put(x[it.waits] * again)
		post := put(x[it.postHeat])
		labour += post
		grindCap := put(x[it.capLength] * f * x[m.cap] * hands)
		labour += grindCap
		labour += put(x[m.test] * hands)

		cool = math.Max(cool, x[it.cool])
		hold = math.Max(hold, x[it.cool]+float64(it.w.Hold))
		for _, c := range it.carbons {
			o.carbons[c.size] += x[c.count] * f * (1 + x[m.carbonLoss])
		}
		torch := (preheat + reheat + post*x[m.postGas]) * (1 + x[m.gasLoss])
		o.gas += x[it.gas] * torch
		o.oxygen += x[it.oxygen] * torch
		o.discs += (x[it.ground] + x[it.capLength]*x[m.capMass]) * f / x[m.discMass]
		gougeArc := math.Min(x[it.gougeArc]*f, gouge)
		idle := gouge - gougeArc + grind + math.Max(weld-arc, 0) + grindCap
		o.fuel += arc*x[m.weldFuel] + gougeArc*x[m.gougeFuel] + idle*x[m.idleFuel]
		for j, n := range it.tests {
			o.tests[j] += n * again
		}
		o.weldMetal += float64(it.w.WeldMass.Likely) * f
		o.backing += x[it.backing] * f
	}
	labour += x[m.closing] * site
	m.leave(x, o, k, labour, waits, cool, hold, site)
}

// ending is the end of a job: what both ways of ending it share.
type ending struct {
	step              int // the fire watch's, the first of the end
	labour, waits     float64
	oneWay, again     float64
	watch, cool, hold float64 // cool and hold beyond the watch
	closing           float64
}

// leave reckons the end of the job: fire watch, then waiting on site or a second
// visit, whichever is cheaper, and the days.
func (m *model) leave(x []float64, o *outcome, k int, labour, waits, cool, hold, site float64) {
	watch := x[m.watch]
	e := ending{k, labour, waits, m.oneWay * x[m.drive], x[m.again] * site, watch, math.Max(cool-watch, 0), math.Max(hold-watch, 0), x[m.closing] * site}
	wait := math.Max(e.cool, e.hold)
	switch {
	case wait <= 0:
		m.end(o, &e, false)
	case wait > m.day:
		m.end(o, &e, true)
	case m.rates.priced && m.rates.standby.known && m.pricedDrive():
		m.end(o, &e, true)
		back, _ := m.money(o, nil)
		m.end(o, &e, false)
		if stay, _ := m.money(o, nil); stay > back {
			m.end(o, &e, true)
		}
	default: // the two cannot be compared in money
		m.end(o, &e, wait > 2*e.oneWay+e.again)
	}
}

// pricedDrive says whether a drive to the site has a price.
func (m *model) pricedDrive() bool {
	r := &m.rates
	return r.travel.known && m.distance.Known && r.perDistance > 0 || r.travelHour.known && m.timeKnown
}

// end fills in the end of the job in one of its two ways.
func (m *model) end(o *outcome, e *ending, second bool) {
	days := math.Max(1, math.Ceil((e.labour+e.waits)/m.day-1e-9))
	again, drives, cool, hold := (days-1)*e.again, days, e.cool, math.Max(e.hold-e.cool, 0)
	if second {
		again, drives, cool, hold = again+e.again, drives+1, 0, 0
	}
	t := o.times
	t[0] = 2 * e.oneWay * drives
	k := e.step
	t[k], t[k+1], t[k+2], t[k+3], t[k+4] = e.watch, cool, hold, e.closing, again
	o.trips, o.second = days, second
	o.labour, o.standby, o.drive = e.labour+again, e.waits+e.watch+cool+hold, t[0]
	o.onSite = o.labour + o.standby
	o.total = o.onSite + o.drive
}

// Why there is more than one drive.
const (
	nextDay     = "next day"
	secondVisit = "second visit for the final test"
)

// used is a scenario as a bill's quantities.
func (m *model) used(o *outcome) Used {
	u := Used{Labour: q.Time(o.labour), Standby: q.Time(o.standby), Gas: q.Mass(o.gas), Oxygen: q.Volume(o.oxygen), Backing: q.Length(o.backing), Discs: o.discs, Fuel: q.Volume(o.fuel), Extra: m.call.Extra}
	drives, trips := o.trips, int(o.trips)
	if o.second {
		drives++
	}
	each := Drive{Time: q.Maybe[q.Time]{V: q.Time(o.drive / drives), Known: m.timeKnown}}
	if m.distance.Known {
		each.Distance = q.Known(2 * m.distance.V)
	}
	for i := range trips {
		d := each
		if i > 0 {
			d.Why = nextDay
		}
		u.Drives = append(u.Drives, d)
	}
	if o.second {
		d := each
		d.Why = secondVisit
		u.Drives = append(u.Drives, d)
	}
	for i, r := range m.rods {
		r.Mass = q.Mass(o.rods[i])
		u.Rods = append(u.Rods, r)
	}
	for i, c := range m.carbons {
		c.Count = o.carbons[i]
		u.Carbons = append(u.Carbons, c)
	}
	for i, n := range o.tests {
		if n > 0 {
			u.Tests = append(u.Tests, TestUsed{testMethods[i], n})
		}
	}
	return u
}
