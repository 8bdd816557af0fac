package book

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// FoundMore logs damage that the plan does not know: a longer crack at a place,
// or a place of its own. It makes the new plan and the difference, and proposes
// the change to the customer; until he has answered, the old plan holds and the
// work at the place stands still.
type FoundMore struct {
	Job  string
	Item string            // the place; "" where New, or where the job has one
	New  bool              // a place of its own
	Set  map[string]string // its facts as found: crack.length, crack.depth, ...
	Text string            // what was found, for the customer
}

func (c FoundMore) about() string { return c.Job }

func (c FoundMore) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	what, err := text("text", "say what was found", c.Text)
	if err != nil {
		return err
	}
	if d.job.Plan() == nil {
		return refuse(CodeState, "", "there is no plan yet that this could change: set the facts of the job")
	}
	if len(c.Set) == 0 {
		return refuse(CodeField, "set", "say what was found in measures: crack.length or crack.depth at least")
	}
	item, name := c.Item, c.Set["name"]
	undo := FactsSet{}
	if c.New {
		item = d.newID("i")
		undo.Drop = []string{item}
	} else {
		p, err := d.item(item)
		if err != nil {
			return err
		}
		item, name = p.ID, p.Name
		old, _ := d.job.Facts.Item(item)
		back := map[string]string{}
		for path := range c.Set {
			back[path] = old.Set[path]
		}
		undo.Items = []ItemSet{{item, back}}
	}
	w := &waiting{item: item, place: item, why: what, undo: undo, name: name, isNew: c.New}
	if open := d.job.OpenChange(); open != nil { // one question to the customer, not two
		w.id, w.why, w.undo = open.ID, open.Why+"; "+what, both(open.Undo, undo)
		if open.Item != item {
			w.item = ""
		}
	} else {
		w.id = d.newID("o")
	}
	if err := d.log(KindDamage, DamageFound{Item: item, New: c.New, Text: what, Change: w.id}); err != nil {
		return err
	}
	return setFacts(d, d.job.ID, &d.job.Facts, FactsSet{Items: []ItemSet{{item, c.Set}}, Why: what}, w)
}

// both joins what two changes would take back; of one field the older value counts.
func both(first, second FactsSet) FactsSet {
	out := FactsSet{Items: slices.Clone(first.Items), Drop: append(slices.Clone(first.Drop), second.Drop...)}
	for _, it := range second.Items {
		i := slices.IndexFunc(out.Items, func(o ItemSet) bool { return o.ID == it.ID })
		switch {
		case slices.Contains(first.Drop, it.ID): // it goes as a whole
		case i < 0:
			out.Items = append(out.Items, it)
		default:
			set := maps.Clone(it.Set)
			maps.Copy(set, out.Items[i].Set)
			out.Items[i].Set = set
		}
	}
	return out
}

// waiting is a plan that waits for the customer.
type waiting struct {
	id, item, why string
	undo          FactsSet
	place         string // where damage was just found
	now           Facts  // with all that was found
	name          string
	isNew         bool
}

// log adds the plan and the proposal.
func (w *waiting) log(d *desk, m *made, why string) error {
	if err := m.log(d, d.job.ID, w.id, why); err != nil {
		return err
	}
	from := d.job.Plan()
	before := from.Limits
	if before.Price == nil && m.limits.Price != nil { // the shop had no prices then
		before.Price = w.priceBefore(d)
	}
	diff := difference(&before, &m.limits)
	words := w.words(d)
	for _, it := range m.limits.Items {
		if !it.Planned {
			words = append(words, fmt.Sprintf("%s may not be welded: the verdict is %s", it.Name, it.Verdict))
		}
	}
	diff.Text = append(words, diff.Text...)
	return d.log(KindProposed, ChangeProposed{ID: w.id, From: from.ID, To: m.id, Item: w.item, Why: w.why, Difference: diff, Undo: w.undo})
}

// words say what is found otherwise than the plan in force has it, all that one
// question to the customer covers.
func (w *waiting) words(d *desk) []string {
	var words []string
	for _, id := range w.undo.Drop {
		if w.isNew && id == w.place {
			words = append(words, "one more place: "+strings.TrimPrefix(w.name+": "+w.why, ": "))
		} else if it, ok := w.now.Item(id); ok {
			words = append(words, strings.TrimSuffix("one more place: "+it.Set["name"], ": "))
		}
	}
	for _, back := range w.undo.Items {
		now, _ := w.now.Item(back.ID)
		for _, path := range slices.Sorted(maps.Keys(back.Set)) {
			was, is := back.Set[path], now.Set[path]
			if was == is {
				continue
			}
			if was == "" {
				was = "not known"
			}
			label := strings.NewReplacer(".", " ", "_", " ").Replace(path)
			name := w.name
			if p, ok := d.job.Place(back.ID); ok {
				name = p.Name
			}
			words = append(words, fmt.Sprintf("%s: %s: %s instead of %s", name, label, is, was))
		}
	}
	return words
}

// priceBefore prices the work as it was agreed with the shop's prices of now; nil
// where it cannot be priced.
func (w *waiting) priceBefore(d *desk) *Money {
	facts := d.job.Facts.with(w.undo)
	if m, err := d.plan(&facts); err == nil && m != nil {
		return m.limits.Price
	}
	return nil
}

// AgreeWork logs the customer's yes to the plan in force and its price.
type AgreeWork struct {
	Job   string
	Price string // as it was shown to him
	Yes
}

func (c AgreeWork) about() string { return c.Job }

func (c AgreeWork) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	p := d.job.Plan()
	if p == nil {
		return refuse(CodeState, "", "there is no plan yet that the customer could agree to")
	}
	if err := c.check(d); err != nil {
		return err
	}
	price, err := optional("price", c.Price)
	if err != nil {
		return err
	}
	return d.log(KindAgreed, WorkAgreed{Plan: p.ID, Price: price, Yes: c.Yes})
}

const (
	maxStrokes = 200  // lines of a signature
	maxPoints  = 8000 // points of all its lines
)

// check makes sure that a yes names who gave it and how.
func (y *Yes) check(d *desk) error {
	var err error
	if y.Name, err = text("name", "type the name of the customer who agrees", y.Name); err != nil {
		return err
	}
	if err := one("how", y.How, Signed, ByPhone, ByMessage); err != nil {
		return err
	}
	points := 0
	for _, line := range y.Strokes {
		points += len(line)
		for _, p := range line {
			if p[0] < -1000 || p[0] > 2000 || p[1] < -1000 || p[1] > 2000 {
				return refuse(CodeField, "signature", "the drawing is out of its frame")
			}
		}
	}
	switch {
	case len(y.Strokes) > maxStrokes || points > maxPoints:
		return refuse(CodeField, "signature", "the drawing is too large: up to %d lines and %d points are accepted", maxStrokes, maxPoints)
	case y.How == Signed && points < 2:
		return refuse(CodeField, "signature", "the signature is missing: let him draw it, or say that he agreed by phone or message")
	}
	y.When, err = d.at("when", y.When)
	return err
}

// AcceptChange logs the customer's yes to a change; the new plan is in force.
type AcceptChange struct {
	Job    string
	Change string // id; "" where one is open
	Yes
}

func (c AcceptChange) about() string { return c.Job }

func (c AcceptChange) decide(d *desk) error {
	open, err := d.change(c.Change)
	if err != nil {
		return err
	}
	if err := c.check(d); err != nil {
		return err
	}
	return d.log(KindAccepted, ChangeAccepted{open.ID, c.Yes})
}

// change finds a change that waits for the customer.
func (d *desk) change(id string) (*Change, error) {
	if err := d.isOpen(); err != nil {
		return nil, err
	}
	open := d.job.OpenChange()
	if id != "" {
		c := d.job.Change(id)
		switch {
		case c == nil:
			return nil, refuse(CodeUnknown, "change", "this job has no change %q", clipped(id))
		case c.State != ChangeOpen:
			return nil, refuse(CodeState, "change", "change %d is already %s", c.Number, c.State)
		}
		open = c
	}
	if open == nil {
		return nil, refuse(CodeState, "change", "no change waits for the customer")
	}
	return open, nil
}

// RefuseChange logs the customer's no: the old plan stays in force, and what was
// found stands in the record as not repaired.
type RefuseChange struct {
	Job    string
	Change string
	Name   string
	Reason string
	When   time.Time
}

func (c RefuseChange) about() string { return c.Job }

func (c RefuseChange) decide(d *desk) error {
	open, err := d.change(c.Change)
	if err != nil {
		return err
	}
	name, err := text("name", "type the name of the customer who refuses", c.Name)
	if err != nil {
		return err
	}
	reason, err := optional("reason", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	if err := d.log(KindRefused, ChangeRefused{open.ID, name, reason, when}); err != nil {
		return err
	}
	undo := open.Undo
	undo.Why = fmt.Sprintf("change %d was refused", open.Number)
	return setFacts(d, d.job.ID, &d.job.Facts, undo, nil)
}
