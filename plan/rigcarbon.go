package plan

import (
	"fmt"
	"slices"

	"soundmetal/cut"
	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// carbonSection is every carbon, and for each groove what to do where the carbon
// that it takes does not run.
func (r *rigWork) carbonSection() Section {
	s := Section{ID: "carbons", Title: "Carbons on this rig"}
	r.useLines(&s, power.Gouge)
	for _, w := range r.planned {
		r.grooveLines(&s, w)
	}
	r.findOut(&s, power.Gouge)
	return s
}

// dug is the gouging of all sides of one item.
type dug struct {
	carbon q.Length // largest over the sides
	passes cut.Amount[float64]
	time   cut.Amount[q.Time]
	all    bool // a carbon was found for every side
	basis  source.Basis
}

func (w *work) dug() dug {
	d := dug{all: len(w.gouges) > 0}
	for _, g := range w.gouges {
		if !g.Value.Found {
			d.all = false
			continue
		}
		d.carbon = max(d.carbon, g.Value.Carbon)
		n, t := g.Value.Plan.Value.Passes, g.Value.Time.Value.Elapsed
		d.passes.Likely += n.Likely
		d.time.Likely += t.Likely
		d.time.Range = q.Of[q.Time]{Low: d.time.Range.Low + t.Range.Low, High: d.time.Range.High + t.Range.High}
		d.basis = g.Value.Time.Basis
	}
	return d
}

// grooveLines compares the carbon that the groove takes with what the rig runs.
func (r *rigWork) grooveLines(s *Section, w *work) {
	free, ok := w.free()
	if !ok {
		return
	}
	want := free.dug()
	f := figures{fmt.Sprintf("%d.%s", w.index+1, s.ID)}
	if want.carbon == 0 {
		s.add(Note, capital(w.name())+" No carbon at hand is small enough for this groove: grind it out.", nil)
		return
	}
	who := "this groove"
	if len(r.planned) > 1 {
		who = w.name()
	}
	s.figure(one(f, "time", "gouging "+who, want.time.Likely, fmt.Sprintf("takes a %s: about %.0f passes, %s", carbonText(want.carbon, r.sys), want.passes.Likely, minutesText(want.time.Likely)), r.sys, want.basis))
	u, known := r.carbonUse(want.carbon)
	if !known || u.State != power.Short {
		return
	}
	have, doubt := r.instead(w, false), ""
	if !have.all {
		have, doubt = r.instead(w, true), ", if it runs"
	}
	if !have.all {
		s.add(Caution, "No carbon at hand both runs on this rig and fits this groove: borrow as above, or grind it out and take the time for it.", nil)
		return
	}
	longer := have.time.Likely - want.time.Likely
	text := fmt.Sprintf("with the %s instead: about %.0f passes, %s", carbonText(have.carbon, r.sys), have.passes.Likely, minutesText(have.time.Likely))
	if longer > 0 {
		text += ", " + minutesText(longer) + " longer"
	}
	s.figure(one(f, "instead", "  on this rig", have.time.Likely, text+doubt, r.sys, have.basis))
}

// instead is the gouging of an item with the carbons that the rig runs, or with
// those too of which that is not known.
func (r *rigWork) instead(w *work, doubtful bool) dug {
	carbons := r.runningCarbons(doubtful)
	if len(carbons) == 0 { // an empty list would mean every size
		return dug{}
	}
	other, ok := w.withShop(func(shop *job.Shop) { shop.Power, shop.Air, shop.Carbons = nil, job.Air{}, carbons })
	if !ok {
		return dug{}
	}
	return other.dug()
}

// carbonUse finds the answer for a carbon.
func (r *rigWork) carbonUse(size q.Length) (*askedUse, bool) {
	i := slices.IndexFunc(r.uses, func(u askedUse) bool {
		return u.Kind == string(power.Gouge) && u.Unknown == "" && sameCarbon(u.Size, size)
	})
	if i < 0 {
		return nil, false
	}
	return &r.uses[i], true
}

// runningCarbons are the carbons that the rig runs, or may run, as stock.
func (r *rigWork) runningCarbons(doubtful bool) []job.Stock {
	var all []job.Stock
	for i := range r.uses {
		if u := &r.uses[i]; u.Kind == string(power.Gouge) && u.Unknown == "" && (u.runs() || doubtful && u.State == power.Unknown) {
			all = append(all, job.Stock{Size: u.Size})
		}
	}
	return all
}

func carbonText(size q.Length, sys q.System) string { return size.Text(sys) + " carbon" }

// minutesText prints a time in whole minutes.
func minutesText(t q.Time) string { return fmt.Sprintf("%.0f min", max(1, t.Minutes())) }
