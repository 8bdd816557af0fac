package price

import (
	"fmt"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Call is one call-out: everything that is priced together.
type Call struct {
	Items  []Work  `json:"items"`
	Trip   Trip    `json:"trip"`
	Engine Engine  `json:"engine"`
	Gas    job.Gas `json:"gas,omitempty"`   // that the torch burns; propane where it is not said
	Extra  []Extra `json:"extra,omitempty"` // lines by hand
}

// Work is the computed work at one damaged place. Quantities are for the damage
// as it is seen; what may be hidden is drawn here from Hidden. A quantity that
// does not arise is left zero.
type Work struct {
	Name   string          `json:"name"`
	Crack  Range[q.Length] `json:"crack"`  // length that can be seen
	Remove Range[q.Length] `json:"remove"` // length taken out, sound metal beyond the ends in it
	Sides  int             `json:"sides"`  // sides gouged and ground: 1 or 2; 0 counts as 1
	Looks  int             `json:"looks"`  // crack tests before the weld: find the ends, prove it gone; 0 counts as 1 and 1 for each side

	Passes   Range[q.Length] `json:"passes"`    // all gouging passes together
	Gouge    Range[q.Time]   `json:"gouge"`     // elapsed, with stubs and looks
	GougeArc Range[q.Time]   `json:"gouge_arc"` // of it with the arc on
	Carbons  []CarbonNeed    `json:"carbons,omitempty"`
	Ground   Range[q.Mass]   `json:"ground"` // metal taken off by the grinder

	Backing Range[q.Length] `json:"backing"` // backing bar to cut and fit

	Preheat  Range[q.Time]     `json:"preheat"`   // torch on, from cold to the floor
	TorchGas Range[q.MassRate] `json:"torch_gas"` // fuel gas while the torch is on
	Oxygen   Range[q.Flow]     `json:"oxygen"`    // oxygen while the torch is on
	Soak     Range[q.Time]     `json:"soak"`      // torch off, waiting for the heat to even out
	Reheat   job.Answer        `json:"reheat"`    // must it be re-heated between beads? unknown: yes, if it is preheated
	Reheats  Range[q.Time]     `json:"reheats"`   // torch between beads, all together, where it was computed; zero: by the usual allowance

	WeldMass Range[q.Mass]           `json:"weld_mass"`
	Rods     []RodNeed               `json:"rods,omitempty"`
	Beads    Range[float64]          `json:"beads"`
	Layers   Range[float64]          `json:"layers"`
	Waits    Range[q.Time]           `json:"waits"`     // cooling to the interpass limit, all waits together
	PostHeat Range[q.Time]           `json:"post_heat"` // torch on after the last bead
	Cool     Range[q.Time]           `json:"cool"`      // covered, until it is cold enough to look at
	Hold     q.Time                  `json:"hold"`      // wait before the final crack test, from cold
	Cap      Range[q.Length]         `json:"cap"`       // length ground flush and dressed; 0: left as welded
	Tests    []Test                  `json:"tests,omitempty"`
	Position job.Position            `json:"position"`
	Access   job.Access              `json:"access"`
	Inside   job.Answer              `json:"inside"` // does he work inside a hollow or confined place?
	Hidden   Hidden                  `json:"hidden"`
	Bases    map[string]source.Basis `json:"-"` // of the computed quantities by step id (gouge, preheat, ...), shown with the step
}

// CarbonNeed is one size of carbon.
type CarbonNeed struct {
	Size  q.Length       `json:"size"`
	Count Range[float64] `json:"count"`
}

// RodNeed is one class and size of rod. Count holds the usual waste in its
// likely and high value, as filler.RodsNeeded gives it.
type RodNeed struct {
	Class string         `json:"class"` // as on the tin
	Core  q.Length       `json:"core"`
	Count Range[float64] `json:"count"`
	Mass  q.Mass         `json:"mass"` // of one rod
	Arc   Range[q.Time]  `json:"arc"`  // arc time of one rod
}

// TestMethod is a crack test that is charged for.
type TestMethod string

const (
	PT TestMethod = "pt" // dye penetrant
	MT TestMethod = "mt" // magnetic
	UT TestMethod = "ut" // ultrasonic
)

var testMethods = []TestMethod{PT, MT, UT}

// Test is a crack test, and how many of it.
type Test struct {
	Method TestMethod `json:"method"`
	Count  int        `json:"count"`
}

// Hidden is what points to damage that cannot be seen yet.
type Hidden struct {
	Ends         job.Ends   `json:"ends"`
	Repaired     job.Answer `json:"repaired"`   // welded here before?
	PlateOver    job.Answer `json:"plate_over"` // a plate over or beside the crack?
	Mirror       job.Answer `json:"mirror"`     // the same place on the other side cracked? yes: price it as an item of its own
	Others       job.Answer `json:"others"`     // more cracks seen beside it?
	SteelUnknown bool       `json:"steel_unknown"`
	PaintOnly    bool       `json:"paint_only"` // only the paint shows a line
}

// HiddenOf takes the facts from a job's item. Whether the steel is known is the
// plan's to say.
func HiddenOf(it job.Item, steelUnknown bool) Hidden {
	return Hidden{Ends: it.Crack.Ends, Repaired: it.History.Welded, PlateOver: it.History.PlateOver, Mirror: it.History.Mirror,
		Others: it.Crack.Others, SteelUnknown: steelUnknown}
}

// Trip is the way to the site and what slows the work there.
type Trip struct {
	Distance q.Maybe[q.Length]      `json:"distance"` // one way
	Drive    q.Maybe[q.Time]        `json:"drive"`    // one way
	Alone    job.Answer             `json:"alone"`
	Rules    []job.SiteRule         `json:"rules,omitempty"`
	Air      q.Maybe[q.Temperature] `json:"air"`
	Wind     q.Maybe[q.Speed]       `json:"wind"`
	Wet      job.Wetness            `json:"wet"`
	Shelter  job.Answer             `json:"shelter"`
	AtHeight job.Answer             `json:"at_height"`
	Confined job.Answer             `json:"confined"`
	Watch    Range[q.Time]          `json:"watch"` // fire watch after the last spark; zero: the strictest usual one
}

// TripOf takes the facts from a job's site.
func TripOf(s job.Site) Trip {
	return Trip{Distance: s.Distance, Drive: s.DriveTime, Alone: s.Alone, Rules: s.Rules, Air: s.Air, Wind: s.Wind, Wet: s.Wet,
		Shelter: s.Shelter, AtHeight: s.AtHeight, Confined: s.ConfinedSpace}
}

// Engine is what the engine burns in an hour; zero where there is none (mains).
type Engine struct {
	Weld  Range[q.Flow] `json:"weld"`
	Gouge Range[q.Flow] `json:"gouge"`
	Idle  Range[q.Flow] `json:"idle"`
}

// Extra is a line by hand: hire, a steel bar, a night's lodging.
type Extra struct {
	Name     string `json:"name"`
	Price    string `json:"price"`              // decimal text, as in the shop file
	Material bool   `json:"material,omitempty"` // takes the markup
}

// check refuses work that cannot be.
func (c Call) check() error {
	if len(c.Items) == 0 {
		return fmt.Errorf("nothing to price: give at least one damaged place")
	}
	for i, w := range c.Items {
		if err := w.check(); err != nil {
			return fmt.Errorf("%s: %w", w.name(i), err)
		}
	}
	for _, err := range []error{Exactly(c.Trip.Distance.Or(0)).check("distance"), Exactly(c.Trip.Drive.Or(0)).check("drive time"),
		c.Trip.Watch.check("fire watch"), c.Engine.Weld.check("fuel while welding"), c.Engine.Gouge.check("fuel while gouging"), c.Engine.Idle.check("fuel while idling")} {
		if err != nil {
			return err
		}
	}
	return nil
}

func (w Work) name(index int) string {
	if w.Name != "" {
		return w.Name
	}
	return fmt.Sprintf("item %d", index+1)
}

func (w Work) check() error {
	for _, err := range []error{
		w.Crack.check("crack"), w.Remove.check("length taken out"), w.Passes.check("gouging passes"), w.Gouge.check("gouging time"),
		w.GougeArc.check("gouging arc time"), w.Ground.check("metal ground off"), w.Backing.check("backing"), w.Preheat.check("preheat"), w.Reheats.check("re-heating"),
		w.TorchGas.check("torch gas"), w.Oxygen.check("oxygen"), w.Soak.check("soak"), w.WeldMass.check("weld metal"), w.Beads.check("beads"), w.Layers.check("layers"),
		w.Waits.check("waits between beads"), w.PostHeat.check("post-heat"), w.Cool.check("cooling"), w.Cap.check("cap grinding"),
		Exactly(w.Hold).check("hold time"),
	} {
		if err != nil {
			return err
		}
	}
	if w.Sides < 0 || w.Sides > 2 {
		return fmt.Errorf("%d sides: a groove is worked from 1 or 2", w.Sides)
	}
	if w.Looks < 0 {
		return fmt.Errorf("%d crack looks: give zero or more", w.Looks)
	}
	if w.Remove.Low < w.Crack.Low || w.Remove.Likely < w.Crack.Likely || w.Remove.High < w.Crack.High {
		return fmt.Errorf("the length taken out is shorter than the crack; it holds the crack and sound metal beyond its ends")
	}
	for _, c := range w.Carbons {
		if err := c.Count.check("carbons"); err != nil {
			return err
		}
		if !(c.Size > 0) {
			return fmt.Errorf("a carbon has a diameter above zero")
		}
	}
	for _, r := range w.Rods {
		for _, err := range []error{r.Count.check("rods " + r.Class), r.Arc.check("arc time of " + r.Class)} {
			if err != nil {
				return err
			}
		}
		if r.Class == "" || !(r.Core > 0) || !(r.Mass > 0) {
			return fmt.Errorf("rods need a class, a size and the mass of one rod")
		}
	}
	for _, t := range w.Tests {
		if t.Method != PT && t.Method != MT && t.Method != UT {
			return fmt.Errorf("no crack test %q is charged for; give pt, mt or ut", t.Method)
		}
		if t.Count < 0 {
			return fmt.Errorf("%d tests %s: give zero or more", t.Count, t.Method)
		}
	}
	return nil
}

// sides and looks with their usual values.
func (w Work) sides() int { return max(w.Sides, 1) }

func (w Work) looks() int {
	if w.Looks > 0 {
		return w.Looks
	}
	return 1 + w.sides()
}
