package power

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Machines as bodies and contacts, for the way of the return current.
//
// resistances.csv holds the usual resistance of each kind of contact (from
// memory and judgement: orders of magnitude). machines.csv, bodies.csv and
// contacts.csv hold simple machines of our own drawing, to start from: the
// welder looks at the real one. Places are in hundredths of the machine's
// length and height, from its front foot.

//go:embed resistances.csv
var resistancesCSV string

//go:embed machines.csv
var machinesCSV string

//go:embed bodies.csv
var bodiesCSV string

//go:embed contacts.csv
var contactsCSV string

// Guard says what a contact is that must not carry welding current; empty: it may.
type Guard string

// Kind is a kind of contact with its usual resistance.
type Kind struct {
	ID    string
	Name  string
	R     q.Of[q.Resistance] // meaningless where it is always open
	Open  bool               // never conducts: plastic, rubber
	Maybe bool               // may be open: oil film, seal, a braid cut back
	Guard Guard
	Ref   source.Ref
}

// Body is one part of a machine that conducts as a whole.
type Body struct {
	ID    string  `json:"id"`
	Name  string  `json:"name"`
	X     float64 `json:"x"`     // hundredths of the length, front to back
	Y     float64 `json:"y"`     // hundredths of the height, from the ground
	Handy bool    `json:"handy"` // people do put the clamp there: it is in reach and bare
}

// Contact joins two bodies.
type Contact struct {
	A    string `json:"a"`
	B    string `json:"b"`
	Kind string `json:"kind"` // row of resistances.csv
	Name string `json:"name"`
	// R overrides the kind's resistance where it was measured.
	R q.Maybe[q.Of[q.Resistance]] `json:"r"`
}

// Network is a machine as bodies and contacts.
type Network struct {
	ID       string    `json:"id"`
	Title    string    `json:"title"`
	Bodies   []Body    `json:"bodies"`
	Contacts []Contact `json:"contacts"`
}

var (
	resistances = mustResistances(resistancesCSV)
	machines    = mustMachines(machinesCSV, bodiesCSV, contactsCSV)
)

func mustResistances(text string) map[string]Kind {
	all := map[string]Kind{}
	for _, r := range source.Table("resistances.csv", text) {
		k := Kind{ID: r.Text("kind"), Name: r.Text("name"), Guard: Guard(r.Text("guard")), Ref: r.Ref(),
			Open: r.Text("open") == "yes", Maybe: r.Text("open") == "maybe"}
		if !k.Open {
			k.R = q.Of[q.Resistance]{Low: q.Resistance(r.Num("low_mohm")) * q.Milliohm, High: q.Resistance(r.Num("high_mohm")) * q.Milliohm}
			if k.R.Low <= 0 || k.R.High < k.R.Low {
				r.Fail("low_mohm", "not a range above nothing")
			}
		}
		all[k.ID] = k
	}
	return all
}

func mustMachines(text, bodies, contacts string) []Network {
	var all []Network
	find := func(r source.Row) *Network {
		i := slices.IndexFunc(all, func(n Network) bool { return n.ID == r.Text("machine") })
		if i < 0 {
			r.Fail("machine", "not in machines.csv")
		}
		return &all[i]
	}
	for _, r := range source.Table("machines.csv", text) {
		r.Ref()
		all = append(all, Network{ID: r.Text("machine"), Title: r.Text("title")})
	}
	for _, r := range source.Table("bodies.csv", bodies) {
		r.Ref()
		n := find(r)
		n.Bodies = append(n.Bodies, Body{r.Text("id"), r.Text("name"), r.Num("x"), r.Num("y"), r.Yes("handy")})
	}
	for _, r := range source.Table("contacts.csv", contacts) {
		r.Ref()
		n := find(r)
		n.Contacts = append(n.Contacts, Contact{A: r.Text("a"), B: r.Text("b"), Kind: r.Text("kind"), Name: r.Text("name")})
	}
	for _, n := range all {
		if err := n.check(); err != nil {
			panic("power: contacts.csv: " + err.Error())
		}
	}
	return all
}

// Kinds gives the kinds of contact by name.
func Kinds() []Kind {
	var all []Kind
	for _, k := range resistances {
		all = append(all, k)
	}
	slices.SortFunc(all, func(a, b Kind) int { return strings.Compare(a.ID, b.ID) })
	return all
}

// Machines gives the machines of our own drawing.
func Machines() []Network {
	all := make([]Network, len(machines))
	for i, n := range machines {
		n.Bodies, n.Contacts = slices.Clone(n.Bodies), slices.Clone(n.Contacts)
		all[i] = n
	}
	return all
}

// Machine finds one by its id.
func Machine(id string) (Network, error) {
	var ids []string
	for _, n := range Machines() {
		if n.ID == id {
			return n, nil
		}
		ids = append(ids, n.ID)
	}
	return Network{}, fmt.Errorf("no machine %q is drawn; accepted: %s", id, strings.Join(ids, ", "))
}

// Body finds a body by its id.
func (n Network) Body(id string) (Body, bool) {
	i := slices.IndexFunc(n.Bodies, func(b Body) bool { return b.ID == id })
	if i < 0 {
		return Body{}, false
	}
	return n.Bodies[i], true
}

func (n Network) bodyError(id string) error {
	var ids []string
	for _, b := range n.Bodies {
		ids = append(ids, b.ID)
	}
	return fmt.Errorf("body %q is not part of the machine; accepted: %s", id, strings.Join(ids, ", "))
}

func (n Network) check() error {
	seen := map[string]bool{}
	for _, b := range n.Bodies {
		if b.ID == "" || seen[b.ID] {
			return fmt.Errorf("%s: body %q has no name or stands twice", n.ID, b.ID)
		}
		seen[b.ID] = true
	}
	for _, c := range n.Contacts {
		for _, id := range []string{c.A, c.B} {
			if !seen[id] {
				return fmt.Errorf("%s: contact %q: %w", n.ID, c.Name, n.bodyError(id))
			}
		}
		if c.A == c.B {
			return fmt.Errorf("%s: contact %q joins %s to itself", n.ID, c.Name, c.A)
		}
		if _, ok := resistances[c.Kind]; !ok {
			return fmt.Errorf("%s: contact %q: kind %q is not in the table", n.ID, c.Name, c.Kind)
		}
		if c.R.Known && !(c.R.V.Low >= leastOhms && c.R.V.High <= mostOhms && c.R.V.Low <= c.R.V.High) {
			return fmt.Errorf("%s: contact %q: resistance %g to %g ohm: give a range above nothing, from low to high", n.ID, c.Name, float64(c.R.V.Low), float64(c.R.V.High))
		}
	}
	return nil
}

// range and openness of a contact
func (c Contact) spread() (r q.Of[q.Resistance], open, maybe bool) {
	if c.R.Known {
		return c.R.V, false, false
	}
	k := resistances[c.Kind]
	return k.R, k.Open, k.Maybe
}

// Guarded says what the contact is that must not carry current; empty: it may.
func (c Contact) Guarded() Guard { return resistances[c.Kind].Guard }

// named is the contact with what it is, where its name does not say so.
func (c Contact) named() string {
	if g := string(c.Guarded()); g != "" && !strings.Contains(c.Name, g) {
		return c.Name + " (" + g + ")"
	}
	return c.Name
}
