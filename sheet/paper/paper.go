// Package paper lays out the sheets that go on the truck and to the customer:
// repair sheet, procedure sheet, make-safe and hot-work sheet, teaching sheet,
// quote, change order, invoice and repair record.
//
// A sheet is made of pages in the drawing model of package draw; package draw/pdf
// writes them as a PDF. Nothing here reads a clock or a file: the date is passed
// in, and the same input gives the same pages.
package paper

import (
	"time"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/words"
)

// Size is a size of paper, mm.
type Size struct {
	Name string
	W, H float64
}

// The two sizes of paper.
var (
	Letter = Size{"letter", 215.9, 279.4}
	A4     = Size{"a4", 210, 297}
)

// SizeFor is the paper that is usual where the job is; where the country is not
// known it follows the leading system.
func SizeFor(country string, sys q.System) Size {
	switch country {
	case "US", "CA", "MX", "CL", "CO", "CR", "PH", "us", "ca", "mx", "cl", "co", "cr", "ph":
		return Letter
	case "":
		if sys == q.US {
			return Letter
		}
	}
	return A4
}

// Options are what a sheet needs besides its contents.
type Options struct {
	Size          Size
	Units         q.System // leads; a plan's sheets follow the plan
	Words         *words.Book
	Date          time.Time // printed and kept in the file
	URL           string    // of the job's page; empty: no QR code
	Qualification string    // record that qualifies the procedure; empty: labelled as not qualified
	Number        string    // of the paper, in his own counting
	Standing      string    // of a plan that is not in force, printed at the head of every page: "Plan 1, replaced"
	Item          int       // only this place of the job, from 1; 0: all
}

func (o Options) filled() Options {
	if o.Size.W == 0 {
		o.Size = A4
		if o.Units == q.US {
			o.Size = Letter
		}
	}
	if o.Words == nil {
		o.Words = words.English()
	}
	return o
}

// Source is a plan with the job and the shop it was made from.
type Source struct {
	Plan *plan.Plan
	Job  job.Job
	Shop *job.Shop // nil where nothing is known of it
}

// date prints a day in the order of the leading system's country.
func (o Options) date() string {
	if o.Date.IsZero() {
		return ""
	}
	if o.Units == q.US {
		return o.Date.Format("Jan 2, 2006")
	}
	return o.Date.Format("2006-01-02")
}
