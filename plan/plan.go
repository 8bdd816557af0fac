// Package plan makes the repair plan: the only place where the trades meet.
//
// A plan is a value. Make is deterministic; the same plan feeds the command
// line, the pages, the drawings and the paper. Its JSON form is documented in
// docs/plan-format.md and versioned by Version.
package plan

import (
	"fmt"
	"strings"

	"soundmetal/gate"
	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Version is the version of the plan format; it rises with every change that a
// reader of the JSON could notice, except added fields.
const Version = 1

// Plan is the whole plan of one job.
type Plan struct {
	Version  int         `json:"version" doc:"version of this format"`
	Units    q.System    `json:"units" doc:"system that leads in the texts: us or si"`
	Job      string      `json:"job" doc:"name of the job"`
	Customer string      `json:"customer,omitempty" doc:"name of the customer"`
	Place    string      `json:"place,omitempty" doc:"where the work is"`
	Machine  string      `json:"machine,omitempty" doc:"what the machine is"`
	Read     []Echo      `json:"read" doc:"the measures of the job as they were understood, in both systems"`
	Verdict  gate.Class  `json:"verdict" doc:"worst verdict of the items: refuse, escalate, condition or go"`
	Cautions []string    `json:"cautions" doc:"the usual cautions"`
	MakeSafe *Section    `json:"make_safe,omitempty" doc:"make-safe steps common to the planned items; absent where no item may be touched"`
	Items    []Item      `json:"items" doc:"one entry for each damaged place, in the order of the job file"`
	Narrow   []Narrowing `json:"narrow" doc:"the facts that would narrow the plan most, at most three"`
	Bring    *Section    `json:"bring,omitempty" doc:"load list for the planned items"`
	Hours    *Section    `json:"hours,omitempty" doc:"hours of the planned items for the damage as it is seen; absent where no weld is planned"`
	Load     []Need      `json:"load,omitempty" doc:"load list as data"`
}

// Echo is one measure as it was understood.
type Echo struct {
	Field string `json:"field" doc:"path of the field in the job file"`
	Text  string `json:"text" doc:"the value in both systems"`
}

// Item is the plan of one damaged place. From Sections on everything is absent
// where the item is refused or escalated: no technical figure is given for it.
type Item struct {
	Name     string            `json:"name" doc:"name of the place"`
	Part     string            `json:"part,omitempty" doc:"which part"`
	Touch    gate.Verdict      `json:"touch" doc:"may it be touched: class, findings with reason and source, text for the customer"`
	Planned  bool              `json:"planned" doc:"whether a technical plan follows"`
	Sections []Section         `json:"sections,omitempty" doc:"the plan in the order of the work"`
	Steels   []Steel           `json:"steels,omitempty" doc:"credible steels with weight, floor and ceiling"`
	Groove   *joint.Excavation `json:"groove,omitempty" doc:"excavation and groove geometry"`
	Beads    []Bead            `json:"beads,omitempty" doc:"every bead in welding order"`
	Heat     *Window           `json:"heat,omitempty" doc:"temperature window"`
	Hold     *HoldPlan         `json:"hold,omitempty" doc:"cause, load, choice of repair, next look"`
	Current  *Current          `json:"current,omitempty" doc:"the welding current's way home and where to clamp; absent where the machine is not drawn and the job gives no contacts"`
}

// Section is one step of the work.
type Section struct {
	ID    string `json:"id" doc:"touch, safe, look, cause, until, steel, hold, cut, joint, filler, heat, passes, after, next, bring or hours"`
	Title string `json:"title" doc:"heading"`
	Lines []Line `json:"lines" doc:"what to do, in order"`
}

// LineKind says what a line is.
type LineKind string

const (
	Do      LineKind = "do"      // something to do
	Note    LineKind = "note"    // something to know
	Caution LineKind = "caution" // something that hurts people or the repair
	Hold    LineKind = "hold"    // a hold point: answer before the next step
	Number  LineKind = "figure"  // a figure with its basis
)

// Line is one line of a section.
type Line struct {
	Kind   LineKind      `json:"kind" doc:"do, note, caution, hold or figure"`
	Text   string        `json:"text" doc:"the line as the welder reads it"`
	Figure *Figure       `json:"figure,omitempty" doc:"the figure, for a line of kind figure"`
	Basis  *source.Basis `json:"basis,omitempty" doc:"why, for the other kinds"`
}

// Figure is one number of the plan with its basis.
type Figure struct {
	ID    string       `json:"id" doc:"name of the figure, unique in the plan: 1.heat.preheat"`
	Label string       `json:"label" doc:"what it is"`
	Value *float64     `json:"value,omitempty" doc:"value in Unit; absent for a band"`
	Low   *float64     `json:"low,omitempty" doc:"lower end of a band, in Unit"`
	High  *float64     `json:"high,omitempty" doc:"upper end of a band, in Unit"`
	Unit  string       `json:"unit" doc:"SI unit of the numbers: m, m², °C, s, J/m, A, V, kg, 1"`
	Text  string       `json:"text" doc:"the figure in both systems, rounded as the trade does"`
	Basis source.Basis `json:"basis" doc:"method, working, source and status"`
}

// Steel is one credible steel.
type Steel struct {
	ID      string         `json:"id" doc:"id of the family"`
	Name    string         `json:"name" doc:"name of the family"`
	Weight  float64        `json:"weight" doc:"weight after the evidence, 0 to 1"`
	Floor   *q.Temperature `json:"floor,omitempty" doc:"lowest temperature before each bead, °C; absent where no method gives one"`
	Ceiling *q.Temperature `json:"ceiling,omitempty" doc:"highest interpass temperature, °C"`
	Method  string         `json:"method,omitempty" doc:"method that governs the floor"`
	Held    bool           `json:"held" doc:"whether the plan's window holds for it; where false a test must rule it out first"`
	Notes   []string       `json:"notes,omitempty" doc:"what to know of this steel"`
}

// Window is the temperature window over all credible steels.
type Window struct {
	Floor   q.Temperature     `json:"floor" doc:"highest of the floors, °C"`
	Ceiling q.Temperature     `json:"ceiling" doc:"lowest of the ceilings, °C"`
	Open    bool              `json:"open" doc:"whether floor is below ceiling"`
	Arc     q.Of[q.HeatInput] `json:"arc_energy" doc:"arc energy window, J/m"`
	Governs string            `json:"governs" doc:"steel and method behind the floor"`
}

// Bead is one bead of the pass plan.
type Bead struct {
	Number  int                 `json:"number" doc:"order of welding, from 1"`
	Layer   int                 `json:"layer" doc:"layer, from 1"`
	Side    int                 `json:"side" doc:"1 first side, 2 second side"`
	Kind    string              `json:"kind" doc:"root, fill, cap, back"`
	Rod     string              `json:"rod" doc:"class and size"`
	Amps    q.Of[q.Current]     `json:"amps" doc:"current, A"`
	Run     q.Of[q.Length]      `json:"run" doc:"weld length for one rod, m"`
	Arc     q.HeatInput         `json:"arc_energy" doc:"arc energy, J/m"`
	Before  q.Of[q.Temperature] `json:"before" doc:"temperature before this bead, lowest and highest, °C"`
	Outline [][2]float64        `json:"outline" doc:"outline in the groove section, x and y in m"`
}

// Narrowing is a fact worth finding out.
type Narrowing struct {
	Item string `json:"item" doc:"name of the place"`
	Ask  string `json:"ask" doc:"what to find out or test"`
	How  string `json:"how,omitempty" doc:"how it is done"`
	Save string `json:"save" doc:"what it would change"`
}

// Need is one row of the load list.
type Need struct {
	What   string   `json:"what" doc:"what to bring"`
	Likely float64  `json:"likely" doc:"for the damage as it is seen"`
	Most   float64  `json:"most" doc:"to load: enough in four of five draws"`
	Unit   string   `json:"unit" doc:"pcs, kg, m, m³, L, cans, sets of cans"`
	Have   *float64 `json:"have,omitempty" doc:"on the truck; absent where unknown"`
	Text   string   `json:"text" doc:"the row as read"`
}

// Find gives a figure by its name; the item number may be left out where the
// job has one planned item.
func (p *Plan) Find(id string) (Figure, error) { return findFigure(p.Figures(), id) }

func findFigure(all []Figure, id string) (Figure, error) {
	var ids []string
	for _, f := range all {
		if f.ID == id || strings.TrimPrefix(f.ID, "1.") == id {
			return f, nil
		}
		ids = append(ids, f.ID)
	}
	if len(ids) == 0 {
		return Figure{}, fmt.Errorf("this plan has no figures: no item of the job may be touched")
	}
	return Figure{}, fmt.Errorf("the plan has no figure %q; it has %s", id, strings.Join(ids, ", "))
}

// Figures gives every figure of the plan in the order of the work.
func (p *Plan) Figures() []Figure {
	var all []Figure
	add := func(s *Section) {
		if s == nil {
			return
		}
		for _, l := range s.Lines {
			if l.Figure != nil {
				all = append(all, *l.Figure)
			}
		}
	}
	add(p.MakeSafe)
	for i := range p.Items {
		for k := range p.Items[i].Sections {
			add(&p.Items[i].Sections[k])
		}
	}
	add(p.Bring)
	add(p.Hours)
	return all
}
