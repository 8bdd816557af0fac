package web

import (
	"errors"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"

	"soundmetal/book"
)

// Shop, settings, customers and machines.

var shopFields = []Field{
	text("shop", "Name on the paper"), text("address", "Address on the paper"), text("phone", "Phone on the paper").mode("tel"),
	chips("units", "Units of bare numbers", Choice{"si", "mm and °C", ""}, Choice{"us", "inches and °F", ""}),
	heading("Prices", "Your own numbers; nothing is built in."),
	text("prices.currency", "Currency, three letters").hint("EUR, USD, ..."),
	text("prices.hour", "Labour for an hour").mode("decimal"), text("prices.call_out", "Call-out").mode("decimal"), text("prices.minimum_hours", "Least hours charged").mode("decimal"),
	text("prices.travel", "For a km or mile, both ways counted").mode("decimal"), text("prices.travel_hour", "For an hour of driving").mode("decimal"),
	text("prices.standby_hour", "For an hour of standing by").mode("decimal"), text("prices.tax", "Tax in %").mode("decimal"),
	heading("On the truck", "Machines, rods, carbons and bottles are in the shop file."),
	chips("rod_oven", "Rod oven or heated quiver?", yesNo...), chips("tests.pt", "Dye kit?", yesNo...), chips("tests.mt", "Magnetic yoke?", yesNo...),
	chips("measure.contact", "Contact thermometer?", yesNo...), chips("measure.ir", "Infrared gun?", yesNo...),
}

func shopForm(r *request) (Form, error) {
	f := Form{Title: "Shop", Icon: "shop", Submit: "Save the shop", Action: "/shop"}
	set := r.reg.ShopFields()
	for _, fd := range shopFields {
		f.Fields = append(f.Fields, fd.is(set[fd.Name]))
	}
	if r.URL.Query().Get("saved") != "" {
		f.Facts = []string{"Saved " + r.Where + "."}
	}
	return f, nil
}

func shopCommand(r *request, v values) (book.Command, error) {
	set, old := map[string]string{}, r.reg.ShopFields()
	for _, fd := range shopFields {
		if fd.Name == "" || v.Values[fd.Name] == nil {
			continue
		}
		if now := factValue(v.Values[fd.Name]); now != old[fd.Name] {
			set[fd.Name] = now
		}
	}
	if len(set) == 0 {
		return nil, &book.Refusal{Code: book.CodeField, Text: "nothing was changed"}
	}
	return book.SetShop{Set: set}, nil
}

// shopText writes the shop's fields as the YAML file they stand for.
func shopText(set map[string]string) string {
	tree := map[string]any{}
	for path, text := range set {
		at := any(tree)
		keys := strings.FieldsFunc(strings.NewReplacer("[", ".[", "]", "").Replace(path), func(c rune) bool { return c == '.' })
		for i, k := range keys {
			m := at.(map[string]any)
			if i == len(keys)-1 {
				m[k] = text
				break
			}
			next, ok := m[k].(map[string]any)
			if !ok {
				next = map[string]any{}
				m[k] = next
			}
			at = next
		}
	}
	data, err := yaml.Marshal(ordered(tree))
	if err != nil {
		return ""
	}
	return string(data)
}

// ordered turns maps of row numbers into lists, and keeps the others in order.
func ordered(v any) any {
	m, ok := v.(map[string]any)
	if !ok {
		return v
	}
	keys := slices.Sorted(maps.Keys(m))
	if len(keys) > 0 && strings.HasPrefix(keys[0], "[") {
		sort.Slice(keys, func(i, j int) bool { return rowNumber(keys[i]) < rowNumber(keys[j]) })
		var list []any
		for _, k := range keys {
			list = append(list, ordered(m[k]))
		}
		return list
	}
	var out yaml.MapSlice
	for _, k := range keys {
		out = append(out, yaml.MapItem{Key: k, Value: ordered(m[k])})
	}
	return out
}

func rowNumber(key string) int { n, _ := strconv.Atoi(strings.TrimPrefix(key, "[")); return n }

func (r *request) shopFileForm() Form {
	return Form{Title: "Shop file", Icon: "shop", Submit: "Save the file", Action: "/shop/file", Back: "/shop",
		Lead:   "The whole kit and all prices as one text, in the form of docs/job-format.md. What you take out here is taken out of the book.",
		Fields: []Field{area("file", "Shop file").is(shopText(r.reg.ShopFields())).must()}}
}

func (r *request) shopFile() error { return r.showForm(statusOK, r.shopFileForm()) }

func (r *request) saveShopFile() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	set, err := book.FieldsOfShop("shop file", []byte(v.Get("file")))
	if err == nil {
		old := r.reg.ShopFields()
		change := map[string]string{}
		for path, text := range set {
			if old[path] != text {
				change[path] = text
			}
		}
		for path := range old {
			if _, ok := set[path]; !ok {
				change[path] = ""
			}
		}
		if len(change) == 0 {
			return r.goTo("/shop")
		}
		if _, err = r.Book.Do(r.Context(), r.now, v.Get("key"), book.SetShop{Set: change}); err == nil {
			return r.goTo("/shop?saved=1")
		}
	}
	var no *book.Refusal
	if !errors.As(err, &no) {
		return err
	}
	f := r.shopFileForm()
	f.fill(v.Values)
	f.refuse(&book.Refusal{Code: no.Code, Field: "file", Text: strings.Join(nonEmpty(no.Field, no.Text), ": ")})
	return r.showForm(statusUnprocessableEntity, f)
}

func settingsForm(r *request) (Form, error) {
	f := Form{Title: "Settings", Icon: "key", Submit: "Save", Action: "/settings", Fields: []Field{
		text("welder", "Your name, as it stands in the record"),
		chips("hand", "Thumb that reaches the buttons", Choice{"right", "Right", "hand"}, Choice{"left", "Left", "hand"}),
		chips("explain", "Show the working to an apprentice", yesNo[:2]...),
		chips("night", "Dark for the night", yesNo[:2]...),
		chips("photo_place", "Keep where a photo was taken", yesNo[:2]...),
		chips("demo", "Demo jobs", Choice{"shown", "Shown", "look"}, Choice{"cleared", "Cleared away", "done"}),
	}}
	for i := range f.Fields {
		f.Fields[i].Value = r.setting(f.Fields[i].Name)
	}
	if r.URL.Query().Get("saved") != "" {
		f.Facts = []string{"Saved " + r.Where + "."}
	}
	return f, nil
}

func settingsCommand(r *request, v values) (book.Command, error) {
	set := map[string]string{}
	for _, name := range []string{"welder", "hand", "explain", "night", "photo_place", "demo"} {
		if s := v.text(name); v.Values[name] != nil && s != r.setting(name) {
			set[name] = s
		}
	}
	if len(set) == 0 {
		return nil, &book.Refusal{Code: book.CodeField, Text: "nothing was changed"}
	}
	return book.SetSettings{Set: set}, nil
}

func clearDemoForm(r *request) (Form, error) {
	return Form{Title: "Clear the demo jobs away", Icon: "done", Submit: "Clear them away", Lead: "They are shown no longer. Your own jobs stay as they are."}, nil
}

// --- customers and machines

type partiesView struct {
	Parties []partyRow
	Machine bool
}

type partyRow struct {
	book.Party
	Jobs  int
	Again bool
}

func (r *request) machines() error {
	v := partiesView{Machine: true}
	for _, p := range r.reg.Machines() {
		n := len(r.Book.OnMachine(p.ID))
		v.Parties = append(v.Parties, partyRow{p, n, n > 1})
	}
	return r.render("parties", "Machines", v)
}

func (r *request) customers() error {
	v := partiesView{}
	for _, p := range r.reg.Customers() {
		_, n := r.Book.List(book.ListQuery{Customer: p.ID, Limit: 1})
		v.Parties = append(v.Parties, partyRow{Party: p, Jobs: n})
	}
	return r.render("parties", "Customers", v)
}

type partyView struct {
	Party   book.Party
	Jobs    []cardView
	Machine bool
	More    bool
	Owner   book.Party
}

func (r *request) machine() error {
	p, ok := r.reg.Machine(r.PathValue("id"))
	if !ok {
		return missing("there is no such machine in this book")
	}
	v := partyView{Party: p, Machine: true}
	v.Owner, _ = r.reg.Customer(p.Get("customer"))
	for _, c := range r.Book.OnMachine(p.ID) {
		v.Jobs = append(v.Jobs, r.card(c))
	}
	return r.render("party", p.Label(), v)
}

func (r *request) customer() error {
	p, ok := r.reg.Customer(r.PathValue("id"))
	if !ok {
		return missing("there is no such customer in this book")
	}
	v := partyView{Party: p}
	cards, total := r.Book.List(book.ListQuery{Customer: p.ID, Limit: 100})
	for _, c := range cards {
		v.Jobs = append(v.Jobs, r.card(c))
	}
	v.More = total > len(cards)
	return r.render("party", p.Label(), v)
}

func fieldsOf(p book.Party, fs ...Field) []Field {
	for i := range fs {
		if v := p.Get(fs[i].Name); v != "" {
			fs[i].Value = v
		}
	}
	return fs
}

func customerForm(r *request) (Form, error) {
	p, _ := r.reg.Customer(r.FormValue("id"))
	return Form{Title: "Customer", Icon: "person", Submit: "Save", Back: "/customers", Fields: append(fieldsOf(p,
		text("name", "Name").must(), text("phone", "Phone").mode("tel"), text("address", "Address"), area("note", "Remark")), hidden("id", p.ID))}, nil
}

func customerCommand(r *request, v values) (book.Command, error) {
	id := v.text("id")
	if _, ok := r.reg.Customer(id); id != "" && !ok {
		return nil, missing("there is no such customer in this book")
	}
	return book.SetCustomer{ID: id, Set: changed(v, "name", "phone", "address", "note")}, nil
}

func partyForm(r *request) (Form, error) {
	p, _ := r.reg.Machine(r.FormValue("id"))
	owner := chips("customer", "Whose is it?")
	if all := r.reg.Customers(); len(all) <= 12 {
		for _, c := range all {
			owner.Choices = append(owner.Choices, Choice{c.ID, c.Label(), "person"})
		}
	}
	fs := []Field{text("kind", "Machine, in your words").must(), text("model", "Maker and model, as on the plate"), text("serial", "Serial number"), text("year", "Year built").mode("numeric"), text("name", "What you call it"), area("note", "Remark")}
	if len(owner.Choices) > 0 {
		fs = append(fs, owner)
	}
	return Form{Title: "Machine", Icon: "machine", Submit: "Save", Back: "/machines", Fields: append(fieldsOf(p, fs...), hidden("id", p.ID))}, nil
}

func partyCommand(r *request, v values) (book.Command, error) {
	id := v.text("id")
	if _, ok := r.reg.Machine(id); id != "" && !ok {
		return nil, missing("there is no such machine in this book")
	}
	if owner := v.text("customer"); owner != "" {
		if _, ok := r.reg.Customer(owner); !ok {
			return nil, wrong("customer", "there is no such customer in this book")
		}
	}
	return book.SetMachine{ID: id, Set: changed(v, "kind", "model", "serial", "year", "name", "note", "customer")}, nil
}

func changed(v values, names ...string) map[string]string {
	set := map[string]string{}
	for _, n := range names {
		if v.Values[n] != nil {
			set[n] = v.text(n)
		}
	}
	return set
}
