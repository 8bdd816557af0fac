package price

import (
	"fmt"
	"math"
	"strings"

	"soundmetal/filler"
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Quantity is what a call uses up of one thing, in Unit.
type Quantity struct {
	ID    string          `json:"id"`
	What  string          `json:"what"`
	Kind  Kind            `json:"kind,omitempty"`
	Unit  string          `json:"unit"` // kg, L, m, pieces, sets, cans
	Need  Spread[float64] `json:"need"`
	Class string          `json:"class,omitempty"`
	Size  q.Length        `json:"size,omitempty"`
	Basis source.Basis    `json:"basis"`
}

// loadDraws are the draws behind quantities: with so many another seed moves a
// P80 by about a percent, less than a packet.
const loadDraws = 400

// Quantities gives what a call uses up: as planned and at P50, P80 and P95 of 400
// draws. An estimate of the call with the same seed holds the same quantities,
// however many draws it makes.
func Quantities(c Call, shop job.Shop, seed uint64) ([]Quantity, error) {
	m, err := newModel(c, shop)
	if err != nil {
		return nil, err
	}
	return m.quantities(m.uses(seed)), nil
}

// uses draws what is used up, without its money.
func (m *model) uses(seed uint64) *drawn {
	free := *m
	free.rates = rates{} // nothing used up depends on how the job ends
	return free.draw(loadDraws, Options{Seed: seed})
}

func (m *model) quantities(d *drawn) []Quantity {
	plan := m.ends()[1]
	var all []Quantity
	add := func(id, what string, kind Kind, unit string, planned float64, draws []float64, per float64, b source.Basis) *Quantity {
		s := spread[float64](planned, draws)
		if s.P95 <= 0 && planned <= 0 {
			return nil
		}
		s = Spread[float64]{s.Planned / per, s.P50 / per, s.P80 / per, s.P95 / per}
		b.Method, b.Title = "quantity", what
		b.Steps = append(b.Steps, source.Step{Name: "as seen", Value: s.Planned, Unit: unit}, source.Step{Name: "P80 of the draws", Value: s.P80, Unit: unit})
		if b.Ref == (source.Ref{}) {
			b.Ref = source.At("derived", "quantities of the plan", source.Derived)
		}
		b.Why, b.Skip = "What is not on the truck is a second drive.", "An hour back for a packet of rod, and the joint goes cold."
		all = append(all, Quantity{ID: id, What: what, Kind: kind, Unit: unit, Need: s, Basis: b})
		return &all[len(all)-1]
	}
	for i, r := range m.rods {
		b := source.Basis{Formula: "rods · (1 + lost) · mass of one", Ref: fig("rod-loss").Ref}
		if v := add(rodID(r.Class, r.Core), "rods "+r.Class+" "+r.Core.Text(m.sys), Rods, "kg", plan.rods[i], d.rods[i], 1, b); v != nil {
			v.Class, v.Size = r.Class, r.Core
		}
	}
	for i, c := range m.carbons {
		b := source.Basis{Formula: "carbons of the passes · (1 + waste)", Ref: fig("carbon-loss").Ref}
		if v := add(carbonID(c.Size), "carbons "+c.Size.Text(m.sys), Carbons, "pieces", plan.carbons[i], d.carbons[i], 1, b); v != nil {
			v.Size = c.Size
		}
	}
	add("discs", "grinding discs 125 mm (5 in)", Discs, "pieces", plan.discs, d.discs, 1, source.Basis{Formula: "metal ground off / metal for one disc", Ref: fig("disc-mass").Ref, Also: []source.Ref{fig("cap-mass").Ref}})
	gas := m.call.Gas
	if gas == "" {
		gas = propane
	}
	if v := add("gas", string(gas)+" for heating", Gas, "kg", plan.gas, d.gas, 1, source.Basis{Formula: "torch time · gas rate · (1 + waste)", Ref: fig("gas-loss").Ref, Also: []source.Ref{fig("post-heat-gas").Ref}}); v != nil {
		v.Class = string(gas)
	}
	if v := add("oxygen", "oxygen for heating", Gas, "m³", plan.oxygen, d.oxygen, 1, source.Basis{Formula: "torch time · oxygen rate · (1 + waste)", Ref: fig("gas-loss").Ref}); v != nil {
		v.Class = string(oxygen)
	}
	add("fuel", "engine fuel", Fuel, "L", plan.fuel, d.fuel, 1e-3, source.Basis{Formula: "arc and idle time · fuel in an hour"})
	add("backing", "backing bar", Backing, "m", plan.backing, d.backing, 1, source.Basis{Formula: "length of the groove at the root"})
	add("weld-metal", "weld metal", "", "kg", plan.weldMetal, d.metal, 1, source.Basis{Formula: "weld mass of the plan · work against what is seen"})
	looks := func(id, what, unit string, m TestMethod, per figure) {
		k := 0
		for i, t := range testMethods {
			if t == m {
				k = i
			}
		}
		add(id, what, "", unit, plan.tests[k], d.tests[k], per.Likely, source.Basis{Formula: "tests / tests from one", Ref: per.Ref, Inputs: []source.Input{{Name: "tests from one", Text: fmt.Sprintf("%.0f to %.0f", per.Low, per.High)}}})
	}
	looks("pt-cans", "dye, cleaner and developer", "sets of cans", PT, fig("pt-cans"))
	looks("mt-cans", "magnetic ink and white paint", "sets of cans", MT, fig("mt-cans"))
	return all
}

// Load is one row of the load list: what to put on the truck.
type Load struct {
	ID    string           `json:"id"`
	What  string           `json:"what"`
	Need  float64          `json:"need"` // P80, in Unit
	Unit  string           `json:"unit"`
	Have  q.Maybe[float64] `json:"have"`           // on the truck and fit for use; unknown where the shop file does not say
	Load  float64          `json:"load"`           // still to load, in Unit; 0: enough
	Packs float64          `json:"packs"`          // whole packets or bottles of it; 0 where there is no pack
	Pack  string           `json:"pack,omitempty"` // "packets of 4.54 kg", "bottles of 45.4 kg"
	Note  string           `json:"note,omitempty"`
}

// LoadList gives what to load: the quantities at P80 with what is on the truck
// taken off, in whole pieces, packets and bottles.
func LoadList(needs []Quantity, shop job.Shop) ([]Load, error) {
	p, err := readPrices(shop)
	if err != nil {
		return nil, err
	}
	var all []Load
	for _, n := range needs {
		if n.ID == "weld-metal" {
			continue // it comes with the rods
		}
		l := Load{ID: n.ID, What: n.What, Need: n.Need.P80, Unit: n.Unit}
		pack := 0.0
		switch n.Kind {
		case Rods:
			l.Have, l.Note = rodsOnTruck(shop.Rods, n.Class, n.Size)
			if p.rodPacket.known && p.mass != nil {
				f, _ := p.rodPacket.value.Float64()
				pack, l.Pack = p.mass.SI(f), "packets of "
			}
		case Carbons:
			l.Have = carbonsOnTruck(shop.Carbons, n.Size)
		case Gas:
			l.Have, pack = gasOnTruck(shop.Bottles, job.Gas(n.Class))
			l.Pack = "bottles of "
		}
		if n.Unit == "pieces" || strings.HasPrefix(n.Unit, "sets") {
			l.Need = math.Ceil(l.Need - 1e-9)
		}
		l.Load = max(0, l.Need-l.Have.Or(0))
		if pack > 0 {
			l.Packs = max(0, math.Ceil(l.Load/pack-1e-9))
			if n.Class == string(oxygen) {
				l.Pack += q.Volume(pack).Text(systemOf(shop))
			} else {
				l.Pack += q.Mass(pack).Text(systemOf(shop))
			}
		} else {
			l.Pack = ""
		}
		all = append(all, l)
	}
	return all, nil
}

// rodsOnTruck counts the rods of a class and size that are fit for use: sealed
// and in the oven. Opened low-hydrogen rods are left out: their clock is not
// known here.
func rodsOnTruck(rods []job.Rod, class string, core q.Length) (have q.Maybe[float64], note string) {
	want := classID(class)
	have = q.Known(0.0)
	for _, r := range rods {
		if classID(r.Class) != want || math.Abs(float64(r.Size-core)) > float64(sameSize) {
			continue
		}
		switch {
		case r.Condition == "opened" || r.Condition == "wet":
			note = "opened or damp rods on the truck are not counted"
		case !r.Mass.Known:
			return q.Maybe[float64]{}, "a tin of unknown mass is on the truck"
		case have.Known:
			have.V += float64(r.Mass.V)
		}
	}
	return have, note
}

// sameSize is how far the inch and the metric name of one size lie apart.
const sameSize = 0.3 * q.Millimetre

// classID is the class without its spelling.
func classID(class string) string {
	if c, err := filler.Read(class); err == nil {
		return c.ID
	}
	return strings.ToUpper(strings.TrimSpace(class))
}

func carbonsOnTruck(stock []job.Stock, size q.Length) q.Maybe[float64] {
	have := q.Known(0.0)
	for _, s := range stock {
		if math.Abs(float64(s.Size-size)) > float64(sameSize) {
			continue
		}
		if !s.Count.Known {
			return q.Maybe[float64]{}
		}
		have.V += s.Count.V
	}
	return have
}

// The gases of the shop file.
const (
	propane   job.Gas = "propane"
	acetylene job.Gas = "acetylene"
	oxygen    job.Gas = "oxygen"
)

// gasOnTruck adds up what is left in the bottles of a gas, and gives the size of
// the largest: oxygen by volume, the fuel gases by mass.
func gasOnTruck(bottles []job.Bottle, gas job.Gas) (have q.Maybe[float64], size float64) {
	have = q.Known(0.0)
	for _, b := range bottles {
		if b.Gas != gas {
			continue
		}
		full := q.Maybe[float64]{V: float64(b.Size.V), Known: b.Size.Known}
		switch {
		case gas == oxygen:
			full = q.Maybe[float64]{V: float64(b.Volume.V), Known: b.Volume.Known}
		case gas == acetylene && !b.Size.Known:
			full = q.Maybe[float64]{V: float64(b.Volume.V) * densityOf(acetylene), Known: b.Volume.Known}
		}
		if !full.Known {
			have.Known = false
			continue
		}
		size = max(size, full.V)
		have.Known = have.Known && b.Left.Known
		have.V += full.V * float64(b.Left.V) * b.Count.Or(1)
	}
	if !have.Known {
		have.V = 0
	}
	return have, size
}

// densityOf is the mass of a cubic metre of gas, as the power room has it.
func densityOf(gas job.Gas) float64 {
	r, err := power.GasFor(gas, q.Kilowatt, false)
	if err != nil {
		panic("price: " + err.Error())
	}
	return float64(r.Value.Mass) / float64(r.Value.Gas)
}
