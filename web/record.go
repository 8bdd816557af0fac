package web

import (
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

// recordView is the repair record: for the customer, the site, the insurer.
type recordView struct {
	Plan    *planned
	Version *book.PlanVersion
	Places  []recordPlace
	Shop    string
	Closed  *book.Logged[book.Closed]
	Photos  []book.Logged[book.Photo]
	Devs    []book.Deviation
	Agreed  *book.Logged[book.WorkAgreed]
	Work    time.Duration
}

type recordPlace struct {
	book.PlaceOf
	Beads    []book.Logged[book.Bead]
	Reads    []book.Logged[book.Reading]
	Looks    []book.Logged[book.Inspection]
	Gouges   []book.Logged[book.GougeDone]
	Heats    []book.Logged[book.PostHeat]
	Chart    string
	ChartAlt string
	More     int // rows left out of the page
}

// mostRows are shown of each table of the record; the log has all.
const mostRows = 200

func (r *request) record() error {
	p, err := r.plan()
	if err != nil {
		return err
	}
	v := recordView{Plan: p, Version: r.job.Plan(), Shop: r.reg.ShopFields()["shop"], Closed: r.job.Closing(), Devs: r.job.Deviations, Work: r.job.Hours(book.WorkClock, r.now)}
	if p != nil && p.shop != nil && p.shop.Name != "" {
		v.Shop = p.shop.Name // a job that was handed over was not planned by this shop
	}
	if n := len(r.job.Agreed); n > 0 {
		v.Agreed = &r.job.Agreed[n-1]
	}
	for _, pl := range r.job.Standing() {
		rp := recordPlace{PlaceOf: pl}
		rp.Beads = of(r.job.Beads, func(b book.Bead) string { return b.Item }, pl.ID, &rp.More)
		rp.Reads = of(r.job.Readings, func(b book.Reading) string { return b.Item }, pl.ID, &rp.More)
		rp.Looks = of(r.job.Inspections, func(b book.Inspection) string { return b.Item }, pl.ID, &rp.More)
		rp.Gouges = of(r.job.Gouges, func(b book.GougeDone) string { return b.Item }, pl.ID, &rp.More)
		rp.Heats = of(r.job.PostHeats, func(b book.PostHeat) string { return b.Item }, pl.ID, &rp.More)
		if d := r.chartOf(pl.ID); d != nil {
			rp.Chart, rp.ChartAlt = r.path("chart/"+pl.ID), d.Title+". "+d.Desc
		}
		v.Places = append(v.Places, rp)
	}
	for _, ph := range r.job.Photos {
		if !ph.Void {
			v.Photos = append(v.Photos, ph)
		}
	}
	return r.render("record", "Repair record", v)
}

func of[T any](all []book.Logged[T], item func(T) string, id string, more *int) []book.Logged[T] {
	var kept []book.Logged[T]
	for _, l := range all {
		if l.Void || item(l.Is) != id {
			continue
		}
		if len(kept) == mostRows {
			*more++
			continue
		}
		kept = append(kept, l)
	}
	return kept
}

// chartOf draws it for a page.
func (r *request) chartOf(item string) *draw.Drawing {
	return heatChart(r.job, item, r.system(), sketch.Frame{Width: sketch.PhoneWidth, High: 60})
}

// heatChart draws the logged heat of a place against the plan's window and beads;
// nil below two readings.
func heatChart(j *book.Job, item string, sys q.System, f sketch.Frame) *draw.Drawing {
	read := sketch.Series{Name: "read"}
	var first time.Time
	for _, rd := range j.Readings {
		if rd.Void || rd.Is.Item != item {
			continue
		}
		t := q.Temperature(0)
		switch {
		case rd.Is.Temp != nil:
			t = rd.Is.Temp.SI
		case rd.Is.Crayon != nil && rd.Is.Crayon.Melted:
			t = rd.Is.Crayon.At.SI
		default:
			continue
		}
		if first.IsZero() || rd.At.Before(first) {
			first = rd.At
		}
		read.Points = append(read.Points, sketch.ChartPoint{At: q.Time(rd.At.Unix()), T: t})
	}
	if len(read.Points) < 2 {
		return nil
	}
	if n := len(read.Points); n > mostRows {
		read.Points = read.Points[n-mostRows:]
		first = time.Unix(int64(read.Points[0].At), 0)
	}
	c := sketch.Chart{Units: sys}
	for i := range read.Points {
		read.Points[i].At -= q.Time(first.Unix())
	}
	last := read.Points[len(read.Points)-1].At
	c.Series = []sketch.Series{read}
	for _, b := range j.Beads {
		at := b.Is.Ended
		if b.Is.Begun != nil {
			at = *b.Is.Begun
		}
		if s := q.Time(at.Unix() - first.Unix()); !b.Void && b.Is.Item == item && s >= 0 && s <= last && len(c.Beads) < 40 {
			c.Beads = append(c.Beads, sketch.BeadMark{At: s, Label: strconv.Itoa(b.Is.Number)})
		}
	}
	if l, ok := j.Limits(item); ok {
		if l.Floor != nil {
			c.Floor = q.Known(*l.Floor)
		}
		if l.Ceiling != nil {
			c.Ceiling = q.Known(*l.Ceiling)
		}
	}
	return sketch.DrawChart(c, f)
}

// chart serves it by itself.
func (r *request) chart() error {
	id, _ := strings.CutSuffix(r.PathValue("item"), ".svg")
	d := r.chartOf(id)
	if d == nil {
		return missing("fewer than two readings are logged here: there is no chart yet")
	}
	h := r.w.Header()
	h.Set("Content-Type", "image/svg+xml; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; sandbox")
	r.w.Write([]byte(draw.SVG(d, "chart")))
	return nil
}
