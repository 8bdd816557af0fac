package book

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"

	"soundmetal/filler"
	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/material"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// Limits are what a plan asks of the work, in the form that the record is
// checked against. They stand in the entry, so that a device can check readings
// before the plan's file has reached it.
type Limits struct {
	Verdict gate.Class    `json:"verdict"`
	Items   []ItemLimits  `json:"items"`
	Holds   []HoldLine    `json:"holds,omitempty"`
	Steps   []StepLine    `json:"steps,omitempty"`
	Load    []plan.Need   `json:"load,omitempty"`
	Hours   *q.Of[q.Time] `json:"hours,omitempty"` // on site and road, s
	Watch   *q.Time       `json:"watch,omitempty"` // fire watch after the last spark, s
	Price   *Money        `json:"price,omitempty"`
}

// Money is a price as a range, in the shop's currency.
type Money struct {
	Low      string `json:"low"` // decimal text
	Likely   string `json:"likely"`
	High     string `json:"high"`
	Currency string `json:"currency"`
	Cap      string `json:"cap,omitempty"`  // not more without a written yes
	Note     string `json:"note,omitempty"` // what is and is not in it
}

// ItemLimits are the limits of one damaged place. A nil limit is one that the
// plan does not set.
type ItemLimits struct {
	Item     string               `json:"item"`
	Name     string               `json:"name"`
	Verdict  gate.Class           `json:"verdict"`
	Planned  bool                 `json:"planned"`
	Floor    *q.Temperature       `json:"floor,omitempty"`   // before each bead, at least
	Ceiling  *q.Temperature       `json:"ceiling,omitempty"` // before each bead, at most
	ReadAt   *q.Length            `json:"read_at,omitempty"` // from the groove edge
	Length   *q.Length            `json:"length,omitempty"`  // of the excavation
	Depth    *q.Length            `json:"depth,omitempty"`
	Delay    *q.Time              `json:"delay,omitempty"` // before the final test, s
	PostHeat *q.Of[q.Temperature] `json:"post_heat,omitempty"`
	QT       bool                 `json:"qt,omitempty"` // a quenched and tempered steel is among those it holds for
	Position job.Position         `json:"position,omitempty"`
	Beads    []BeadLimits         `json:"beads,omitempty"`
}

// BeadLimits are the limits of one bead.
type BeadLimits struct {
	Number int              `json:"number"`
	Layer  int              `json:"layer"`
	Side   int              `json:"side"`
	Kind   string           `json:"kind"`
	Rod    string           `json:"rod"`
	Amps   *q.Of[q.Current] `json:"amps,omitempty"` // the usual band of the rod in this position
	Run    q.Of[q.Length]   `json:"run"`            // weld length of one rod
}

// HoldLine is a hold point of a plan.
type HoldLine struct {
	ID      string `json:"id"` // safe/block, <item>/cut-proof
	Item    string `json:"item,omitempty"`
	Section string `json:"section"`
	Text    string `json:"text"`
	Why     string `json:"why,omitempty"`
	Skip    string `json:"skip,omitempty"`
}

// StepLine is a thing to do.
type StepLine struct {
	ID      string `json:"id"`
	Item    string `json:"item,omitempty"`
	Section string `json:"section"`
	Text    string `json:"text"`
	Why     string `json:"why,omitempty"`
	Skip    string `json:"skip,omitempty"`
}

// Names of the fixed hold points; every planned place has them.
const (
	HoldCrackGone   = "cut-proof"
	HoldHeatReached = "heat-hold"
	HoldFinalLook   = "after-hold"
)

// sections are the parts of a plan in the order of the work.
var sections = []string{"touch", "safe", "look", "steel", "cut", "joint", "filler", "heat", "passes", "after"}

// sectionRank is the place of a section in the work; one that is not known
// comes last.
func sectionRank(id string) int {
	for i, s := range sections {
		if s == id {
			return i
		}
	}
	return len(sections)
}

// limitsOf takes from a plan what the record is checked against. items are the
// ids of its places, in its order.
func limitsOf(p *plan.Plan, j job.Job, items []string) Limits {
	l := Limits{Verdict: p.Verdict, Load: p.Load, Items: []ItemLimits{}}
	if p.MakeSafe != nil {
		l.lines("", *p.MakeSafe)
	}
	for i, it := range p.Items {
		l.Items = append(l.Items, l.item(p, j, i, items[i]))
		for _, s := range it.Sections {
			l.lines(items[i], s)
		}
		if it.Planned {
			l.fixedHolds(items[i])
		}
	}
	if f, err := p.Find("hours.total"); err == nil && f.Low != nil && f.High != nil {
		l.Hours = &q.Of[q.Time]{Low: q.Time(*f.Low), High: q.Time(*f.High)}
	}
	if p.MakeSafe != nil {
		watch := gate.FireWatch(q.Maybe[q.Time]{}).Value
		l.Watch = &watch
	}
	return l
}

func (l *Limits) item(p *plan.Plan, j job.Job, i int, id string) ItemLimits {
	it := p.Items[i]
	one := ItemLimits{Item: id, Name: it.Name, Verdict: it.Touch.Class, Planned: it.Planned}
	if one.Name == "" {
		one.Name = it.Part
	}
	if i < len(j.Items) {
		one.Position = j.Items[i].Position
	}
	if w := it.Heat; w != nil {
		floor := w.Floor
		one.Floor = &floor
		if c := w.Ceiling; c > 0 {
			one.Ceiling = &c
		}
	}
	for _, s := range it.Sections {
		for _, line := range s.Lines {
			if line.Figure == nil {
				continue
			}
			_, name, _ := strings.Cut(line.Figure.ID, ".")
			one.take(name, *line.Figure)
		}
	}
	for _, s := range it.Steels {
		if f, ok := material.Lookup(s.ID); ok && s.Held && f.Tempered {
			one.QT = true
		}
	}
	for _, b := range it.Beads {
		one.Beads = append(one.Beads, beadLimits(b, one.Position))
	}
	return one
}

// take keeps the figures that the record is checked against.
func (one *ItemLimits) take(name string, f plan.Figure) {
	switch {
	case name == "heat.read-at" && f.Value != nil:
		v := q.Length(*f.Value)
		one.ReadAt = &v
	case name == "cut.length" && f.Value != nil:
		v := q.Length(*f.Value)
		one.Length = &v
	case name == "cut.length" && f.High != nil:
		v := q.Length(*f.High)
		one.Length = &v
	case name == "cut.depth" && f.Value != nil:
		v := q.Length(*f.Value)
		one.Depth = &v
	case name == "after.hold" && f.Value != nil:
		v := q.Time(*f.Value)
		one.Delay = &v
	case name == "after.postheat" && f.Low != nil && f.High != nil:
		one.PostHeat = &q.Of[q.Temperature]{Low: q.Temperature(*f.Low), High: q.Temperature(*f.High)}
	}
}

func beadLimits(b plan.Bead, p job.Position) BeadLimits {
	one := BeadLimits{Number: b.Number, Layer: b.Layer, Side: b.Side, Kind: b.Kind, Rod: b.Rod, Run: b.Run}
	if class, size, err := filler.ReadRod(b.Rod); err == nil && size.Known {
		if r, err := filler.AmpsFor(class, size.V, p); err == nil {
			used := r.Value.Used
			one.Amps = &q.Of[q.Current]{Low: min(used.Low, b.Amps.Low), High: max(used.High, b.Amps.High)}
		}
	}
	return one
}

// lines takes the hold points and the things to do of a section.
func (l *Limits) lines(item string, s plan.Section) {
	for _, line := range s.Lines {
		id := lineID(item, s.ID, line)
		why, skip := "", ""
		if line.Basis != nil {
			why, skip = line.Basis.Why, line.Basis.Skip
		}
		switch line.Kind {
		case plan.Hold:
			if !l.hasHold(id) {
				l.Holds = append(l.Holds, HoldLine{id, item, s.ID, line.Text, why, skip})
			}
		case plan.Do:
			if !l.hasStep(id) {
				l.Steps = append(l.Steps, StepLine{id, item, s.ID, line.Text, why, skip})
			}
		}
	}
}

// lineID names a line so that the same line of the next plan has the same name:
// by the rule behind it, else by its words.
func lineID(item, section string, line plan.Line) string {
	head := item
	if head == "" {
		head = section
	}
	if line.Basis != nil && line.Basis.Method != "" && (line.Basis.Title == line.Text || strings.HasPrefix(line.Basis.Method, "makesafe.")) {
		return head + "/" + strings.TrimPrefix(line.Basis.Method, "makesafe.")
	}
	sum := sha256.Sum256([]byte(line.Text))
	return head + "/" + section + "-" + hex.EncodeToString(sum[:3])
}

func (l *Limits) hasHold(id string) bool {
	for _, h := range l.Holds {
		if h.ID == id {
			return true
		}
	}
	return false
}

func (l *Limits) hasStep(id string) bool {
	for _, s := range l.Steps {
		if s.ID == id {
			return true
		}
	}
	return false
}

// fixedHolds adds the hold points that every planned place has.
func (l *Limits) fixedHolds(item string) {
	for _, row := range fixedHolds {
		if id := item + "/" + row.ID; !l.hasHold(id) {
			row.ID, row.Item = id, item
			l.Holds = append(l.Holds, row)
		}
	}
}

// item finds the limits of a place.
func (l *Limits) of(item string) (ItemLimits, bool) {
	for _, it := range l.Items {
		if it.Item == item {
			return it, true
		}
	}
	return ItemLimits{}, false
}

func (one *ItemLimits) bead(number int) (BeadLimits, bool) {
	for _, b := range one.Beads {
		if b.Number == number {
			return b, true
		}
	}
	return BeadLimits{}, false
}
