package paper

import (
	"fmt"

	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
	"soundmetal/sheet/view"
)

// rodRows are rod, amps and length for root and fill.
func (f *flow) rodRows(it view.Item) {
	cols := []column{{share: 2}, {name: f.t("repair.rod"), share: 5, bold: true}, {name: f.t("repair.amps"), share: 6}, {name: f.t("repair.run"), share: 6, bold: true}}
	var rows [][]string
	for _, use := range []string{"root", "fill"} {
		if _, ok := it.Figure("filler." + use + ".run"); ok {
			rows = append(rows, []string{f.t("beads." + use), it.Text("filler." + use + ".core"), it.Text("filler." + use + ".amps"), it.Text("filler." + use + ".run")})
		}
	}
	if len(rows) > 0 {
		f.table(cols, rows, bodySize-0.3)
	}
}

// beadLog is a cell for each bead: its number and room for the temperature
// before it.
func (f *flow) beadLog(it view.Item) {
	if len(it.Plan.Beads) == 0 {
		return
	}
	unit := "°C"
	if f.Units == 1 {
		unit = "°F"
	}
	text := f.t("repair.log", unit, it.Text("heat.preheat"))
	if top := it.Text("heat.interpass"); top != "" {
		text = f.t("repair.log-both", unit, it.Text("heat.preheat"), top)
	}
	f.need(14)
	f.para(text, style{size: smallSize + 0.2, after: 0.6})
	cells, h := 8, 9*max(0.85, f.scale)
	if len(it.Plan.Beads) > 30 {
		cells, h = 10, 7.5
	}
	w := f.w / float64(cells)
	for i, b := range it.Plan.Beads {
		if i%cells == 0 {
			f.need(h)
		}
		x := f.x + float64(i%cells)*w
		tone := draw.White
		if b.Layer%2 == 0 {
			tone = draw.Pale
		}
		number := fmt.Sprint(b.Number)
		f.add(draw.Rect(x, f.y, w, h, draw.Thin, tone),
			draw.Text{At: draw.At(x+1.2, f.y+4.2), S: number, Size: 3.8, Bold: true},
			draw.Line{A: draw.At(x+2.5+font.Width(number, true)*3.8, f.y+h-1.6), B: draw.At(x+w-1.5, f.y+h-1.6), Pen: draw.Hair})
		if i%cells == cells-1 || i == len(it.Plan.Beads)-1 {
			f.y += h
		}
	}
	f.space(1.6)
	f.blanks(3, f.t("repair.tin"), f.t("repair.rods-used"), f.t("repair.start"))
}

// afterRows are cooling, waiting, testing and what to write down.
func (f *flow) afterRows(it view.Item) {
	f.heading(f.t("repair.after"))
	var rows []figure
	for _, name := range []string{"after.postheat", "after.cooling-rate", "after.hold"} {
		if fig, ok := it.Figure(name); ok {
			rows = append(rows, figure{fig.Label, f.lead(fig.Text)})
		}
	}
	f.rows(rows, 0.42)
	f.cautionsOf(it, "after")
	f.holdsOf(it, "after")
	f.blanks(3, f.t("repair.last-bead"), f.t("repair.tested"), f.t("repair.result"))
	f.blanks(1, f.t("repair.not-examined"))
	f.blanks(2, f.t("repair.next-look"), f.t("repair.signed"))
}
