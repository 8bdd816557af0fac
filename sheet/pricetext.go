package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundmetal/plan"
	"soundmetal/price"
	"soundmetal/quantity"
)

// PriceText prints hours and price as the welder reads them, with his own cost.
func PriceText(a *plan.Priced) string {
	var w writer
	w.line(strings.ToUpper(a.Job))
	w.facts(a.Customer, a.Machine, a.Place)
	for _, c := range a.Cautions {
		w.para("! ", "  ", c)
	}
	for _, s := range a.Sections {
		switch s.ID {
		case "price":
			w.spread(a, s)
		case "drivers":
			w.tornado(a)
		default:
			w.section("", s)
		}
	}
	w.legend()
	return w.String()
}

// facts writes what is known of customer, machine and place on one line.
func (w *writer) facts(all ...string) {
	if known := slices.DeleteFunc(all, func(s string) bool { return s == "" }); len(known) > 0 {
		w.para("", "", strings.Join(known, " · "))
	}
}

// spread writes hours and money at the shares of the draws.
func (w *writer) spread(a *plan.Priced, s plan.Section) {
	w.heading("HOURS AND PRICE")
	row := func(label string, v ...string) {
		w.line(fmt.Sprintf("  %-25s %12s %12s %12s %12s", label, v[0], v[1], v[2], v[3]))
	}
	row("enough", "as seen", "1 in 2", "4 in 5", "19 in 20")
	hours := func(label string, h plan.HoursSpread) {
		if h.P95 > 0 || h.Planned > 0 {
			row(label, inQuarters(h.Planned), inQuarters(h.P50), inQuarters(h.P80), inQuarters(h.P95))
		}
	}
	h := a.Hours
	hours("work on site", h.Labour)
	hours("waiting on site", h.Standby)
	hours("driving", h.Driving)
	hours("hours together", h.All)
	if a.Price != nil {
		money := func(label string, m *price.AmountSpread) {
			row(label, m.Planned.Number(), m.P50.Number(), m.P80.Number(), m.P95.Number())
		}
		money(string(a.Currency)+" before tax", a.Subtotal)
		money(string(a.Currency)+" with "+a.Bill.TaxName, a.Price)
		w.blank()
		w.pair("  ", "not more without a written yes", a.NotToExceed.String())
	}
	for _, l := range s.Lines {
		if l.Kind != plan.Number {
			w.planLine(l)
		}
	}
}

// inQuarters prints hours to the quarter as a decimal, for a column.
func inQuarters(t quantity.Time) string {
	return fmt.Sprintf("%.2f h", float64(quantity.RoundTo(t, 15*quantity.Minute))/float64(quantity.Hour))
}

const (
	barWidth   = 24
	mostBars   = 9
	leastShare = 0.01
)

// tornado writes what drives the spread, most first, as bars on one scale.
func (w *writer) tornado(a *plan.Priced) {
	type bar struct {
		label     string
		low, high float64
		share     float64
		chance    float64
	}
	var all []bar
	low, high := math.Inf(1), math.Inf(-1)
	for _, d := range a.Drivers {
		b := bar{label: d.Label, low: d.HoursLow.Hours(), high: d.HoursHigh.Hours(), share: float64(d.Share), chance: float64(d.Chance)}
		if a.Price != nil {
			b.low, _ = d.Low.Decimal().Float64()
			b.high, _ = d.High.Decimal().Float64()
		}
		b.low, b.high = min(b.low, b.high), max(b.low, b.high)
		if b.share < leastShare || len(all) == mostBars {
			continue
		}
		all = append(all, b)
		low, high = min(low, b.low), max(high, b.high)
	}
	if len(all) == 0 {
		return
	}
	w.heading("WHAT DRIVES THE SPREAD")
	unit, decimals := "hours", 1
	if a.Price != nil {
		unit, decimals = string(a.Currency)+" before tax", 0
	}
	w.line(fmt.Sprintf("  %-28s %7s %-*s %7s  share", "if it goes well or badly:", "well", barWidth, center(unit, barWidth), "badly"))
	for _, b := range all {
		at := func(v float64) int {
			if high <= low {
				return 0
			}
			return int(math.Round((v - low) / (high - low) * (barWidth - 1)))
		}
		from, to := at(b.low), at(b.high)
		drawn := strings.Repeat(" ", from) + strings.Repeat("=", to-from+1)
		label := b.label
		if b.chance > 0 {
			label += " (" + quantity.Ratio(b.chance).Text(a.Units) + ")"
		}
		w.line(fmt.Sprintf("  %-28s %7.*f %-*s %7.*f  %4.0f%%", label, decimals, b.low, barWidth, drawn, decimals, b.high, 100*b.share))
	}
	if n := len(a.Drivers) - len(all); n > 0 {
		w.line(fmt.Sprintf("  and %d smaller ones", n))
	}
}

func center(s string, n int) string {
	return strings.Repeat(" ", max(0, (n-width(s))/2)) + s
}
