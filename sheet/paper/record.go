package paper

import (
	"bytes"
	"fmt"
	"image"
	_ "image/jpeg" // photos come as JPEG or PNG
	_ "image/png"

	"soundmetal/sheet/draw"
)

// Record is the repair record: what was planned, what was done and read, what
// differs, what was not examined, and when to look again.
type Record struct {
	Heads
	Serial string // of the machine
	Hours  string // on the meter
	Items  []RecordItem
	Signed string
	Log    *RecordLog // what a job book adds that holds for the whole job; nil: none keeps it
}

// RecordItem is one damaged place.
type RecordItem struct {
	Name        string
	Drawings    []*draw.Drawing
	Rows        []RecordRow
	Gouges      []GougeRow
	Beads       []BeadRow
	PostHeats   []string
	Readings    []Reading
	Chart       *draw.Drawing // heat logged against the planned window
	Deviations  []Deviation
	Tests       []Test
	Photos      []Photo
	NotExamined []string
	NextLook    []string
	LeftOut     []string // what is too many to print, and where it stands
}

// RecordRow is a figure as planned and as done.
type RecordRow struct{ What, Planned, Done string }

// Reading is one reading in the log.
type Reading struct{ When, Bead, Where, Value, Within string }

// Deviation is what was done otherwise than planned. Done is what was done about
// it; where one of a list has it, the list is headed by it.
type Deviation struct{ What, Why, Agreed, Done string }

// Test is a crack test with its outcome.
type Test struct{ Method, When, By, Result string }

// Photo is a picture with its caption, JPEG or PNG.
type Photo struct {
	Data    []byte
	Caption string
}

// RecordPaper prints a repair record.
func RecordPaper(r Record, o Options) (draw.Doc, error) {
	f := moneyFlow(o, r.Heads, "record.title", 1)
	var rows []figure
	for _, x := range []figure{{f.t("record.serial"), r.Serial}, {f.t("record.hours"), r.Hours}} {
		if x.text != "" || r.Form {
			rows = append(rows, x)
		}
	}
	f.rows(rows, 0.3)
	if r.Log != nil {
		f.logHead(r.Log)
	}
	for _, it := range r.Items {
		if err := f.recordItem(it, r.Form, r.Log != nil); err != nil {
			return draw.Doc{}, err
		}
	}
	if r.Log != nil {
		if err := f.logTail(r.Log); err != nil {
			return draw.Doc{}, err
		}
	}
	f.keep(func() {
		f.heading(f.t("record.sign"))
		f.para(f.t("record.sign-text"), style{after: 1})
		if r.Signed != "" {
			f.para(r.Signed, style{bold: true})
		}
		f.blanks(2, f.t("repair.signed"), f.t("safe.when"), f.t("record.received"), f.t("money.signature-day"))
	})
	return f.finish(f.t("record.caution")), nil
}

// recordItem prints a damaged place. Where a job book is kept, what was not
// examined and the next looks are said once for the whole job.
func (f *flow) recordItem(it RecordItem, form, logged bool) error {
	if len(it.Drawings) > 0 && it.Drawings[0] != nil { // a name by itself at the foot of a page names nothing
		d := it.Drawings[0]
		f.need(d.H*min(1, f.w/d.W) + 14)
	}
	f.mark(it.Name)
	f.heading(it.Name)
	for _, d := range it.Drawings {
		f.drawing(d)
	}
	table(f, "", it.Rows, form, 0, []column{{name: f.t("record.what"), share: 4}, {name: f.t("record.planned"), share: 4}, {name: f.t("record.done"), share: 4, bold: true}},
		func(r RecordRow) []string { return []string{r.What, r.Planned, r.Done} })
	f.gouges(it.Gouges)
	f.beads(it.Beads)
	f.points("record.postheats", it.PostHeats)
	f.readings(it.Readings, form)
	f.chart(it.Chart)
	f.deviations("record.deviations", it.Deviations, form)
	f.tests(it.Tests, form)
	if err := f.photos(it.Photos); err != nil {
		return err
	}
	f.points("record.left-out", it.LeftOut)
	if logged {
		return nil
	}
	// what was not looked at is never left out: an empty list is said to be empty
	f.list("record.not-examined", it.NotExamined, true, 3)
	f.list("record.next-look", it.NextLook, true, 2)
	return nil
}

// table prints rows under a heading; on a form, empty rows to write in.
func table[T any](f *flow, key string, rows []T, form bool, blank int, cols []column, cells func(T) []string) {
	if len(rows) == 0 && (!form || blank == 0) {
		return
	}
	if key != "" {
		f.space(1)
		f.need(20)
		f.para(f.t(key), style{bold: true, after: 0.5})
	}
	var all [][]string
	for _, r := range rows {
		all = append(all, cells(r))
	}
	if len(rows) == 0 {
		for range blank {
			all = append(all, make([]string, len(cols)))
		}
	}
	f.grid(cols, all, form)
}

// grid is a table with lines between the columns; on a form its rows are high
// enough to write in.
func (f *flow) grid(cols []column, rows [][]string, form bool) {
	for i := range rows {
		if last := len(rows[i]) - 1; form && rows[i][last] == "" {
			rows[i][last] = "\n" // two lines high
		}
	}
	f.tableOf(cols, rows, smallSize+0.4, true)
}

// photos sets pictures two in a row with their captions.
func (f *flow) photos(all []Photo) error {
	if len(all) == 0 {
		return nil
	}
	const gap, highest = 5.0, 78.0
	f.need(highest + 20)
	f.space(1)
	f.para(f.t("record.photos"), style{bold: true, after: 0.5})
	w := (f.w - gap) / 2
	size := f.size(smallSize)
	for i := 0; i < len(all); i += 2 {
		row := all[i:min(i+2, len(all))]
		h, words := 0.0, 0.0
		shapes := make([]draw.Image, len(row))
		for k, p := range row {
			c, _, err := image.DecodeConfig(bytes.NewReader(p.Data))
			if err != nil || c.Width == 0 || c.Height == 0 {
				return fmt.Errorf("photo %d (%s) cannot be read; give a JPEG or PNG picture", i+k+1, cutTo(p.Caption, 1, 30))
			}
			scale := min(w/float64(c.Width), highest/float64(c.Height))
			shapes[k] = draw.Image{W: float64(c.Width) * scale, H: float64(c.Height) * scale, Data: p.Data, Desc: p.Caption}
			h = max(h, shapes[k].H)
			words = max(words, float64(len(wrap(p.Caption, size, false, w)))*draw.LineHeight(size))
		}
		f.need(h + words + 3)
		for k, p := range row {
			x := f.x + float64(k)*(w+gap)
			shapes[k].At = draw.At(x, f.y)
			f.add(shapes[k])
			for n, line := range wrap(p.Caption, size, false, w) {
				f.add(draw.Text{At: draw.At(x, f.y+h+float64(n+1)*draw.LineHeight(size)), S: line, Size: size})
			}
		}
		f.y += h + words + 3
	}
	return nil
}
