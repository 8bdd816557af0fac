package plan

import (
	"fmt"
	"strings"

	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// The current's way home in the answer of rig: drawn many times over, with two
// places of the clamp compared.

// currentSection is one item. The error is for a body that the machine has not.
func (r *rigWork) currentSection(w *work) (Section, *Current, error) {
	title := "The current's way home"
	if len(r.j.Items) > 1 {
		title += ": " + w.name()
	}
	s, f := w.section("current", title)
	d := r.ask.Draws
	if d.Count == 0 {
		d.Count = usualDraws
	}
	h, ok := w.way(d)
	if !ok {
		r.noDrawing(&s, w)
		return s, nil, nil
	}
	for _, n := range h.Notes {
		s.add(Note, n, nil)
	}
	b := h.basis
	s.figure(one(f, "amps", "arc on the "+h.ArcName, h.Amps, h.Amps.Text(r.sys)+", the most the plan uses", r.sys, b))
	s.add(Do, h.Say, &b)
	s.add(Note, "The clamp on each part in turn, and what then runs through something that must not carry it (about: half of the draws; up to: 95 in 100):", nil)
	for _, c := range h.Clamps {
		s.figure(clampFigure(f, c, b))
	}
	pair, err := r.pair(h)
	if err != nil {
		return s, nil, err
	}
	for _, id := range pair {
		if err := r.compare(&s, f, &h, id, d); err != nil {
			return s, nil, err
		}
	}
	return s, &h.Current, nil
}

// usualDraws of the contact resistances: enough that another seed gives the same picture.
const usualDraws = 500

// noDrawing is the general rules, and what would bring a drawing.
func (r *rigWork) noDrawing(s *Section, w *work) {
	m := r.j.Machine
	net, ok := network(m)
	switch {
	case !ok && m.Kind == "":
		s.add(Note, "The machine is not known, so the general rules hold. Say machine.kind, machine.like or machine.contacts for a network of its own.", nil)
	case !ok:
		s.add(Note, fmt.Sprintf("A machine of the kind \"%s\" is not drawn here, so the general rules hold. Say machine.like, or list where its parts touch under machine.contacts.", m.Kind), nil)
	default:
		var names []string
		for _, b := range net.Bodies {
			names = append(names, b.Name)
		}
		s.add(Note, "Which part of the machine is it? Its words name none of: "+strings.Join(names, ", ")+". Write one of them into part, or list the contacts of yours under machine.contacts.", nil)
	}
}

// ruleSection is the standing rules for the work clamp.
func ruleSection() Section {
	s := Section{ID: "clamp", Title: "The work clamp, on any machine"}
	for _, rule := range power.ReturnRules() {
		s.add(Do, rule.Text, &source.Basis{Method: "return-rules", Title: rule.Text, Ref: rule.Ref})
	}
	return s
}

// clampFigure is one place of the clamp.
func clampFigure(f figures, c Clamp, b source.Basis) Figure {
	fig := Figure{ID: f.id("on-" + c.Body), Label: c.Name, Unit: "A", Basis: b}
	zero := 0.0
	switch {
	case c.OnPart:
		fig.Value, fig.Text = &zero, "HERE: the current stays in it"
	case c.NoWay:
		fig.Value, fig.Text = &zero, "no arc: nothing that conducts joins it"
	case len(c.Through) == 0:
		fig.Value, fig.Text = &zero, "next best: "+c.Say
	default:
		t := c.Through[0]
		low, high := float64(t.Median), float64(t.High)
		fig.Low, fig.High = &low, &high
		fig.Text = "NO: " + spreadText(t) + " through the " + throughName(t)
	}
	return fig
}

// spreadText is a current with its spread in words.
func spreadText(t Through) string {
	const tiny q.Current = 0.1
	switch {
	case t.Median < tiny:
		return "perhaps " + ampsText(t.High)
	case t.High <= 1.05*t.Median:
		return ampsText(t.Median)
	}
	return "about " + ampsText(t.Median) + ", up to " + ampsText(t.High) + ","
}

func throughName(t Through) string {
	if t.Guard == "" || strings.Contains(t.Contact, t.Guard) {
		return t.Contact
	}
	return t.Contact + " (" + t.Guard + ")"
}

// pair is the two bodies compared: asked for, or the part itself and the worst
// place where people do clamp.
func (r *rigWork) pair(h wayHome) ([]string, error) {
	if len(r.ask.Clamps) > 0 {
		var all []string
		for _, name := range r.ask.Clamps {
			id, err := h.net.named(name)
			if err != nil {
				return nil, err
			}
			all = append(all, id)
		}
		return all, nil
	}
	if !h.isBad {
		return []string{h.Arc}, nil
	}
	return []string{h.Arc, h.bad.Body.ID}, nil
}

// named finds a body by its id or name.
func (n machineNet) named(name string) (string, error) {
	var names []string
	for _, b := range n.Bodies {
		if samePart(b, name) {
			return b.ID, nil
		}
		names = append(names, b.Name)
	}
	return "", fmt.Errorf("the machine has no part %q to clamp on; it has %s", name, strings.Join(names, ", "))
}

// compare adds the current through every contact with the clamp on one body.
func (r *rigWork) compare(s *Section, f figures, h *wayHome, id string, d power.Draws) error {
	body, _ := h.net.Body(id)
	path := Path{Clamp: id, Name: body.Name}
	for _, c := range h.Clamps {
		if c.Body == id {
			path.Say = c.Say
		}
	}
	s.add(Note, "Clamp on the "+body.Name+": "+path.Say+".", &h.basis)
	byName := map[power.Contact]Through{}
	if id != h.Arc {
		shares, err := power.Shares(h.net.Network, h.Arc, id, h.Amps, d)
		if err != nil {
			return err
		}
		f := figures{f.id(id)}
		n := 0
		for _, x := range shares.Value {
			byName[x.Contact] = through(x)
			if x.Amps.High < 1 {
				continue
			}
			n++
			s.figure(shareFigure(f, n, through(x), shares.Basis))
		}
	}
	for _, c := range h.net.Contacts {
		t, ok := byName[c]
		if !ok {
			t = Through{Contact: c.Name, Guard: string(c.Guarded())}
		}
		path.Through = append(path.Through, t)
	}
	h.Compared = append(h.Compared, path)
	return nil
}

var guardWords = map[string]string{"pin": "a pin", "bearing": "a bearing", "gear": "gears", "cylinder": "a cylinder", "rope": "a rope", "hose": "a hose", "electronics": "electronics"}

func shareFigure(f figures, n int, t Through, b source.Basis) Figure {
	low, high := float64(t.Low), float64(t.High)
	text := fmt.Sprintf("%.0f A, %.0f to %s", float64(t.Median), float64(t.Low), ampsText(t.High))
	if t.High <= 1.01*t.Low {
		text = ampsText(t.Median)
	}
	if t.Flagged {
		text += ": NOT through " + guardWords[t.Guard]
	}
	return Figure{ID: f.id(fmt.Sprint(n)), Label: "  " + t.Contact, Low: &low, High: &high, Unit: "A", Text: text, Basis: b}
}
