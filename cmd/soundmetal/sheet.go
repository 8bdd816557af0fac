package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"soundmetal/plan"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/pdf"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/sketch"
	"soundmetal/sheet/view"
	"soundmetal/sheet/words"
)

type sheetCmd struct {
	Job           string `arg:"" help:"Job file; - reads standard input."`
	Kind          string `help:"${enum}. The drawings are written as SVG files into a folder." enum:"repair,procedure,safe,teach,quote,change,invoice,record,drawings" default:"repair"`
	Output        string `short:"o" required:"" help:"File to write, a folder for drawings; - is standard output." placeholder:"FILE"`
	Shop          string `help:"Shop file; without it, shop.yaml beside the job file is used if there is one." placeholder:"FILE"`
	Units         string `help:"System that leads: us or si." enum:"us,si," default:""`
	Paper         string `help:"letter or a4; usually by the job's country." enum:"letter,a4," default:""`
	Date          string `help:"Day on the sheet, as 2026-11-25; today if left out." placeholder:"DAY"`
	Item          int    `help:"Only this place of the job, from 1." placeholder:"N"`
	Number        string `help:"Number of the paper." placeholder:"TEXT"`
	Fixed         bool   `help:"A quote with a fixed price (4 in 5) instead of an estimate."`
	Qualification string `help:"Record that qualifies the procedure; without it the sheet says that it is not a qualified WPS." placeholder:"TEXT"`
	URL           string `help:"Address of the job's page, printed as a QR code." placeholder:"URL"`
	Lang          string `help:"Language of the sheet's own words." default:"en"`
}

// sheets are the papers that are made of a plan.
var sheets = map[string]func(paper.Source, paper.Options) (draw.Doc, error){
	"repair": paper.Repair, "procedure": paper.Procedure, "safe": paper.MakeSafe, "teach": paper.Teaching,
	"quote": paper.QuoteForm, "change": paper.ChangeForm, "invoice": paper.InvoiceForm, "record": paper.RecordForm,
}

func (c *sheetCmd) Run(to *console) error {
	o, err := c.options()
	if err != nil {
		return errBadInput{err}
	}
	j, shop, err := load(c.Job, c.Shop)
	if err != nil {
		return err
	}
	p, err := plan.Make(j, shop, system(c.Units, j))
	if err != nil {
		return err
	}
	s := paper.Source{Plan: p, Job: j, Shop: shop}
	if c.Kind == "drawings" {
		return c.drawings(to, s, o)
	}
	d, err := c.make(to, s, o)
	if err != nil {
		return errBadInput{err}
	}
	data, err := pdf.Bytes(d)
	if err != nil {
		return err
	}
	if c.Output == "-" {
		_, err = to.out.Write(data)
		return err
	}
	if err := os.WriteFile(c.Output, data, 0o644); err != nil {
		return errBadInput{fmt.Errorf("%s cannot be written: %w; name a file in a folder that is there", c.Output, err)}
	}
	fmt.Fprintf(to.err, "wrote %s, %d pages\n", c.Output, len(d.Pages))
	return nil
}

// make makes the sheet. A quote has its amounts where the job can be priced; else
// it is a form to fill in by hand.
func (c *sheetCmd) make(to *console, s paper.Source, o paper.Options) (draw.Doc, error) {
	if c.Kind != "quote" || s.Shop == nil {
		return sheets[c.Kind](s, o)
	}
	a, err := plan.Price(s.Job, s.Shop, s.Plan.Units, plan.PriceAsk{Fixed: c.Fixed, Number: c.Number, Date: o.Date.Format(time.DateOnly)})
	if err != nil {
		return draw.Doc{}, err
	}
	if a.Quote == nil || a.Price == nil {
		fmt.Fprintln(to.err, "nothing of this job is priced: the quote is a form to fill in; `soundmetal price` says why")
		return paper.QuoteForm(s, o)
	}
	for _, open := range a.QuoteOpen {
		fmt.Fprintln(to.err, "before it goes out:", open)
	}
	return paper.PricedQuote(s, *a.Quote, o)
}

func (c *sheetCmd) options() (paper.Options, error) {
	o := paper.Options{URL: c.URL, Item: c.Item, Number: c.Number, Qualification: c.Qualification}
	switch c.Paper {
	case "letter":
		o.Size = paper.Letter
	case "a4":
		o.Size = paper.A4
	}
	var err error
	if o.Words, err = words.In(c.Lang); err != nil {
		return o, err
	}
	if c.Date == "" {
		now := time.Now()
		o.Date = time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
		return o, nil
	}
	if o.Date, err = time.Parse(time.DateOnly, c.Date); err != nil {
		return o, fmt.Errorf("--date %q is no day; write it as 2026-11-25", c.Date)
	}
	return o, nil
}

// drawings writes each drawing of each place as an SVG file.
func (c *sheetCmd) drawings(to *console, s paper.Source, o paper.Options) error {
	items, err := view.Items(s.Plan, s.Job)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Output, 0o755); err != nil {
		return errBadInput{fmt.Errorf("cannot make the folder %s: %w; name another", c.Output, err)}
	}
	for _, it := range items {
		if o.Item != 0 && o.Item != it.Number {
			continue
		}
		d, err := it.Draw(sketch.Frame{Width: sketch.PageWidth, High: sketch.PageWidth * 0.7, Words: o.Words})
		if err != nil {
			return err
		}
		for _, one := range d.All() {
			name := fmt.Sprintf("%s-%d-%s.svg", strings.TrimSuffix(filepath.Base(c.Job), filepath.Ext(c.Job)), it.Number, one.Name)
			path := filepath.Join(c.Output, name)
			if err := os.WriteFile(path, []byte(draw.SVG(one.Drawing, one.Name)), 0o644); err != nil {
				return errBadInput{fmt.Errorf("%s cannot be written: %w", path, err)}
			}
			fmt.Fprintln(to.err, "wrote", path)
		}
	}
	return nil
}
