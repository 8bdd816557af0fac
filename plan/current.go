package plan

import (
	"fmt"

	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Current is the way of the welding current home from one damaged place.
type Current struct {
	Machine  string       `json:"machine" doc:"drawn machine that it is worked out on; own where only the job's contacts are known"`
	Title    string       `json:"title" doc:"the machine in words"`
	Notes    []string     `json:"notes,omitempty" doc:"what was assumed"`
	Arc      string       `json:"arc" doc:"id of the body under the arc"`
	ArcName  string       `json:"arc_name" doc:"the body under the arc in words"`
	Amps     q.Current    `json:"amps" doc:"highest welding or gouging current of the plan, A"`
	Draws    int          `json:"draws" doc:"random draws of the contact resistances; 1: every contact at the middle of its range"`
	Say      string       `json:"say" doc:"clamp here, not there, because"`
	Clamps   []Clamp      `json:"clamps" doc:"places for the work clamp, best first"`
	Bodies   []power.Body `json:"bodies" doc:"parts of the machine that conduct as a whole, with their place on a drawing"`
	Contacts []Link       `json:"contacts" doc:"what joins the bodies"`
	Compared []Path       `json:"compared,omitempty" doc:"current through every contact for the places of the clamp that are compared; in the answer of rig only"`
}

// Clamp is one place for the work clamp.
type Clamp struct {
	Body    string    `json:"body" doc:"id of the body"`
	Name    string    `json:"name" doc:"the body in words"`
	OnPart  bool      `json:"on_part" doc:"whether it is the part under the arc itself"`
	NoWay   bool      `json:"no_way" doc:"nothing that conducts joins it to the arc"`
	Say     string    `json:"say" doc:"what happens with the clamp there"`
	Through []Through `json:"through,omitempty" doc:"bearings, pins, rods, hoses and electronics that carry more than they should, most first; at most three"`
}

// Through is the current through one contact.
type Through struct {
	Contact string    `json:"contact" doc:"name of the contact"`
	Guard   string    `json:"guard,omitempty" doc:"what must not carry current there: pin, bearing, gear, cylinder, rope, hose or electronics"`
	Low     q.Current `json:"low" doc:"5 in 100 draws carry less, A"`
	Median  q.Current `json:"median" doc:"half of the draws carry less, A"`
	High    q.Current `json:"high" doc:"95 in 100 draws carry less, A"`
	Flagged bool      `json:"flagged" doc:"more than 1 A or 1 % of the welding current through something that must not carry it"`
}

// Link is one contact.
type Link struct {
	From  string `json:"from" doc:"id of one body"`
	To    string `json:"to" doc:"id of the other"`
	Kind  string `json:"kind" doc:"kind of contact"`
	Name  string `json:"name" doc:"name of the contact"`
	Guard string `json:"guard,omitempty" doc:"what must not carry current there"`
}

// Path is where the current runs with the clamp on one body.
type Path struct {
	Clamp   string    `json:"clamp" doc:"id of the body with the clamp"`
	Name    string    `json:"name" doc:"the body in words"`
	Say     string    `json:"say" doc:"what happens with the clamp there"`
	Through []Through `json:"through" doc:"every contact, in the order of contacts"`
}

// mostThrough is how many contacts a place lists.
const mostThrough = 3

// wayHome is the current's way home with its working.
type wayHome struct {
	Current
	net   machineNet
	bad   power.ClampPlace // worst place where people do clamp
	isBad bool
	basis source.Basis
}

// way works the current's way home out. ok is false where the machine is not
// drawn, the part is not found on it, or no current is known.
func (w *work) way(d power.Draws) (h wayHome, ok bool) {
	net, ok := network(w.j.Machine)
	if !ok {
		return h, false
	}
	arc, note, ok := net.arcOn(w.it)
	amps := w.mostAmps()
	if !ok || amps <= 0 {
		return h, false
	}
	if note != "" {
		net.notes = append(net.notes, note)
	}
	r, err := power.RankClamps(net.Network, arc.ID, nil, amps, d)
	if err != nil { // contacts that cannot be, which the reader of the job would have refused
		return h, false
	}
	h = wayHome{net: net, basis: r.Basis}
	h.basis.Notes = append(append([]string(nil), net.notes...), h.basis.Notes...)
	h.Current = Current{Machine: net.ID, Title: net.Title, Notes: net.notes, Arc: arc.ID, ArcName: arc.Name, Amps: amps, Draws: drawCount(d), Bodies: net.Bodies}
	for _, c := range net.Contacts {
		h.Contacts = append(h.Contacts, Link{c.A, c.B, c.Kind, c.Name, string(c.Guarded())})
	}
	for _, p := range r.Value.Places {
		c := Clamp{Body: p.Body.ID, Name: p.Body.Name, OnPart: p.Body.ID == arc.ID, NoWay: p.NoWay, Say: p.Say}
		for _, s := range p.Flagged[:min(mostThrough, len(p.Flagged))] {
			c.Through = append(c.Through, through(s))
		}
		h.Clamps = append(h.Clamps, c)
	}
	h.Say = r.Value.Say
	h.bad, h.isBad = r.Value.Bad()
	return h, true
}

func drawCount(d power.Draws) int {
	if d.Middle {
		return 1
	}
	return d.Count
}

func through(s power.Share) Through {
	return Through{s.Contact.Name, string(s.Guard), s.Amps.Low, s.Median, s.Amps.High, s.Flagged}
}

// mostAmps is the highest current that flows at the place: gouging or welding.
func (w *work) mostAmps() q.Current {
	most := max(w.rod.root.amps.Value.Typical.High, w.rod.fill.amps.Value.Typical.High)
	for _, g := range w.gouges {
		if g.Value.Found {
			most = max(most, g.Value.Set.High)
		}
	}
	return most
}

// clampLine is the make-safe line of an item: clamp here, not there, because.
func (w *work) clampLine(s *Section) {
	if w.home == nil {
		return
	}
	text := w.home.Say
	if len(w.j.Items) > 1 {
		text = capital(w.name()) + " " + text
	}
	b := w.home.basis
	s.add(Do, text, &b)
}

// middle is the network solved once, in no time: for the plan.
var middle = power.Draws{Middle: true}

// settleHome works the way home out for the plan.
func (w *work) settleHome(item *Item) {
	if h, ok := w.way(middle); ok {
		w.home = &h
		item.Current = &h.Current
	}
}

func ampsText(i q.Current) string {
	if i >= 10 {
		return fmt.Sprintf("%.0f A", float64(i))
	}
	return fmt.Sprintf("%.1f A", float64(i))
}
