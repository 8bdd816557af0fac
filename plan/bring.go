package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundmetal/filler"
	"soundmetal/job"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// needs gathers the load list; rows of the same thing are added up.
type needs struct {
	rows  []Need
	bases []source.Basis
}

func (n *needs) add(what string, least, likely, most float64, unit string, have *float64, b source.Basis) {
	for i := range n.rows {
		if r := &n.rows[i]; r.What == what {
			r.Least, r.Likely, r.Most = r.Least+least, r.Likely+likely, r.Most+most
			return
		}
	}
	n.rows = append(n.rows, Need{What: what, Least: least, Likely: likely, Most: most, Unit: unit, Have: have})
	n.bases = append(n.bases, b)
}

// bring is the load list of all planned items.
func bring(planned []*work) ([]Need, *Section) {
	var n needs
	for _, w := range planned {
		if len(w.fill.Value.Beads) > 0 {
			w.bringItem(&n)
		}
	}
	s := &Section{ID: "bring", Title: "Bring"}
	f := figures{"bring"}
	for i := range n.rows {
		r := &n.rows[i]
		if r.Unit != "m" {
			r.Most = math.Ceil(r.Most)
		}
		r.Text = needText(*r, planned[0].sys)
		s.figure(Figure{ID: f.id(fmt.Sprint(i + 1)), Label: r.What, Low: &r.Least, High: &r.Most, Unit: r.Unit, Text: r.Text, Basis: n.bases[i]})
	}
	for _, line := range kitLines(planned) {
		s.add(Do, line, nil)
	}
	return n.rows, s
}

func needText(r Need, sys q.System) string {
	if r.Unit == "m" {
		return niceUp(q.Length(r.Likely), sys) + ", load " + niceUp(q.Length(r.Most), sys)
	}
	text := fmt.Sprintf("%.0f (%.0f to %.0f)", math.Ceil(r.Likely), math.Floor(r.Least), r.Most)
	if r.Unit != "pcs" {
		text = fmt.Sprintf("%.0f to %.0f %s", math.Floor(r.Least), r.Most, r.Unit)
	}
	switch {
	case r.Have == nil:
	case *r.Have >= r.Most:
		text += fmt.Sprintf("; %.0f on the truck: enough", *r.Have)
	default:
		text += fmt.Sprintf("; %.0f on the truck: load %.0f more", *r.Have, math.Ceil(r.Most-*r.Have))
	}
	return text
}

// bringItem adds what one item uses up.
func (w *work) bringItem(n *needs) {
	if r, ok := w.rods(); ok {
		c := r.Value
		spread := rateOf("spread-load").high
		w.bringRods(n, c, r.Basis, spread)
	}
	for _, g := range w.gouges {
		if !g.Value.Found {
			continue
		}
		c := g.Value.Carbons.Value
		n.add("carbons "+g.Value.Carbon.Text(w.sys), c.Range.Low, c.Likely, c.Range.High, "pcs", w.carbonsOnTruck(g.Value.Carbon), g.Value.Carbons.Basis)
	}
	if w.dig.Value.Groove.Backing == joint.SteelBacking {
		l := w.dig.Value.Surface
		size := w.dig.Value.Groove.BackingSize.Text(w.sys)
		n.add("backing bar "+size, float64(l.Low), float64(l.High), float64(l.High)*1.1, "m", nil, w.dig.Basis)
	}
	disc := rateOf("disc-mass")
	var ground q.Mass
	for _, g := range w.gouges {
		ground += g.Value.Plan.Value.Ground
	}
	if ground > 0 {
		b := source.Basis{Method: "discs", Title: "Grinding discs", Formula: "metal ground off / metal for one disc", Ref: disc.ref,
			Steps: []source.Step{{Name: "ground off", Value: float64(ground), Unit: "kg"}}}
		n.add("grinding discs 125 mm (5 in)", float64(ground)/disc.high, float64(ground)/disc.likely, float64(ground)/disc.low+1, "pcs", nil, b)
	}
}

// bringRods splits the rods between root and fill by the beads they lay.
func (w *work) bringRods(n *needs, c filler.RodCount, b source.Basis, spread float64) {
	root, all := 0.0, 0.0
	for _, bead := range w.fill.Value.Beads {
		all += float64(bead.Area)
		if bead.Kind == joint.RootBead || bead.Kind == joint.BackBead {
			root += float64(bead.Area)
		}
	}
	share := root / all
	if w.rod.root.stick.Core == w.rod.fill.stick.Core {
		share = 0
	}
	add := func(r *rodRun, part float64) {
		if part <= 0 {
			return
		}
		scale := part * float64(w.rod.fill.deposit.Value.Likely) / float64(r.deposit.Value.Likely)
		n.add("rods "+rodName(r, w.sys)+otherSystem(r.stick.Core, w.sys), float64(c.Low)*scale, float64(c.Likely)*scale, float64(c.High)*scale*spread, "pcs", w.rodsOnTruck(r), b)
	}
	add(&w.rod.root, share)
	add(&w.rod.fill, 1-share)
}

func (w *work) rodsOnTruck(r *rodRun) *float64 {
	if w.shop == nil {
		return nil
	}
	total, known := 0.0, true
	for i, tin := range w.shop.Rods {
		if h, ok := w.rod.dry[i]; w.tin(i) != r.stick.Class.ID || !ok || h > w.rod.hydrogen || math.Abs(float64(tin.Size-r.stick.Core)) > 1e-4 {
			continue
		}
		if !tin.Mass.Known {
			known = false
			continue
		}
		total += math.Floor(float64(tin.Mass.V) / float64(r.deposit.Value.Mass.Mid()))
	}
	if !known {
		return nil
	}
	return &total
}

func (w *work) carbonsOnTruck(size q.Length) *float64 {
	if w.shop == nil {
		return nil
	}
	total := 0.0
	for _, c := range w.shop.Carbons {
		if math.Abs(float64(c.Size-size)) > 3e-4 {
			continue
		}
		if !c.Count.Known {
			return nil
		}
		total += c.Count.V
	}
	return &total
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
	if site.Shelter != job.No && (site.Wet != job.Dry && site.Wet != "" || site.Wind.Or(0) > q.Speed(rateOf("windy").likely)*q.KilometrePerHour) {
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
