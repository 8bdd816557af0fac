package web

import (
	"net/url"
	"strconv"
	"strings"

	"soundmetal/book"
)

// pageSize is how many jobs a list shows at once.
const pageSize = 20

// startView is the first page.
type startView struct {
	Query  string
	Status string
	Cards  []cardView
	Next   string // address of the next jobs; "": there are none
	Prev   string
	Demo   bool // demo jobs are shown
	Faults int
	Fresh  bool    // no job is open
	First  []offer // what a new book lacks
}

// cardView is a job in the list.
type cardView struct {
	book.Card
	Customer, Machine string
}

// About is who, what and where of a job in one line.
func (c cardView) About() string {
	return strings.Join(nonEmpty(c.Customer, c.Machine, c.Where), " · ")
}

func (r *request) start() error {
	v := r.URL.Query()
	view := startView{Query: strings.TrimSpace(v.Get("q")), Status: v.Get("status"), Faults: len(r.Book.Faults())}
	offset, _ := strconv.Atoi(v.Get("from"))
	offset = max(0, offset)
	status := book.JobOpen
	switch view.Status {
	case "closed":
		status = book.JobClosed
	case "all":
		status = ""
	default:
		view.Status = ""
		if view.Query != "" {
			status = "" // who searches means every job
		}
	}
	q := book.ListQuery{Text: view.Query, Status: status, Offset: offset}
	cards, next := r.list(q)
	for _, c := range cards {
		view.Cards = append(view.Cards, r.card(c))
		view.Demo = view.Demo || c.Demo
	}
	link := func(from int) string {
		return "/?" + url.Values{"q": {view.Query}, "status": {view.Status}, "from": {strconv.Itoa(from)}}.Encode()
	}
	if next > 0 {
		view.Next = link(next)
	}
	if offset > 0 {
		view.Prev = link(max(0, offset-pageSize))
	}
	view.Fresh = len(view.Cards) == 0 && view.Query == "" && offset == 0 && view.Status == ""
	if view.Fresh {
		view.First = r.firstThings()
	}
	return r.render("start", "Jobs", view)
}

// firstThings are what a book lacks that nobody has set up yet. None of it must
// be done before the first call.
func (r *request) firstThings() []offer {
	var all []offer
	if r.setting("welder") == "" {
		all = append(all, offer{"Your name", "It stands in the record under what you answer and pass.", "/settings", "key"})
	}
	if shop := r.reg.ShopFields(); shop["prices.hour"] == "" {
		all = append(all, offer{"Shop and prices", "Name on the papers, what an hour costs, what is on the truck. Without it there are plans, but no price and no invoice.", "/shop", "shop"})
	}
	if len(all) > 0 {
		all = append(all, offer{"Try a call", "Ten questions, every one may be left open. It gives the verdict, the load list and the text to send.", "/new", "call"})
	}
	return all
}

// list gives a page of cards and the offset of the next; 0: there is none. Demo
// jobs are left out once they were cleared.
func (r *request) list(q book.ListQuery) (cards []book.Card, next int) {
	cleared := r.setting("demo") == "cleared"
	q.Limit = pageSize + 1
	at := q.Offset
	for {
		q.Offset = at
		got, total := r.Book.List(q)
		for _, c := range got {
			if !cleared || !c.Demo {
				if len(cards) == pageSize {
					return cards, at
				}
				cards = append(cards, c)
			}
			at++
		}
		if len(got) == 0 || at >= total {
			return cards, 0
		}
	}
}

func (r *request) card(c book.Card) cardView {
	v := cardView{Card: c, Customer: c.Who, Machine: c.What}
	if p, ok := r.reg.Customer(c.Customer); ok {
		v.Customer = p.Label()
	}
	if p, ok := r.reg.Machine(c.Machine); ok {
		v.Machine = p.Label()
	}
	return v
}

// dueView is the list of looks that are due.
type dueView struct{ Late, Soon []dueRow }

type dueRow struct {
	cardView
	Look book.Due
}

// due lists the follow-up looks.
func (r *request) due() error {
	var v dueView
	cleared := r.setting("demo") == "cleared"
	q := book.ListQuery{Limit: 200}
	for {
		cards, total := r.Book.List(q)
		any := false
		for _, c := range cards {
			any = any || len(c.Due) > 0
			if cleared && c.Demo {
				continue
			}
			for _, d := range c.Due {
				if d.What != book.LookClock {
					continue
				}
				row := dueRow{r.card(c), d}
				if d.At.Before(r.now) {
					v.Late = append(v.Late, row)
				} else {
					v.Soon = append(v.Soon, row)
				}
			}
		}
		q.Offset += len(cards)
		if !any || len(cards) == 0 || q.Offset >= total {
			return r.render("due", "Looks that are due", v)
		}
	}
}
