package paper

import (
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/font"
)

// RecordLog is what a job book knows of the whole job, besides the places.
type RecordLog struct {
	Status      string   // open: the record is not finished; or closed, by whom and when
	Plan        string   // which one the figures are held against
	Opened      string   // when
	Worked      string   // hours
	Done        string   // what was repaired, in words
	Answers     []Answer // what the customer agreed to or refused
	Overridden  []string // hold points passed without their answer, with name and reason
	Unanswered  []string // hold points that nobody answered
	Answered    []string // hold points answered, with when and by whom
	Rods        []string // tins and packets, with their time in the air
	Deviations  []Deviation
	Tests       []Test
	Readings    []Reading
	Photos      []Photo
	NoPhoto     []string // photos that are not printed, and why
	Notes       []string
	Corrections []string
	Closed      bool
	NotExamined []string
	Limits      []string // how it may work
	NextLook    []string
	LeftOut     []string
}

// Answer is what a customer said to the work or to a change of it.
type Answer struct {
	To      string // what he was asked
	Says    string // name, yes or no, how and when
	Strokes Strokes
}

// Strokes is a drawn signature: lines of points in thousandths of its frame's width.
type Strokes [][][2]int

// GougeRow is a side of the groove as it was taken out.
type GougeRow struct{ When, Side, Length, Depth, Carbons, Note string }

// BeadRow is a bead as it was laid.
type BeadRow struct{ Bead, When, Rods, Length, PerRod, Amps, Note string }

// logHead prints what comes before the places.
func (f *flow) logHead(l *RecordLog) {
	var rows []figure
	for _, r := range []figure{{f.t("record.status"), l.Status}, {f.t("record.plan"), l.Plan}, {f.t("record.opened"), l.Opened}, {f.t("record.worked"), l.Worked}} {
		if r.text != "" {
			rows = append(rows, r)
		}
	}
	f.rows(rows, 0.3)
	f.field("record.repaired", l.Done, false, 0)
	if len(l.Answers) > 0 {
		f.heading(f.t("record.work"))
		for _, a := range l.Answers {
			f.answer(a)
		}
	}
	f.list("record.rods", l.Rods, false, 0)
}

// answer prints what was asked, what was said, and the drawn signature.
func (f *flow) answer(a Answer) {
	f.keep(func() {
		f.para(a.To, style{bold: true})
		f.para(a.Says, style{after: 0.5})
		f.signature(a.Strokes)
	})
}

// signature draws a signature in a frame; nothing where none was drawn.
func (f *flow) signature(s Strokes) {
	const wide, share = 62.0, 0.4 // the frame of the pages is two fifths as high as it is wide
	drawn := false
	frame := &draw.Drawing{W: wide, H: wide * share, Title: f.t("change.signed")}
	frame.Add(draw.Rect(0, 0, wide, wide*share, draw.Hair, draw.White))
	for _, line := range s {
		var pts []draw.Pt
		for _, p := range line { // what lies outside is held at the frame
			pts = append(pts, draw.At(min(max(float64(p[0])/1000, 0), 1)*wide, min(max(float64(p[1])/1000, 0), share)*wide))
		}
		if len(pts) > 1 {
			frame.Add(draw.Poly{Pts: pts, Pen: draw.Normal})
			drawn = true
		}
	}
	if !drawn {
		return
	}
	f.add(draw.Place{D: frame, At: draw.At(f.x, f.y+0.5)})
	f.y += frame.H + 2
}

// logTail prints what comes after the places.
func (f *flow) logTail(l *RecordLog) error {
	if len(l.Deviations)+len(l.Tests)+len(l.Readings) > 0 {
		f.heading(f.t("record.other"))
		f.readings(l.Readings, false)
		f.deviations("record.deviations", l.Deviations, false)
		f.tests(l.Tests, false)
	}
	if len(l.Overridden)+len(l.Unanswered)+len(l.Answered) > 0 {
		f.heading(f.t("record.holds"))
		f.points("record.overridden", l.Overridden)
		f.points("record.open-holds", l.Unanswered)
		f.points("record.answered", l.Answered)
	}
	if err := f.photos(l.Photos); err != nil {
		return err
	}
	f.points("record.no-photo", l.NoPhoto)
	f.list("invoice.notes", l.Notes, false, 0)
	if len(l.Corrections) > 0 {
		f.heading(f.t("record.corrections"))
		f.para(f.t("record.corrections-text"), style{size: smallSize + 0.4, after: 1})
		f.bullets(l.Corrections)
	}
	f.list("record.left-out", l.LeftOut, false, 0)
	// these three are never left out: an empty list says that it is empty
	not, limits, looks := l.NotExamined, l.Limits, l.NextLook
	switch {
	case !l.Closed:
		not = append(not, f.t("record.open-text"))
	default:
		if len(limits) == 0 {
			limits = []string{f.t("record.limits-none")}
		}
		if len(looks) == 0 {
			looks = []string{f.t("record.looks-none")}
		}
	}
	f.list("record.not-examined", not, true, 2)
	f.list("record.limits", limits, false, 0)
	f.list("record.next-look", looks, false, 0)
	return nil
}

// points is a small heading with points under it.
func (f *flow) points(key string, all []string) {
	if len(all) == 0 {
		return
	}
	f.space(1)
	f.need(14)
	f.para(f.t(key), style{bold: true, after: 0.5})
	f.bullets(all)
}

func (f *flow) bullets(all []string) {
	for _, p := range all {
		size := f.size(smallSize + 0.4)
		f.need(draw.LineHeight(size))
		f.add(draw.Circle(draw.At(f.x+1.4, f.y+draw.LineHeight(size)*0.55), 0.5, draw.Pen{}, draw.Black))
		f.para(p, style{size: smallSize + 0.4, indent: 4.5, after: 0.6})
	}
}

func (f *flow) gouges(all []GougeRow) {
	table(f, "record.gouges", all, false, 0, f.columnsOf("record.when", 4, "record.side", 1.4, "record.length", 4, "record.depth", 4, "record.carbons", 1.8, "record.note", 4),
		func(g GougeRow) []string { return []string{g.When, g.Side, g.Length, g.Depth, g.Carbons, g.Note} })
}

func (f *flow) beads(all []BeadRow) {
	table(f, "record.beads", all, false, 0, f.columnsOf("procedure.bead", 1.5, "record.ended", 3.6, "record.bead-rods", 1.4, "record.length", 3.6, "record.per-rod", 3.6, "record.amps", 1.8, "record.note", 4),
		func(b BeadRow) []string { return []string{b.Bead, b.When, b.Rods, b.Length, b.PerRod, b.Amps, b.Note} })
}

func (f *flow) readings(all []Reading, form bool) {
	table(f, "record.readings", all, form, 8, []column{{name: f.t("record.when"), share: 3}, {name: f.t("procedure.bead"), share: 2}, {name: f.t("record.where"), share: 4}, {name: f.t("record.value"), share: 3, bold: true}, {name: f.t("record.within"), share: 3}},
		func(r Reading) []string { return []string{r.When, r.Bead, r.Where, r.Value, r.Within} })
}

func (f *flow) tests(all []Test, form bool) {
	table(f, "record.tests", all, form, 3, []column{{name: f.t("record.method"), share: 3}, {name: f.t("record.when"), share: 3}, {name: f.t("record.by"), share: 3}, {name: f.t("repair.result"), share: 3, bold: true}},
		func(t Test) []string { return []string{t.Method, t.When, t.By, t.Result} })
}

func (f *flow) deviations(key string, all []Deviation, form bool) {
	for _, d := range all {
		if d.Done == "" {
			continue
		}
		table(f, key, all, false, 0, []column{{name: f.t("record.what"), share: 5}, {name: f.t("record.causes"), share: 4}, {name: f.t("record.put-right"), share: 4, bold: true}},
			func(d Deviation) []string { return []string{d.What, d.Why, d.Done} })
		return
	}
	table(f, key, all, form, 3, []column{{name: f.t("record.what"), share: 4}, {name: f.t("record.why"), share: 4}, {name: f.t("record.agreed"), share: 3}},
		func(d Deviation) []string { return []string{d.What, d.Why, d.Agreed} })
}

// columnsOf makes columns of keys and shares.
func (f *flow) columnsOf(of ...any) []column {
	var all []column
	for i := 0; i+1 < len(of); i += 2 {
		c := column{name: f.t(of[i].(string))}
		switch s := of[i+1].(type) {
		case int:
			c.share = float64(s)
		case float64:
			c.share = s
		}
		all = append(all, c)
	}
	return all
}

// chart sets the logged heat with its heading.
func (f *flow) chart(d *draw.Drawing) {
	if d == nil {
		return
	}
	f.space(1)
	f.need(min(d.H*min(1, f.w/d.W), f.bottom()-headRoom-10) + 8)
	f.para(f.t("record.chart"), style{bold: true, after: 0.5})
	f.drawing(d)
}

// standing prints which plan a sheet is of, where it is not the one in force.
func (f *flow) standing() {
	if f.Standing == "" {
		return
	}
	size := f.size(headingSize)
	lines := wrap(f.Standing, size, true, f.w-4)
	h := float64(len(lines))*draw.LineHeight(size) + 2.4
	f.add(draw.Rect(f.x, f.y, f.w, h, draw.Thick, draw.White))
	for i, l := range lines {
		f.add(draw.Text{At: draw.At(f.x+2, f.y+1.2+float64(i+1)*draw.LineHeight(size)-size*0.32), S: font.Isolate(l), Size: size, Bold: true})
	}
	f.y += h + 1.5
}
