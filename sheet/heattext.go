package sheet

import (
	"fmt"
	"strings"

	"soundmetal/plan"
	"soundmetal/quantity"
)

// HeatText prints the simulated heat, 80 columns wide.
func HeatText(a *plan.ThermalAnswer) string {
	var w writer
	w.line(strings.ToUpper(a.Job) + ": HEAT AND HYDROGEN")
	var facts []string
	for _, s := range []string{a.Customer, a.Machine, a.Place} {
		if s != "" {
			facts = append(facts, s)
		}
	}
	if len(facts) > 0 {
		w.para("", "", strings.Join(facts, " · "))
	}
	for _, c := range a.Cautions {
		w.para("! ", "  ", c)
	}
	for _, it := range a.Items {
		w.blank()
		w.line(strings.Repeat("=", Columns))
		w.para(fmt.Sprintf("ITEM %d  ", it.Number), "        ", it.Name)
		for _, s := range it.Sections {
			w.section("", s)
			if s.ID == "beads" {
				w.thermalBeads(it.Beads, a.Units)
			}
		}
	}
	w.legend()
	return w.String()
}

func (w *writer) thermalBeads(all []plan.ThermalBead, sys quantity.System) {
	if len(all) == 0 {
		return
	}
	degrees := func(t quantity.Temperature) string {
		if sys == quantity.US {
			return fmt.Sprintf("%.0f", t.F())
		}
		return fmt.Sprintf("%.0f", t.C())
	}
	unit := "°C"
	if sys == quantity.US {
		unit = "°F"
	}
	w.blank()
	w.line("  bead side  begins   before it, " + unit + "   wait    re-heat   t8/5 s    t8/5 s")
	w.line("             at       coldest hottest  min     min       computed  formula")
	for _, b := range all {
		note := ""
		if !b.Ready {
			note = " !"
		}
		w.line(fmt.Sprintf("  %-4d %-5d %-8s %-7s %-8s %-7s %-9s %-9s %s%s", b.Number, b.Side, clock(b.Start), degrees(b.Coldest), degrees(b.Hottest),
			minutesText(b.Waited), minutesText(b.Reheated), secondsText(b.T85), secondsText(b.Formula), note))
	}
	w.line("  begins at: h:min from the lighting of the torch. -: none, or no base metal")
	w.line("  above 800 °C (1472 °F).")
}

func clock(t quantity.Time) string {
	m := int(t.Minutes() + 0.5)
	return fmt.Sprintf("%d:%02d", m/60, m%60)
}

func minutesText(t quantity.Time) string {
	switch {
	case t <= 0:
		return "-"
	case t < 30*quantity.Second:
		return "< 1"
	}
	return fmt.Sprintf("%.0f", t.Minutes())
}

func secondsText(t *quantity.Time) string {
	if t == nil {
		return "-"
	}
	return fmt.Sprintf("%.1f", float64(*t))
}
