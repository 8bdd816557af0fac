package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"soundmetal/book"
	"soundmetal/job"
)

// Same as last job: a call for a known machine or customer takes over what was
// known then. What is damaged, what hangs on the day and what people's safety
// hangs on is asked anew. Each fact says where it is from and can be changed.

// Facts that are taken over, by whose they are.
var (
	ofMachine = []string{"machine.kind", "machine.model", "machine.serial", "machine.year", "machine.hours_per_week", "machine.lifts_people", "machine.hangs_load", "machine.on_road",
		"machine.electronics", "machine.hybrid", "machine.hydraulics", "machine.accumulator", "machine.tyres", "machine.coldest", "machine.like"}
	ofCustomer = []string{"customer.name", "customer.phone", "customer.address", "site.where", "site.country", "site.signal", "site.rules", "site.distance", "site.drive_time"}
	ofPart     = []string{"part", "role", "shape", "thickness", "thickness2", "width", "access", "behind", "coating", "steel.grade", "steel.grade_by", "steel.family", "steel.magnet", "steel.file",
		"steel.spark", "steel.chip", "steel.hardness", "steel.cut_edge", "steel.surface", "steel.wear_part", "steel.yield", "steel.t27j"}
)

// offer is something a call can begin with.
type offer struct{ Text, Small, Link, Icon string }

// known is what a call begins with: a machine, a customer, a part of it.
type known struct {
	Machine, Customer, Part string // ids; the part is job.place
	facts                   map[string]fromJob
	Offers                  []offer // machines and customers that may be meant
	Parts                   []offer // parts that were repaired on the machine
	From                    []offer // jobs that something is taken over from
	Search                  string
}

// fromJob is a fact with the job that it is from; the name is that of its field.
type fromJob struct {
	text  string
	job   *book.Job
	units job.Units
}

// mostOffered are shown of a list of offers.
const mostOffered = 4

// known reads what the address or the form names.
func (r *request) known(v url.Values) (known, error) {
	k := known{Machine: v.Get("t.machine"), Customer: v.Get("t.customer"), Part: v.Get("t.part"), Search: strings.TrimSpace(v.Get("who")), facts: map[string]fromJob{}}
	var jobs []book.Card
	if k.Machine != "" {
		p, ok := r.reg.Machine(k.Machine)
		if !ok {
			return k, missing("there is no such machine in this book")
		}
		if k.Customer == "" {
			k.Customer = p.Get("customer")
		}
		jobs = r.Book.OnMachine(k.Machine)
		if err := r.take(&k, last(jobs), "j.", ofMachine); err != nil {
			return k, err
		}
		r.party(&k, "j.machine.", p, "kind", "model", "serial", "year")
		for _, c := range jobs {
			if err := r.parts(&k, c.ID); err != nil {
				return k, err
			}
		}
		if k.Customer == "" && len(jobs) > 0 {
			k.Customer = last(jobs).Customer
		}
	}
	if k.Customer != "" {
		p, ok := r.reg.Customer(k.Customer)
		if !ok {
			return k, missing("there is no such customer in this book")
		}
		cards, _ := r.Book.List(book.ListQuery{Customer: k.Customer, Limit: 100})
		if err := r.take(&k, last(cards), "j.", ofCustomer); err != nil {
			return k, err
		}
		r.party(&k, "c.", p, "name", "phone")
		r.party(&k, "j.customer.", p, "address")
		for _, name := range []string{"name", "phone"} { // the phone screen asks them under these names
			delete(k.facts, "j.customer."+name)
		}
		if k.Machine == "" {
			for _, m := range r.reg.Machines() {
				if m.Get("customer") == k.Customer && len(k.Offers) < mostOffered {
					k.Offers = append(k.Offers, offer{capital(m.Label()), "", k.link("t.machine", m.ID), "machine"})
				}
			}
		}
	}
	if id, item, ok := strings.Cut(k.Part, "."); ok {
		j, err := r.Book.Job(r.Context(), id)
		if err != nil {
			return k, err
		}
		it, ok := j.Facts.Item(item)
		if !ok {
			return k, missing("that job has no such place")
		}
		k.takeFrom(j, it.Set, "i.", ofPart)
	}
	if k.Machine == "" && k.Customer == "" {
		r.offers(&k)
	}
	return k, nil
}

// last is the job that was opened last, but for the demo once it is cleared.
func last(cards []book.Card) *book.Card {
	var at *book.Card
	for i := range cards {
		if at == nil || cards[i].Opened.After(at.Opened) {
			at = &cards[i]
		}
	}
	return at
}

func (r *request) take(k *known, c *book.Card, prefix string, paths []string) error {
	if c == nil {
		return nil
	}
	j, err := r.Book.Job(r.Context(), c.ID)
	if err != nil {
		return err
	}
	k.takeFrom(j, j.Facts.Set, prefix, paths)
	return nil
}

func (k *known) takeFrom(j *book.Job, set map[string]string, prefix string, paths []string) {
	took := false
	for _, path := range paths {
		text := set[path]
		for i := 0; set[rowOf(path, i)] != ""; i++ {
			text = strings.Join(nonEmpty(text, set[rowOf(path, i)]), ", ")
		}
		if text != "" {
			k.facts[prefix+path], took = fromJob{text, j, j.Units}, true
		}
	}
	if took && !slices.ContainsFunc(k.From, func(o offer) bool { return o.Link == "/jobs/"+j.ID }) {
		k.From = append(k.From, offer{Text: capital(j.Name), Link: "/jobs/" + j.ID})
	}
}

// party lets the register of machines and customers say what it knows: it may
// have been changed since the job.
func (r *request) party(k *known, prefix string, p book.Party, names ...string) {
	for _, n := range names {
		if text := p.Get(n); text != "" && k.facts[prefix+n].text != text {
			k.facts[prefix+n] = fromJob{text: text}
		}
	}
}

// parts offers the parts that a job was about, each once.
func (r *request) parts(k *known, id string) error {
	j, err := r.Book.Job(r.Context(), id)
	if err != nil {
		return err
	}
	for _, it := range j.Facts.Items {
		part := it.Set["part"]
		if part == "" || len(k.Parts) == mostOffered || slices.ContainsFunc(k.Parts, func(o offer) bool { return strings.EqualFold(o.Text, part) }) {
			continue
		}
		k.Parts = append(k.Parts, offer{capital(part), capital(j.Name) + ", " + r.clock(j.Opened), k.link("t.part", j.ID+"."+it.ID), "crack"})
	}
	return nil
}

// link is the phone screen with one thing more that is known.
func (k *known) link(name, value string) string {
	v := url.Values{}
	for _, have := range [][2]string{{"t.machine", k.Machine}, {"t.customer", k.Customer}, {"t.part", k.Part}} {
		if have[1] != "" {
			v.Set(have[0], have[1])
		}
	}
	v.Set(name, value)
	return "/new?" + v.Encode()
}

// offers are the machines of the latest jobs, or what the words find.
func (r *request) offers(k *known) {
	cleared := r.setting("demo") == "cleared"
	seen := map[string]bool{}
	add := func(id, path, text, small, icon string) {
		if id != "" && !seen[id] && len(k.Offers) < 2*mostOffered {
			seen[id] = true
			k.Offers = append(k.Offers, offer{capital(text), small, k.link(path, id), icon})
		}
	}
	n := mostOffered
	if k.Search != "" {
		n = 40
		words := strings.Fields(strings.ToLower(k.Search))
		found := func(p book.Party) bool {
			all := ""
			for _, s := range p.Set {
				all += strings.ToLower(s) + " "
			}
			return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(all, w) })
		}
		for _, p := range r.reg.Machines() {
			if found(p) {
				add(p.ID, "t.machine", p.Label(), "", "machine")
			}
		}
		for _, p := range r.reg.Customers() {
			if found(p) {
				add(p.ID, "t.customer", p.Label(), "", "person")
			}
		}
	}
	cards, _ := r.Book.List(book.ListQuery{Text: k.Search, Limit: 100})
	slices.SortStableFunc(cards, func(a, b book.Card) int { return b.Opened.Compare(a.Opened) })
	for _, c := range cards {
		if n == 0 || cleared && c.Demo {
			continue
		}
		if m, ok := r.reg.Machine(c.Machine); ok && !seen[m.ID] {
			add(m.ID, "t.machine", m.Label(), strings.Join(nonEmpty(c.Who, capital(c.Name)+", "+r.clock(c.Opened)), ": "), "machine")
			n--
		}
	}
}

// takeOver puts what is known into the form, each with the job it is from, and
// asks for what the phone screen does not ask but was known.
func (r *request) takeOver(f *Form, k known) {
	asked := map[string]bool{}
	for i := range f.Fields {
		fd := &f.Fields[i]
		asked[fd.Name] = true
		if t, ok := k.facts[fd.Name]; ok {
			*fd = r.takenField(*fd, t)
		}
		if fd.Name == "units" && len(k.From) > 0 {
			for _, t := range k.facts {
				if t.job != nil {
					fd.Value = string(t.units)
				}
			}
		}
	}
	var more []Field
	for _, group := range []struct {
		prefix string
		paths  []string
	}{{"j.", ofMachine}, {"j.", ofCustomer}, {"i.", ofPart}} {
		for _, path := range group.paths {
			name := group.prefix + path
			if t, ok := k.facts[name]; ok && !asked[name] {
				more = append(more, r.takenField(factField(name), t))
			}
		}
	}
	if len(more) > 0 {
		f.Fields = append(f.Fields, heading("Also known from then", "Change what is no longer so."))
		f.Fields = append(f.Fields, more...)
	}
	for _, id := range [][2]string{{"t.machine", k.Machine}, {"t.customer", k.Customer}, {"t.part", k.Part}} {
		if id[1] != "" {
			f.Fields = append(f.Fields, hidden(id[0], id[1]))
		}
	}
}

// takenField fills a field and says where it is from.
func (r *request) takenField(f Field, t fromJob) Field {
	f = f.is(t.text)
	if f.Kind == kindTicks {
		f = f.ticked(t.text)
	}
	from := "Taken over from the register."
	if t.job != nil {
		from = fmt.Sprintf("Taken over from %s, %s.", t.job.Name, r.day(t.job))
	}
	f.Hint = strings.TrimSpace(from + " " + f.Hint)
	return f
}

func (r *request) day(j *book.Job) string { return j.Opened.In(r.now.Location()).Format("2 Jan 2006") }

// takenInto says in the command what was taken over and not changed. A bare
// number is in the units of its own job: with other units it is asked again.
func (k *known) takenInto(c *book.NewJob, v values) error {
	by := map[string][2][]string{}
	for name, t := range k.facts {
		if t.job == nil || factValue(v.Values[name]) != t.text {
			continue
		}
		if kind, ok := factKindOf(name); ok && kind.value && t.units != c.Units && strings.Trim(t.text, "0123456789.,/- ") == "" {
			return wrong(name, fmt.Sprintf("%s was taken over as a bare number from a job in other units; write its unit", t.text))
		}
		paths := by[t.job.ID]
		i := 0
		if strings.HasPrefix(name, "i.") {
			i = 1
		}
		paths[i] = append(paths[i], name[2:])
		by[t.job.ID] = paths
	}
	for id, paths := range by {
		for i, to := range []*[]book.Taken{&c.Taken, &c.TakenPart} {
			if len(paths[i]) > 0 {
				slices.Sort(paths[i])
				*to = append(*to, book.Taken{Job: id, Paths: paths[i]})
			}
		}
	}
	for _, all := range [][]book.Taken{c.Taken, c.TakenPart} {
		slices.SortFunc(all, func(a, b book.Taken) int { return strings.Compare(a.Job, b.Job) })
	}
	return nil
}

// parties says whose job it is: the one that was taken over, where its name or
// serial number was left as it is.
func (k *known) parties(c *book.NewJob, v values, reg *book.Registry) {
	same := func(p book.Party, prefix string, names ...string) bool {
		for _, n := range names {
			if v.text(prefix+n) != p.Get(n) {
				return false
			}
		}
		return true
	}
	if p, ok := reg.Customer(k.Customer); ok && same(p, "c.", "name") {
		c.Customer = p.ID
		if t := v.text("c.phone"); t != "" {
			c.Set["customer.phone"] = t
		}
	}
	if p, ok := reg.Machine(k.Machine); ok && same(p, "j.machine.", "kind", "serial") {
		c.Machine = p.ID
	}
}
