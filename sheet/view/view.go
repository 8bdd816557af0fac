// Package view shows a plan: it fills the drawings of package sketch from a plan
// and its job, with the figures as they stand in the plan.
package view

import (
	"fmt"
	"strings"

	"soundmetal/job"
	"soundmetal/joint"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

// Item is one damaged place with its plan.
type Item struct {
	Number int // from 1
	Job    job.Item
	Plan   plan.Item
	Units  q.System
}

// Items gives the places of a plan with what the job says of them.
func Items(p *plan.Plan, j job.Job) ([]Item, error) {
	if len(p.Items) != len(j.Items) {
		return nil, fmt.Errorf("the plan has %d places and the job %d: they do not belong together", len(p.Items), len(j.Items))
	}
	all := make([]Item, len(p.Items))
	for i := range p.Items {
		all[i] = Item{i + 1, j.Items[i], p.Items[i], p.Units}
	}
	return all, nil
}

// Name is the place's name.
func (it Item) Name() string {
	switch {
	case it.Plan.Name != "":
		return it.Plan.Name
	case it.Plan.Part != "":
		return it.Plan.Part
	}
	return fmt.Sprintf("item %d", it.Number)
}

// Figure gives a figure of the place by the name it has after its number:
// heat.preheat.
func (it Item) Figure(name string) (plan.Figure, bool) {
	id := fmt.Sprintf("%d.%s", it.Number, name)
	for _, s := range it.Plan.Sections {
		for _, l := range s.Lines {
			if l.Figure != nil && l.Figure.ID == id {
				return *l.Figure, true
			}
		}
	}
	return plan.Figure{}, false
}

// Text gives the text of a figure, or "" where the plan has none.
func (it Item) Text(name string) string {
	f, _ := it.Figure(name)
	return Lead(f.Text, it.Units)
}

// Label gives a figure as a label: the first pair "1/2 in (12.7 mm)" of its text.
func (it Item) Label(name string) sketch.Label {
	f, ok := it.Figure(name)
	if !ok {
		return sketch.Label{}
	}
	return FirstPair(f.Text)
}

// FirstPair splits off the first figure of a text: leading system and echo.
func FirstPair(text string) sketch.Label {
	lead, rest, ok := strings.Cut(text, " (")
	if !ok {
		lead, _, _ = strings.Cut(text, ",")
		return sketch.Label{Lead: lead}
	}
	echo, _, _ := strings.Cut(rest, ")")
	return sketch.Label{Lead: lead, Echo: echo}
}

// length makes a label of a length that is no figure of the plan but follows
// from two of them.
func (it Item) length(l q.Length) sketch.Label { return FirstPair(l.Text(it.Units)) }

// tape makes a label of a length as it is marked out with a tape.
func (it Item) tape(l q.Length) sketch.Label {
	other := q.US
	if it.Units == q.US {
		other = q.SI
	}
	return sketch.Label{Lead: plan.TapeSpan(q.At(l), it.Units), Echo: l.In(other)}
}

// value gives a figure's length, or 0 where the plan has none.
func (it Item) value(name string) q.Length {
	f, ok := it.Figure(name)
	if !ok || f.Value == nil {
		return 0
	}
	return q.Length(*f.Value)
}

// crackDrawn is the crack length that the plan counts with where it is not known.
const crackDrawn = 100 * q.Millimetre

// Part fills the drawing of the damaged part.
func (it Item) Part() (sketch.Part, bool) {
	e := it.Plan.Groove
	if e == nil {
		return sketch.Part{}, false
	}
	s := sketch.Part{Name: it.Name(), Crack: it.Job.Crack.Length, Remove: e.Remove, Ramp: e.Ramp, Ramps: e.Ramps, Edges: e.Edges,
		Top: e.Groove.TopWidth, Band: it.value("heat.band"), ReadAt: it.value("heat.read-at"), Width: it.Job.Width,
		CrackText: it.length(it.Job.Crack.Length.Or(crackDrawn)), Removed: it.Label("cut.length"), RampText: it.Label("cut.ramp"),
		BandText: it.Label("heat.band"), ReadText: it.Label("heat.read-at")}
	s.AtEdge = it.Job.Crack.Ends == "at-edge" || it.Job.Crack.Starts == "edge" || it.Job.Crack.Starts == "hole"
	if e.Ramp == 0 { // no room for a slope: both ends run out over an edge
		s.Ramps, s.Edges = 0, 2
	}
	return s, true
}

// End fills the drawing of the groove's end.
func (it Item) End() (sketch.End, bool) {
	e := it.Plan.Groove
	if e == nil {
		return sketch.End{}, false
	}
	crack := it.Job.Crack.Length.Or(crackDrawn)
	beyond := e.Remove.Low - crack
	if n := 2 - e.Edges; n > 0 {
		beyond /= q.Length(n)
	}
	if e.Ramp == 0 || beyond <= 0 {
		return sketch.End{}, false // no end lies in the metal
	}
	s := sketch.End{Thickness: e.Groove.Thickness, Depth: e.Groove.Depth, Beyond: beyond, Ramp: e.Ramp,
		BeyondText: it.length(q.RoundTo(beyond, tapeStep(it.Units))), RampText: it.Label("cut.ramp"),
		DepthText: it.Label("joint.groove-depth"), ThickText: it.length(e.Groove.Thickness)}
	if _, slope, ok := strings.Cut(it.Text("cut.ramp"), "), "); ok {
		s.SlopeText = slope
	}
	if g := e.Groove.SecondSide; g != nil {
		s.Second = g.Depth
	}
	return s, true
}

// tapeStep is how finely the sound metal beyond a crack is marked out.
func tapeStep(sys q.System) q.Length {
	if sys == q.US {
		return q.Inch / 4
	}
	return 5 * q.Millimetre
}

// Joint fills the drawing of the joint.
func (it Item) Joint() (sketch.Joint, bool) {
	e := it.Plan.Groove
	if e == nil {
		return sketch.Joint{}, false
	}
	side := func(prefix string) sketch.JointText {
		return sketch.JointText{Angle: it.Label(prefix + "angle"), Radius: it.Label(prefix + "radius"), Opening: it.Label(prefix + "opening"),
			Face: it.Label(prefix + "face"), Depth: it.Label(prefix + "groove-depth"), Top: it.Label(prefix + "top-width")}
	}
	return sketch.Joint{Groove: e.Groove, First: side("joint."), Second: side("joint.side2."),
		Thick: it.length(e.Groove.Thickness), Back: it.Label("joint.backing")}, true
}

// Weld fills the drawing of the beads.
func (it Item) Weld() (sketch.Weld, bool) {
	e := it.Plan.Groove
	if e == nil || len(it.Plan.Beads) == 0 {
		return sketch.Weld{}, false
	}
	s := sketch.Weld{Groove: e.Groove}
	for _, b := range it.Plan.Beads {
		w := sketch.WeldBead{Number: b.Number, Layer: b.Layer, Side: b.Side, Kind: b.Kind}
		for _, o := range b.Outline {
			w.Outline = append(w.Outline, joint.Point{X: q.Length(o[0]), Y: q.Length(o[1])})
		}
		s.Beads = append(s.Beads, w)
	}
	return s, true
}

// Order fills the drawing of the order along the groove. The plan gives blocks in
// words; the blocks themselves follow from the same rule of the joint room.
func (it Item) Order() (sketch.Order, bool) {
	e := it.Plan.Groove
	if e == nil || len(it.Plan.Beads) == 0 {
		return sketch.Order{}, false
	}
	var layers []joint.Layer
	for _, b := range it.Plan.Beads {
		if n := len(layers); n == 0 || layers[n-1].Number != b.Layer {
			layers = append(layers, joint.Layer{Number: b.Layer, Side: b.Side, Kind: joint.Kind(b.Kind)})
		}
	}
	seq, err := joint.Along(e.Surface.High, nil, layers)
	if err != nil {
		return sketch.Order{}, false
	}
	return sketch.Order{Length: e.Surface.High, Runs: seq.Value.Runs}, true
}

// Plate fills the drawing of the reinforcing plate, where the plan has one.
func (it Item) Plate() (sketch.Plate, bool) {
	if it.Plan.Hold == nil || it.Plan.Hold.Plate == nil || it.Plan.Groove == nil {
		return sketch.Plate{}, false
	}
	p := it.Plan.Hold.Plate
	return sketch.Plate{Part: p.Width + 2*p.Edge, Length: p.Length, Width: p.Width, Taper: p.Taper + p.Nose, Nose: p.Nose, Stop: p.Stop,
		LongText: it.tape(p.Length), WideText: it.tape(p.Width), TaperText: it.tape(p.Taper + p.Nose), NoseText: it.tape(p.Nose),
		ThickText: it.length(p.Thickness), LegText: it.length(p.Leg), StopText: it.tape(p.Stop), FreeText: it.tape(p.Edge)}, true
}

// PlatePlanned says that the repair planned is one with a plate.
func (it Item) PlatePlanned() bool {
	return it.Plan.Hold != nil && strings.HasPrefix(it.Plan.Hold.Planned, "plate-")
}

// Current fills the drawing of the welding current's way with the clamp at its
// best place, where the machine is drawn. Contacts that must carry no current are
// marked; currents are shown where the plan compared them for that place.
func (it Item) Current() (sketch.Path, bool) {
	c := it.Plan.Current
	if c == nil || len(c.Clamps) == 0 || c.Clamps[0].NoWay {
		return sketch.Path{}, false
	}
	s := sketch.Path{Arc: c.Arc, Clamp: c.Clamps[0].Body}
	for _, b := range c.Bodies {
		s.Bodies = append(s.Bodies, sketch.Body{ID: b.ID, Name: b.Name, X: b.X, Y: b.Y})
	}
	for i, l := range c.Contacts {
		contact := sketch.Contact{A: l.From, B: l.To, Name: l.Name, Flag: l.Guard != ""}
		for _, p := range c.Compared {
			if p.Clamp == s.Clamp && i < len(p.Through) && c.Amps > 0 {
				contact.Share, contact.Text = float64(p.Through[i].Median/c.Amps), p.Through[i].Median.In(it.Units)
			}
		}
		s.Contacts = append(s.Contacts, contact)
	}
	return s, true
}

// Drawings are the drawings of a place, by name.
type Drawings struct {
	Part, End, Joint, Weld, Order, Plate, Current *draw.Drawing // nil where the plan has nothing to show
}

// Named is a drawing with its name.
type Named struct {
	Name    string
	Drawing *draw.Drawing
}

// All gives the drawings there are, in the order of the work.
func (d Drawings) All() []Named {
	var all []Named
	for _, n := range []Named{{"part", d.Part}, {"end", d.End}, {"joint", d.Joint}, {"weld", d.Weld}, {"order", d.Order}, {"plate", d.Plate}, {"current", d.Current}} {
		if n.Drawing != nil {
			all = append(all, n)
		}
	}
	return all
}

// Draw draws all of a place in one frame.
func (it Item) Draw(f sketch.Frame) (Drawings, error) {
	var d Drawings
	var err error
	if s, ok := it.Part(); ok {
		d.Part = sketch.DrawPart(s, f)
	}
	if s, ok := it.End(); ok {
		d.End = sketch.DrawEnd(s, f)
	}
	if s, ok := it.Joint(); ok {
		if d.Joint, err = sketch.DrawJoint(s, f); err != nil {
			return d, fmt.Errorf("%s: %w", it.Name(), err)
		}
	}
	if s, ok := it.Weld(); ok {
		if d.Weld, err = sketch.DrawWeld(s, f); err != nil {
			return d, fmt.Errorf("%s: %w", it.Name(), err)
		}
	}
	if s, ok := it.Order(); ok {
		d.Order = sketch.DrawOrder(s, f)
	}
	if s, ok := it.Plate(); ok {
		d.Plate = sketch.DrawPlate(s, f)
	}
	if s, ok := it.Current(); ok {
		d.Current = sketch.DrawPath(s, sketch.Frame{Width: f.Width, Size: f.Size, Words: f.Words})
	}
	return d, nil
}
