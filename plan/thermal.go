package plan

import (
	"context"
	"fmt"

	"soundmetal/gate"
	"soundmetal/heat/conduct"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// ThermalAnswer is what the simulation says of heat and hydrogen. Its sections
// read like those of a plan.
type ThermalAnswer struct {
	Version  int           `json:"version" doc:"version of the plan format"`
	Units    q.System      `json:"units" doc:"system that leads in the texts: us or si"`
	Job      string        `json:"job" doc:"name of the job"`
	Customer string        `json:"customer,omitempty" doc:"name of the customer"`
	Place    string        `json:"place,omitempty" doc:"where the work is"`
	Machine  string        `json:"machine,omitempty" doc:"what the machine is"`
	Verdict  gate.Class    `json:"verdict" doc:"worst verdict of the items: refuse, escalate, condition or go"`
	Cautions []string      `json:"cautions" doc:"the usual cautions"`
	Items    []ThermalItem `json:"items" doc:"one entry for each damaged place asked for; one that may not be touched, or has no weld planned, has no figures"`
}

// ThermalItem is the heat of one damaged place.
type ThermalItem struct {
	Number   int           `json:"number" doc:"number of the place in the job, from 1"`
	Name     string        `json:"name" doc:"name of the place"`
	Sections []Section     `json:"sections" doc:"model, warm, beads, cool, hydrogen; read where readings were given; touch alone where nothing is computed"`
	Beads    []ThermalBead `json:"beads,omitempty" doc:"every bead as it is expected to go, by the likely flame"`
	Chart    *ThermalChart `json:"chart,omitempty" doc:"temperature and time, for drawing"`
	Size     *ThermalSize  `json:"size,omitempty" doc:"what the main run took"`
}

// ThermalSize is what the main run took.
type ThermalSize struct {
	Level string `json:"level" doc:"coarse, working or fine"`
	Cells int    `json:"cells" doc:"cells of the grid"`
	Steps int    `json:"steps" doc:"steps in time"`
}

// ThermalBead is one bead as the likely run has it.
type ThermalBead struct {
	Number   int           `json:"number" doc:"order of welding, from 1"`
	Side     int           `json:"side" doc:"1 first side, 2 second side"`
	Start    q.Time        `json:"start" doc:"when the arc is struck, from the lighting of the torch, s"`
	Coldest  q.Temperature `json:"coldest" doc:"coldest reading point before it, °C"`
	Hottest  q.Temperature `json:"hottest" doc:"hottest reading point before it, °C"`
	Waited   q.Time        `json:"waited" doc:"wait for the ceiling before it, s"`
	Reheated q.Time        `json:"reheated" doc:"torch before it, s"`
	Ready    bool          `json:"ready" doc:"whether floor and ceiling were kept"`
	T85      *q.Time       `json:"t85,omitempty" doc:"cooling time from 800 to 500 °C by the simulation, s; absent where it heats no base metal above 800 °C"`
	Formula  *q.Time       `json:"t85_formula,omitempty" doc:"the same by the closed form at the temperature before this bead, s"`
	Why      string        `json:"why,omitempty" doc:"why there is no cooling time"`
}

// ThermalChart is what the chart of temperature and time shows.
type ThermalChart struct {
	Floor   q.Temperature   `json:"floor" doc:"lowest temperature before a bead, °C"`
	Ceiling *q.Temperature  `json:"ceiling,omitempty" doc:"highest temperature before a bead, °C"`
	Series  []ThermalSeries `json:"series" doc:"the lines"`
	Beads   []ThermalMark   `json:"beads" doc:"when each bead is begun, by the likely flame"`
	Faces   []ThermalFace   `json:"faces,omitempty" doc:"what a reading on each face is expected to show"`
}

// ThermalSeries is one line of the chart.
type ThermalSeries struct {
	Name   string         `json:"name" doc:"what it shows"`
	Points []ThermalPoint `json:"points" doc:"time and temperature"`
}

// ThermalPoint is a temperature at a time.
type ThermalPoint struct {
	At q.Time        `json:"at" doc:"from the lighting of the torch, s"`
	T  q.Temperature `json:"t" doc:"temperature, °C"`
}

// ThermalMark is when a bead was begun.
type ThermalMark struct {
	At    q.Time `json:"at" doc:"from the lighting of the torch, s"`
	Label string `json:"label" doc:"number of the bead"`
}

// ThermalAsk is what a question to the simulation may add; the zero value asks
// for every item at the working level.
type ThermalAsk struct {
	Level    conduct.Level
	Quick    bool // take a coarser level than asked for where the answer would take long
	Item     int  // number of the place, from 1; 0: all
	Readings []HeatReading
	Progress func(ThermalProgress) // told now and then, from the same goroutine
}

// ThermalProgress is how far the simulation is.
type ThermalProgress struct {
	Item      string
	Run       string // which of the runs
	Part, Of  int    // its number and how many there are
	Event     string // what is done to the part
	Simulated q.Time
}

// Thermal simulates the heat and the hydrogen of a job: torch, soak, beads, waits
// and cooling. The shop may be nil: then a usual torch is taken. The error is for
// questions that cannot be answered, and ctx's error where it was cancelled.
func Thermal(ctx context.Context, j job.Job, shop *job.Shop, sys q.System, ask ThermalAsk) (*ThermalAnswer, error) {
	p, planned := begin(j, shop, sys)
	a := &ThermalAnswer{Version: Version, Units: sys, Job: p.Job, Customer: p.Customer, Place: p.Place, Machine: p.Machine,
		Verdict: p.Verdict, Cautions: cautions, Items: []ThermalItem{}}
	if ask.Item < 0 || ask.Item > len(p.Items) {
		return nil, fmt.Errorf("the job has no item %d; 1 to %d are there", ask.Item, len(p.Items))
	}
	byIndex := map[int]*work{}
	for _, w := range planned {
		if len(w.fill.Value.Beads) > 0 {
			byIndex[w.index] = w
		}
	}
	if len(ask.Readings) > 0 && ask.Item == 0 && len(byIndex) > 1 {
		return nil, fmt.Errorf("a reading belongs to one place and the job has %d that are welded: say which by its number", len(byIndex))
	}
	for i, it := range p.Items {
		if ask.Item != 0 && ask.Item != i+1 {
			continue
		}
		item := ThermalItem{Number: i + 1, Name: itemLabel(it, i)}
		if s := touchSection([]Item{it}); len(s.Lines) > 0 {
			item.Sections = []Section{s}
		} else if w := byIndex[i]; w != nil {
			if err := w.thermal(ctx, &item, ask); err != nil {
				return nil, fmt.Errorf("%s: %w", item.Name, err)
			}
		}
		a.Items = append(a.Items, item)
	}
	return a, nil
}

func itemLabel(it Item, index int) string {
	switch {
	case it.Name != "":
		return it.Name
	case it.Part != "":
		return it.Part
	}
	return fmt.Sprintf("item %d", index+1)
}

// thermal fills one item.
func (w *work) thermal(ctx context.Context, item *ThermalItem, ask ThermalAsk) error {
	m, why := w.thermalModel(ask.Level, ask.Quick)
	if why != "" {
		s := Section{ID: "touch", Title: "No simulation"}
		s.add(Hold, why, nil)
		item.Sections = []Section{s}
		return nil
	}
	m.ctx, m.progress = ctx, ask.Progress
	if len(ask.Readings) > 0 {
		if err := m.calibrate(ask.Readings); err != nil {
			return err
		}
	}
	if err := m.runAll(); err != nil {
		return err
	}
	item.Sections = append(item.Sections, m.modelSection())
	if len(ask.Readings) > 0 {
		item.Sections = append(item.Sections, m.readSection())
	}
	item.Sections = append(item.Sections, m.warmSection())
	if m.cold {
		return nil
	}
	hydrogen, err := m.hydrogenSection()
	if err != nil {
		return err
	}
	item.Beads = m.beadRecords()
	item.Sections = append(item.Sections, m.beadSection(item.Beads), m.coolSection(), hydrogen)
	item.Chart = m.chart()
	item.Size = &ThermalSize{m.full.Size.Level.String(), m.full.Size.Cells, m.full.Size.Steps}
	return nil
}

// Figures gives every figure of the answer.
func (a *ThermalAnswer) Figures() []Figure {
	var all []Figure
	for _, it := range a.Items {
		for _, s := range it.Sections {
			for _, l := range s.Lines {
				if l.Figure != nil {
					all = append(all, *l.Figure)
				}
			}
		}
	}
	return all
}

// Find gives a figure of the answer by its name.
func (a *ThermalAnswer) Find(id string) (Figure, error) { return findFigure(a.Figures(), id) }

// simulatedBasis is the basis of a figure that no single method of the heat room
// stands for.
func simulatedBasis(id, title, formula string, notes ...string) source.Basis {
	return source.Basis{Method: id, Title: title, Formula: formula, Ref: source.At("douglas-gunn", "alternating directions, increment form", source.Memory), Notes: notes,
		Also: []source.Ref{source.At("en1993-1-2", "3.4.1: k, c", source.Read)}}
}
