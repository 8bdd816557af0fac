package web

import (
	"time"

	"soundmetal/book"
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
	// MoreDevs are left out of the page.
	MoreDevs int
	Agreed   *book.Logged[book.WorkAgreed]
	Work     time.Duration
}

type recordPlace struct {
	book.PlaceOf
	Beads  []book.Logged[book.Bead]
	Reads  []book.Logged[book.Reading]
	Looks  []book.Logged[book.Inspection]
	Gouges []book.Logged[book.GougeDone]
	Heats  []book.Logged[book.PostHeat]
	Chart  string     // address of the drawing
	Heat   *heatDrawn // what it shows
	More   int        // rows left out of the page
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
	if n := len(v.Devs); n > mostRows {
		v.Devs, v.MoreDevs = v.Devs[:mostRows], n-mostRows
	}
	for _, pl := range r.job.Standing() {
		rp := recordPlace{PlaceOf: pl}
		rp.Beads = of(r.job.Beads, func(b book.Bead) string { return b.Item }, pl.ID, &rp.More)
		rp.Reads = of(r.job.Readings, func(b book.Reading) string { return b.Item }, pl.ID, &rp.More)
		rp.Looks = of(r.job.Inspections, func(b book.Inspection) string { return b.Item }, pl.ID, &rp.More)
		rp.Gouges = of(r.job.Gouges, func(b book.GougeDone) string { return b.Item }, pl.ID, &rp.More)
		rp.Heats = of(r.job.PostHeats, func(b book.PostHeat) string { return b.Item }, pl.ID, &rp.More)
		c, err := r.heatChartOf(pl.ID)
		if err != nil {
			return err
		}
		if c != nil && c.Read > 1 {
			rp.Chart, rp.Heat = r.path("chart/"+pl.ID), c
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
