package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/price"
	q "soundmetal/quantity"
)

// Priced is a job with its hours and its money. Its sections read like those of
// a plan. Everything from Currency to Quote is absent or zero where no place may
// be priced.
type Priced struct {
	Version     int                 `json:"version" doc:"version of this format"`
	Units       q.System            `json:"units" doc:"system that leads in the texts: us or si"`
	Job         string              `json:"job" doc:"name of the job"`
	Customer    string              `json:"customer,omitempty" doc:"name of the customer"`
	Place       string              `json:"place,omitempty" doc:"where the work is"`
	Machine     string              `json:"machine,omitempty" doc:"what the machine is"`
	Verdict     gate.Class          `json:"verdict" doc:"worst verdict of the items: refuse, escalate, condition or go"`
	Cautions    []string            `json:"cautions" doc:"the usual cautions"`
	Items       []PricedItem        `json:"items" doc:"one entry for each damaged place, in the order of the job file"`
	Currency    price.Currency      `json:"currency,omitempty" doc:"code of the currency; absent where the shop names none"`
	Samples     int                 `json:"samples,omitempty" doc:"draws behind the shares"`
	Seed        int                 `json:"seed" doc:"seed of the draws"`
	Heat        bool                `json:"heat_simulated,omitempty" doc:"whether heating, waits and cooling are simulated, and not first estimate and usual allowance"`
	Hours       *PricedHours        `json:"hours,omitempty" doc:"hours as planned and at three shares of the draws"`
	Subtotal    *price.AmountSpread `json:"subtotal,omitempty" doc:"money before tax; absent where nothing is priced"`
	Price       *price.AmountSpread `json:"price,omitempty" doc:"money with tax; absent where nothing is priced"`
	NotToExceed *price.Amount       `json:"not_to_exceed,omitempty" doc:"the cap to quote: not more without a written yes"`
	Drivers     []price.Driver      `json:"drivers,omitempty" doc:"what drives the spread, most first"`
	Bill        *price.Bill         `json:"bill,omitempty" doc:"the lines for the damage as it is seen; with the shop's own cost"`
	Rates       []PricedRate        `json:"unit_rates,omitempty" doc:"what further work costs, before tax"`
	Allowance   []price.Contingency `json:"allowance,omitempty" doc:"the trade's allowance for hidden damage, to set beside the draws"`
	Load        []Need              `json:"load,omitempty" doc:"load list with what is on the truck taken off"`
	Quote       *price.Quote        `json:"quote,omitempty" doc:"what the customer reads"`
	Missing     []string            `json:"missing,omitempty" doc:"what is not priced, and what to fill in"`
	Handbook    *Handbook           `json:"handbook,omitempty" doc:"the handbook's figures for this job, without your own, to learn by"`
	Sections    []Section           `json:"sections" doc:"touch, price, drivers, hours, bill, rates, load, missing, quote and learn"`
	Estimate    *price.Estimated    `json:"-"` // the whole of it, for change orders
	QuoteOpen   []string            `json:"-"` // what to fill in before the quote goes out
}

// PricedItem is one damaged place and whether it is priced.
type PricedItem struct {
	Name    string     `json:"name" doc:"name of the place"`
	Verdict gate.Class `json:"verdict" doc:"refuse, escalate, condition or go"`
	Priced  bool       `json:"priced" doc:"whether it is in the price"`
	Why     []string   `json:"why,omitempty" doc:"why it is not"`
}

// PricedHours are the hours of the call.
type PricedHours struct {
	Labour  HoursSpread `json:"labour" doc:"work on site"`
	Standby HoursSpread `json:"standby" doc:"waiting on site"`
	Driving HoursSpread `json:"driving" doc:"on the road, both ways"`
	All     HoursSpread `json:"all" doc:"all together"`
	Second  q.Ratio     `json:"second_visit" doc:"share of the draws with a second visit for the final test"`
}

// HoursSpread is a time as planned and at three shares of the draws.
type HoursSpread struct {
	Planned q.Time `json:"planned" doc:"for the damage as it is seen, s"`
	P50     q.Time `json:"p50" doc:"enough in half of the draws, s"`
	P80     q.Time `json:"p80" doc:"enough in four of five, s"`
	P95     q.Time `json:"p95" doc:"enough in nineteen of twenty, s"`
}

// PricedRate is what a further piece of work costs.
type PricedRate struct {
	Item  string       `json:"item,omitempty" doc:"name of the place"`
	Text  string       `json:"text" doc:"which further work"`
	Hours q.Of[q.Time] `json:"hours" doc:"hours it takes, s"`
	Price price.Amount `json:"price" doc:"before tax, likely"`
	Low   price.Amount `json:"low" doc:"where all goes well"`
	High  price.Amount `json:"high" doc:"where all goes badly"`
}

// PriceAsk are the choices of a price; the zero PriceAsk is the usual.
type PriceAsk struct {
	Samples int            // draws; 0: the usual number
	Seed    int            // of the draws
	Fixed   bool           // a fixed price is quoted instead of an estimate
	Heat    *ThermalAnswer // simulated heat of the job; nil: first estimate and usual allowances
	Date    string
	Number  string
}

// Price gives hours and money of a job. The shop may be nil: then there are
// hours and a load list, and no money. The error is for shops whose prices cannot
// be read and for calls that are no call any more.
func Price(j job.Job, shop *job.Shop, sys q.System, ask PriceAsk) (*Priced, error) {
	if ask.Seed < 0 {
		return nil, fmt.Errorf("seed %d; give zero or more", ask.Seed)
	}
	p, planned := begin(j, shop, sys)
	a := &Priced{Version: Version, Units: sys, Job: p.Job, Customer: p.Customer, Place: p.Place, Machine: p.Machine, Verdict: p.Verdict, Cautions: cautions,
		Items: []PricedItem{}, Seed: ask.Seed, Sections: []Section{}}
	for _, it := range p.Items {
		a.Items = append(a.Items, pricedItem(it, planned, len(a.Items)))
	}
	a.add(a.touchSection())
	o := orderOf(j, shop, sys, planned)
	if len(o.places) == 0 {
		return a, nil
	}
	o.seed = uint64(ask.Seed)
	if ask.Heat != nil {
		a.Heat = o.heated(ask.Heat)
	}
	e, err := price.Estimate(o.call, o.shop, price.Options{Samples: ask.Samples, Seed: o.seed})
	if err != nil {
		return nil, err
	}
	a.take(&e)
	a.Missing = missing(e.Bill.Missing)
	if err := a.quote(j, p.Items, o, ask); err != nil {
		return nil, err
	}
	for _, s := range []Section{a.priceSection(), a.driverSection(), o.hoursSection(e.Steps, a.Heat), a.billSection(), a.rateSection(), a.loadSection(o), a.missingSection(planned), a.quoteSection(), a.learnSection(o)} {
		a.add(s)
	}
	return a, nil
}

// missing names each thing to fill in once.
func missing(all []string) []string {
	var once []string
	said := map[string]bool{}
	for _, text := range all {
		if _, why, _ := strings.Cut(text, ": "); !said[why] {
			said[why] = true
			once = append(once, text)
		}
	}
	return once
}

func (a *Priced) add(s Section) {
	if len(s.Lines) > 0 {
		a.Sections = append(a.Sections, s)
	}
}

// take copies what the estimate found.
func (a *Priced) take(e *price.Estimated) {
	spread := func(s price.Spread[q.Time]) HoursSpread { return HoursSpread(s) }
	a.Estimate = e
	a.Samples = e.Samples
	a.Hours = &PricedHours{spread(e.Labour), spread(e.Standby), spread(e.Driving), spread(e.Hours), e.SecondVisit}
	a.Drivers, a.Allowance, a.Bill, a.Currency = e.Drivers, e.Allowance, &e.Bill, e.Bill.Currency
	if !e.Price.Planned.IsZero() {
		a.Subtotal, a.Price, a.NotToExceed = &e.Subtotal, &e.Price, &e.NotToExceed
	}
	for _, r := range e.UnitRates {
		a.Rates = append(a.Rates, PricedRate{r.Item, r.Text, q.Of[q.Time]{Low: r.Hours.Low, High: r.Hours.High}, r.Price, r.Low, r.High})
	}
}

// pricedItem says whether a place is in the price, and why not.
func pricedItem(it Item, planned []*work, index int) PricedItem {
	v := PricedItem{Name: it.Name, Verdict: it.Touch.Class}
	if v.Name == "" {
		v.Name = it.Part
	}
	if !it.Planned {
		for _, f := range it.Touch.Findings {
			if f.Class == it.Touch.Class {
				v.Why = append(v.Why, strings.TrimRight(f.Title, ".")+". "+f.Why)
			}
		}
		return v
	}
	i := slices.IndexFunc(planned, func(w *work) bool { return w.index == index })
	switch w := planned[i]; {
	case w.hasWeld():
		v.Name, v.Priced = w.name(), true
	case len(w.fill.Value.Beads) > 0:
		v.Why = []string{"No heat fits what the steel can be: `soundmetal plan` says which test comes first."}
	case !w.thickness.Known:
		v.Why = []string{"The thickness is not known: measure it at the crack."}
	default:
		v.Why = []string{"No weld is planned: `soundmetal plan` says what stands against it."}
	}
	return v
}

// quote makes the customer's text. What is not priced for its verdict is named
// among the exclusions with the words of the gate, its conditions among the
// conditions.
func (a *Priced) quote(j job.Job, items []Item, o *order, ask PriceAsk) error {
	h := price.Head{Customer: j.Customer.Name, Job: a.Job, Place: j.Site.Where, Number: ask.Number, Date: ask.Date}
	t, err := price.MakeQuote(*a.Estimate, o.shop, h, ask.Fixed)
	if err != nil {
		return err
	}
	a.Quote, a.QuoteOpen = &t.Quote, missing(t.Missing)
	said := map[string]bool{}
	for i, it := range items {
		switch {
		case !it.Planned:
			a.Quote.Exclusions = append(a.Quote.Exclusions, capital(a.Items[i].Name+": not in this price. "+toCustomer(it.Touch)))
		case !a.Items[i].Priced:
			a.Quote.Exclusions = append(a.Quote.Exclusions, capital(a.Items[i].Name+": not in this price; it can be priced when it has been looked at"))
		default:
			for _, f := range it.Touch.Findings {
				if text := f.ToCustomer(); text != "" && !said[text] {
					said[text] = true
					a.Quote.Conditions = append(a.Quote.Conditions, text)
				}
			}
		}
	}
	return nil
}

// toCustomer are the reasons of a verdict in the words for the customer.
func toCustomer(v gate.Verdict) string {
	const most = 3
	var all []string
	for _, f := range v.Findings {
		if text := f.ToCustomer(); f.Class == v.Class && text != "" && !has(all, text) && len(all) < most {
			all = append(all, text)
		}
	}
	return strings.Join(all, " ")
}

// Figures gives every figure of the answer.
func (a *Priced) Figures() []Figure {
	var all []Figure
	for _, s := range a.Sections {
		for _, l := range s.Lines {
			if l.Figure != nil {
				all = append(all, *l.Figure)
			}
		}
	}
	return all
}

// Find gives a figure by its name.
func (a *Priced) Find(id string) (Figure, error) { return findFigure(a.Figures(), id) }
