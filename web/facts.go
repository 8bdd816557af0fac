package web

import (
	"fmt"
	"strings"

	"soundmetal/book"
)

// factGroup is a group of facts on one page.
type factGroup struct {
	ID, Title, Icon string
	Prefix          []string // paths that begin so
}

var jobGroups = []factGroup{
	{"site", "Site and weather", "look", []string{"site."}},
	{"machine", "Machine", "machine", []string{"machine."}},
	{"customer", "Customer and what he wants", "person", []string{"customer.", "wanted.", "job", "made"}},
}

// itemGroups are the groups of a place; what fits none comes first.
var itemGroups = []struct{ prefix, title string }{
	{"", "The part"}, {"crack.", "The crack"}, {"steel.", "What points to the steel"}, {"history.", "What was done here before"}, {"cause.", "What may tell why it cracked"},
}

// groupForm builds the form of a group of facts with what is known.
func (r *request) groupForm(id string) (Form, map[string]string, error) {
	for _, g := range jobGroups {
		if g.ID != id {
			continue
		}
		f := Form{Title: g.Title, Icon: g.Icon, Submit: "Save and plan again", Back: r.path("facts"), Action: r.path("facts/" + id), Lead: factLead}
		known := map[string]string{}
		for _, prefix := range g.Prefix {
			for _, path := range jobPaths() {
				if path == prefix || strings.HasSuffix(prefix, ".") && strings.HasPrefix(path, prefix) {
					f.know(known, "j."+path, r.job.Facts.Set)
					r.saysFrom(&f, r.job.Facts.Taken, path)
				}
			}
		}
		return f, known, nil
	}
	it, ok := r.job.Facts.Item(id)
	if !ok {
		return Form{}, nil, missing("this job has no such place")
	}
	p, _ := r.job.Place(id)
	f := Form{Title: capital(p.Name), Icon: "crack", Submit: "Save and plan again", Back: r.path("facts"), Action: r.path("facts/" + id), Lead: factLead}
	known := map[string]string{}
	for _, g := range itemGroups {
		f.Fields = append(f.Fields, heading(g.title, ""))
		for _, path := range itemPaths() {
			head := ""
			if i := strings.Index(path, "."); i >= 0 {
				head = path[:i+1]
			}
			if head == g.prefix {
				f.know(known, "i."+path, it.Set)
				r.saysFrom(&f, it.Taken, path)
			}
		}
	}
	return f, known, nil
}

// know adds the field of a fact with what is known of it. A list may be kept as
// one text or row by row.
func (f *Form) know(known map[string]string, name string, set map[string]string) {
	path := name[2:]
	value := set[path]
	for i := 0; set[rowOf(path, i)] != ""; i++ {
		value = strings.Join(nonEmpty(value, set[rowOf(path, i)]), ", ")
	}
	known[name] = value
	fd := factField(name).is(value)
	if fd.Kind == kindTicks {
		fd = fd.ticked(value)
	}
	f.Fields = append(f.Fields, fd)
}

// saysFrom says at the last field which job its fact was taken over from.
func (r *request) saysFrom(f *Form, taken map[string]book.Taken, path string) {
	if t, ok := taken[path]; ok {
		fd := &f.Fields[len(f.Fields)-1]
		fd.Hint = strings.TrimSpace(fmt.Sprintf("Taken over from %s, %s. %s", t.Name, t.When.In(r.now.Location()).Format("2 Jan 2006"), fd.Hint))
	}
}

func rowOf(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }

const factLead = "Leave open what is not known: nothing is guessed. Every change makes a new plan; the old one stays readable."

type factsView struct {
	Groups []factGroup
	Narrow []narrowing
}

type narrowing struct{ Item, Ask, How, Save string }

func (r *request) facts() error {
	v := factsView{Groups: jobGroups}
	p, err := r.plan()
	if err != nil {
		return err
	}
	if p != nil {
		for _, n := range p.plan.Narrow {
			v.Narrow = append(v.Narrow, narrowing(n))
		}
	}
	return r.render("facts", "What is known", v)
}

func (r *request) factForm() error {
	f, _, err := r.groupForm(r.PathValue("group"))
	if err != nil {
		return err
	}
	return r.showForm(statusOK, f)
}

func (r *request) saveFacts() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	id := r.PathValue("group")
	_, known, err := r.groupForm(id)
	if err != nil {
		return err
	}
	c := book.SetFacts{Job: r.job.ID, Set: map[string]string{}}
	item := book.ItemSet{ID: id, Set: map[string]string{}}
	for name, old := range known {
		vs, sent := v.Values[name]
		kind, _ := factKindOf(name)
		now := factValue(vs)
		if !sent && !kind.many || now == old {
			continue // an untouched radio button or a field the page did not show
		}
		set, was := c.Set, r.job.Facts.Set
		if strings.HasPrefix(name, "i.") {
			it, _ := r.job.Facts.Item(id)
			set, was = item.Set, it.Set
		}
		set[name[2:]] = now
		for i := 0; was[rowOf(name[2:], i)] != ""; i++ {
			set[rowOf(name[2:], i)] = ""
		}
	}
	if len(item.Set) > 0 {
		c.Items = []book.ItemSet{item}
	}
	if len(c.Set) == 0 && len(c.Items) == 0 {
		return r.goTo(r.path("facts"))
	}
	res, err := r.Book.Do(r.Context(), r.now, v.Get("key"), c)
	if err == nil {
		j, err := r.Book.Job(r.Context(), r.job.ID)
		if err != nil {
			return err
		}
		if j.OpenChange() != nil { // the new plan waits with it
			return r.goTo(r.path("change"))
		}
		return r.goTo(r.did(res))
	}
	return r.again(action{form: func(r *request) (Form, error) { f, _, err := r.groupForm(id); return f, err }}, v, err)
}

func factKindOf(name string) (factKind, bool) {
	all := jobFacts()
	if strings.HasPrefix(name, "i.") {
		all = itemFacts()
	}
	k, ok := all[name[2:]]
	return k, ok
}

func newPlaceForm(r *request) (Form, error) {
	return Form{Title: "One more place", Icon: "plus", Submit: "Add the place", Lead: "Before the work is agreed. Later it is found more.", Fields: []Field{
		text("i.name", "Name of the place").must(), ask("i.part", "Which part?").must(), ask("i.thickness", "Thickness there"), ask("i.crack.length", "Crack length"),
		ask("i.shape", "Shape").only("plate", "box", "tube", "channel", "i-section", "solid", "casting")}}, nil
}

func newPlaceCommand(r *request, v values) (book.Command, error) {
	set := map[string]string{}
	for name, vs := range v.Values {
		if kept := factValue(vs); strings.HasPrefix(name, "i.") && kept != "" {
			set[name[2:]] = kept
		}
	}
	if set["name"] == "" {
		return nil, wrong("i.name", "give the place a name")
	}
	return book.SetFacts{Job: r.job.ID, Items: []book.ItemSet{{Set: set}}}, nil
}

func dropPlaceForm(r *request) (Form, error) {
	p, ok := r.job.Place(r.FormValue("item"))
	if !ok {
		return Form{}, missing("this job has no such place")
	}
	return Form{Title: "Leave a place out", Icon: "no", Lead: capital(p.Name), Submit: "Leave it out", Warn: []string{"It is no longer to be repaired in this job; it stays in the book."},
		Fields: []Field{hidden("item", p.ID), text("why", "Why?").must()}}, nil
}

func dropPlaceCommand(r *request, v values) (book.Command, error) {
	return book.SetFacts{Job: r.job.ID, Drop: []string{v.text("item")}, Why: v.text("why")}, nil
}
