package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
)

// bring is the load list of all planned places: what the price room counts, then
// the things that are not counted.
func bring(o *order, planned []*work) ([]Need, *Section) {
	s := &Section{ID: "bring", Title: "Bring"}
	needs := o.loadLines(s)
	for _, line := range kitLines(planned) {
		s.add(Do, line, nil)
	}
	return needs, s
}

// loadLines adds the load list with what is on the truck taken off.
func (o *order) loadLines(s *Section) []Need {
	if len(o.places) == 0 {
		return nil
	}
	all, err := price.Quantities(o.call, o.shop, o.seed)
	if err != nil { // prices that no reader has seen
		s.add(Note, "No load list: "+err.Error()+".", nil)
		return nil
	}
	return o.loadOf(s, all)
}

func (o *order) loadOf(s *Section, all []price.Quantity) []Need {
	truck := o.shop
	truck.Rods = o.dryRods()
	rows, err := price.LoadList(all, truck)
	if err != nil {
		s.add(Note, "No load list: "+err.Error()+".", nil)
		return nil
	}
	f := figures{s.ID}
	var needs []Need
	for _, l := range rows {
		i := slices.IndexFunc(all, func(n price.Quantity) bool { return n.ID == l.ID })
		n := o.need(all[i], l)
		needs = append(needs, n)
		low, high := n.Likely, n.Most
		s.figure(Figure{ID: f.id(fmt.Sprint(len(needs))), Label: n.What, Low: &low, High: &high, Unit: n.Unit, Text: n.Text, Basis: all[i].Basis})
	}
	return needs
}

// dryRods are the tins that may be burnt in every place that takes their class:
// as dry as the plan of each counts on.
func (o *order) dryRods() []job.Rod {
	if !o.truck {
		return nil
	}
	var all []job.Rod
	for i, tin := range o.shop.Rods {
		fit := true
		for _, w := range o.places {
			if w.tin(i) == w.rod.class.ID {
				h, ok := w.rod.dry[i]
				fit = fit && ok && h <= w.rod.hydrogen
			}
		}
		if fit {
			tin.Condition = "sealed" // as good as
			all = append(all, tin)
		}
	}
	return all
}

// need is one row of the list. Rods are counted in pieces, as they are used.
func (o *order) need(n price.Quantity, l price.Load) Need {
	row := Need{What: n.What, Unit: n.Unit, Likely: n.Need.Planned, Most: max(n.Need.P80, n.Need.Planned)}
	have := l.Have
	switch n.Kind {
	case price.Rods:
		one := o.rodMass(n.Class, n.Size)
		row.Unit = "pcs"
		row.What = "rods " + n.Class + " " + n.Size.Text(o.sys)
		row.Likely, row.Most, have.V = math.Ceil(row.Likely/one-1e-6), math.Ceil(row.Most/one-1e-6), math.Floor(have.V/one+1e-6)
	case price.Carbons:
		row.Unit, row.What = "pcs", "carbons "+n.Size.Text(o.sys)
	}
	if n.Unit == "pieces" || strings.HasSuffix(n.Unit, "cans") {
		row.Likely, row.Most = math.Ceil(row.Likely-1e-6), math.Ceil(row.Most-1e-6)
	}
	if n.Unit == "pieces" {
		row.Unit = "pcs"
	}
	if o.truck && have.Known && countable(n.Kind) {
		v := have.V
		row.Have = &v
	}
	row.Text = o.needText(row, l)
	return row
}

// countable says that the shop file lists such things.
func countable(k price.Kind) bool { return k == price.Rods || k == price.Carbons || k == price.Gas }

// rodMass is the mass of one rod of a class and size of the call.
func (o *order) rodMass(class string, core q.Length) float64 {
	for _, w := range o.call.Items {
		for _, r := range w.Rods {
			if r.Class == class && math.Abs(float64(r.Core-core)) < 1e-4 {
				return float64(r.Mass)
			}
		}
	}
	panic("plan: no rod " + class + " in the call") // the quantities are made of its rods
}

func (o *order) needText(r Need, l price.Load) string {
	amount := func(v float64) string {
		switch r.Unit {
		case "m":
			return niceUp(q.Length(v), o.sys)
		case "kg":
			return q.Mass(loadUp(v, q.KindMass, "lb", "kg", o.sys)).Text(o.sys)
		case "L":
			return q.Volume(loadUp(v/1000, q.KindVolume, "gal", "L", o.sys)).Text(o.sys)
		case "m³":
			return q.Volume(loadUp(v, q.KindVolume, "ft³", "m³", o.sys)).Text(o.sys)
		case "pcs":
			return fmt.Sprintf("%.0f", v)
		}
		text := fmt.Sprintf("%.0f %s", v, r.Unit)
		if v == 1 {
			text = strings.Replace(text, "sets", "set", 1)
		}
		return text
	}
	text := amount(r.Likely) + " as seen"
	if load := amount(r.Most); load+" as seen" != text {
		text += ", load " + load
	}
	switch {
	case r.Have == nil:
	case *r.Have >= r.Most-1e-9:
		text += "; " + amount(*r.Have) + " on the truck: enough"
	case l.Packs > 0:
		text += "; " + amount(*r.Have) + " on the truck: load " + packs(l)
	default:
		text += "; " + amount(*r.Have) + " on the truck: load " + amount(r.Most-*r.Have) + " more"
	}
	return text
}

// loadUp rounds what is loaded up to two digits in the leading unit.
func loadUp(v float64, k q.Kind, us, si string, sys q.System) float64 {
	name := si
	if sys == q.US {
		name = us
	}
	unit, ok := k.Unit(name)
	if !ok {
		panic("plan: no unit " + name)
	}
	n := unit.From(v)
	if n <= 0 {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(n))-1)
	return unit.SI(math.Ceil(n/step-1e-6) * step)
}

// packs prints whole packets or bottles.
func packs(l price.Load) string {
	kind, of, _ := strings.Cut(l.Pack, "s of ")
	if l.Packs != 1 {
		kind += "s"
	}
	return fmt.Sprintf("%.0f %s of %s", l.Packs, kind, of)
}

// kitLines are the things that are not counted, for all places together.
func kitLines(planned []*work) []string {
	lines := []string{"Dye or magnetic kit, wire brush, chipping hammer, lamp, mirror, tape, paint marker, camera", "Blankets, extinguishers or water, screens, blocks and stands, lock and tags", "Respirator, double ear protection for gouging, face shield, leathers"}
	site := planned[0].j.Site
	if list := crayonList(planned); list != "" {
		lines = append(lines, "Torch and gas, contact thermometer; crayons: "+list)
	}
	if slices.ContainsFunc(planned, func(w *work) bool { return w.rod.class.LowHydrogen() }) {
		lines = append(lines, "Heated quiver or oven for the rods")
	}
	if site.Shelter != job.No && (site.Wet != job.Dry && site.Wet != "" || site.Wind.Or(0) > q.Speed(rateOf("windy").Likely)*q.KilometrePerHour) {
		lines = append(lines, "Shelter against wind and wet")
	}
	return lines
}

// crayonList are the temperatures to be read, each once, rising.
func crayonList(planned []*work) string {
	var all []q.Temperature
	text := map[q.Temperature]string{}
	put := func(t q.Temperature, words string) {
		if _, twice := text[t]; !twice {
			all, text[t] = append(all, t), words
		}
	}
	for _, w := range planned {
		if w.held.floor == nil || w.held.floor.floor.Minimum <= 20 {
			continue
		}
		low := w.held.floor.floor.Minimum
		put(low.Minimum(w.sys), "one at or just above "+low.MinimumText(w.sys))
		if c := w.held.ceiling; c != nil {
			put(c.ceiling.Maximum(w.sys), "one just below "+c.ceiling.MaximumText(w.sys))
		}
	}
	slices.Sort(all)
	words := make([]string, len(all))
	for i, t := range all {
		words[i] = text[t]
	}
	return strings.Join(words, "; ")
}
