package conduct

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
)

// Case is one history to be computed: the part, what surrounds it, and what is
// done to it in order.
type Case struct {
	Body     Body
	Steel    *Material // nil is Carbon
	Start    q.Temperature
	Env      Environment
	Surfaces []Surface // where a surface differs from Env; the first that fits counts
	Probes   []Probe
	Events   []Event
}

// Probe is a place where the temperature is kept.
type Probe struct {
	Name string
	At   Point
}

// Event is one thing done to the part: Torch, Wait, Bead, Blanket, Gouge or Weather.
type Event interface{ kind() string }

// Until ends an event.
type Until struct {
	Probes  []string // names; none: the event lasts For
	AtLeast q.Maybe[q.Temperature]
	AtMost  q.Maybe[q.Temperature]
	Any     bool   // one of the probes is enough; else all of them
	For     q.Time // the longest it may last
	Least   q.Time // the shortest
}

// Torch moves a flame to and fro along Path over the surface that looks to
// Face, until a condition. The flux is a bell of revolution
// q″ = ηP/(πr²)·exp(−ρ²/r²).
type Torch struct {
	Name       string
	Face       Face
	Path       []Point  // one point dwells; the coordinate along Face's axis picks the surface
	Speed      q.Speed  // zero: spread evenly along Path, as quick sweeping does
	Power      q.Power  // gross, of the gas burnt
	Efficiency q.Ratio  // part that reaches the steel under the flame
	Radius     q.Length // r, where the flux is 1/e of its middle
	Until      Until
}

// Wait lets the part stand.
type Wait struct {
	Name  string
	Until Until
}

// Bead is one arc pass along a straight line. With a groove in the body the bead
// fills the open cells nearest to its line as the arc goes by.
type Bead struct {
	Name     string
	From, To Point
	Speed    q.Speed
	Power    q.Power  // into the steel: efficiency × volts × amps
	PerRod   q.Length // weld length of one rod; zero: no changes
	Change   q.Time   // time of one rod change
	Patch    Patch    // zero: by the row rod-medium
	Hold     *Hold    // what must be so before the arc is struck
}

// Patch is the spread of the arc's heat: a bell in each direction, 5 % of its
// middle at the half-lengths (Goldak).
type Patch struct{ Along, Across, Depth q.Length }

// Hold is the control rule before a bead: wait while any probe is above Ceiling,
// heat while any is below Floor.
type Hold struct {
	Probes  []string
	Floor   q.Maybe[q.Temperature]
	Ceiling q.Maybe[q.Temperature]
	Warm    q.Maybe[q.Temperature] // heat on to this once a probe is below Floor; unknown: to Floor
	Reheat  *Torch                 // its Until is not used; nil: no heating, the bead is laid cold and marked so
	Longest q.Time                 // of one wait or heating; zero: 4 h
}

// Blanket covers faces, or uncovers all with Off. Several blankets may lie.
type Blanket struct {
	Name  string
	Where []Region
	Film  Film // of the blanket alone, k/thickness; zero: the row blanket
	Off   bool
}

// Weather changes the environment from then on: wind rises, a shelter is put up.
type Weather struct {
	Name string
	Env  Environment
}

func (Torch) kind() string   { return "torch" }
func (Wait) kind() string    { return "wait" }
func (Bead) kind() string    { return "bead" }
func (Blanket) kind() string { return "blanket" }
func (Weather) kind() string { return "weather" }

// check finds what is wrong with a case before anything is computed.
func (c *Case) check() error {
	if err := c.Body.check(); err != nil {
		return err
	}
	if err := c.Env.check(); err != nil {
		return err
	}
	if !(c.Start > -90 && c.Start < 1200) {
		return fmt.Errorf("start temperature %.4g °C: -90 to 1200 °C is accepted", c.Start.C())
	}
	names := map[string]bool{}
	for _, p := range c.Probes {
		if p.Name == "" || names[p.Name] {
			return fmt.Errorf("probe %q: every probe needs a name of its own", p.Name)
		}
		names[p.Name] = true
	}
	known := func(list []string) error {
		for _, n := range list {
			if !names[n] {
				return fmt.Errorf("no probe %q in the case", n)
			}
		}
		return nil
	}
	until := func(u Until) error {
		if err := known(u.Probes); err != nil {
			return err
		}
		if !(u.For > 0) || math.IsInf(float64(u.For), 0) {
			return fmt.Errorf("needs a longest time above zero")
		}
		if len(u.Probes) > 0 && !u.AtLeast.Known && !u.AtMost.Known {
			return fmt.Errorf("names probes but no temperature to reach")
		}
		return nil
	}
	for i, e := range c.Events {
		var err error
		switch e := e.(type) {
		case Torch:
			if err = e.check(&c.Body); err == nil {
				err = until(e.Until)
			}
		case Wait:
			err = until(e.Until)
		case Bead:
			err = e.check(&c.Body)
			if h := e.Hold; err == nil && h != nil {
				err = known(h.Probes)
				if err == nil && h.Reheat != nil {
					err = h.Reheat.check(&c.Body)
				}
				if err == nil && h.Floor.Known && h.Ceiling.Known && h.Floor.V >= h.Ceiling.V {
					err = fmt.Errorf("floor %.4g °C is not below the ceiling %.4g °C", h.Floor.V.C(), h.Ceiling.V.C())
				}
			}
		case Blanket:
			if e.Film < 0 {
				err = fmt.Errorf("a blanket lets through 0 or more W/m²K")
			}
		case Gouge:
			err = e.check()
		case Weather:
			err = e.Env.check()
		default:
			err = fmt.Errorf("a torch, wait, bead, blanket, gouge or weather is accepted, by value")
		}
		if err != nil {
			return fmt.Errorf("event %d (%s): %w", i+1, eventName(e), err)
		}
	}
	return nil
}

// eventName is the name given to an event, or its kind.
func eventName(e Event) string {
	name := ""
	switch e := e.(type) {
	case nil:
		return "nothing"
	case Torch:
		name = e.Name
	case Wait:
		name = e.Name
	case Bead:
		name = e.Name
	case Blanket:
		name = e.Name
	case Gouge:
		name = e.Name
	case Weather:
		name = e.Name
	}
	if name == "" {
		name = e.kind()
	}
	return name
}

func (t *Torch) check(b *Body) error {
	switch {
	case len(t.Path) == 0:
		return fmt.Errorf("a torch needs at least one point of its path")
	case !(t.Power > 0):
		return fmt.Errorf("gross power %.4g W: above zero is accepted", float64(t.Power))
	case !(t.Efficiency > 0 && t.Efficiency <= 1):
		return fmt.Errorf("efficiency %.4g: above 0 up to 1 is accepted", float64(t.Efficiency))
	case !(t.Radius > 0):
		return fmt.Errorf("flame radius %.4g mm: above zero is accepted", t.Radius.MM())
	case t.Speed < 0:
		return fmt.Errorf("speed %.4g m/s: zero or above is accepted", float64(t.Speed))
	case t.Face >= faces:
		return fmt.Errorf("a torch needs the face it plays on")
	}
	return nil
}

func (d *Bead) check(b *Body) error {
	length := d.length()
	switch {
	case !(length > 0):
		return fmt.Errorf("a bead needs a start and an end apart from each other")
	case !(d.Power > 0):
		return fmt.Errorf("arc power %.4g W: above zero is accepted", float64(d.Power))
	case !(d.Speed > 0):
		return fmt.Errorf("travel speed %.4g m/s: above zero is accepted", float64(d.Speed))
	case b.HalfY && (math.Abs(float64(d.From.Y)) > 1e-9 || math.Abs(float64(d.To.Y)) > 1e-9):
		return fmt.Errorf("half a body takes beads on its plane y = 0 only; give the whole body")
	case b.HalfX:
		return fmt.Errorf("a moving arc is not even about x = 0; give the whole length")
	case d.PerRod < 0 || d.Change < 0:
		return fmt.Errorf("weld length per rod and time of a change must be zero or above")
	case d.Patch.Along < 0 || d.Patch.Across < 0 || d.Patch.Depth < 0:
		return fmt.Errorf("the patch of the arc needs lengths above zero")
	}
	return nil
}

func (d *Bead) length() float64 {
	a, b := d.From.xyz(), d.To.xyz()
	return math.Sqrt((b[0]-a[0])*(b[0]-a[0]) + (b[1]-a[1])*(b[1]-a[1]) + (b[2]-a[2])*(b[2]-a[2]))
}

// HeatInput is the net heat input, arc power over speed.
func (d *Bead) HeatInput() q.HeatInput { return q.HeatInput(float64(d.Power) / float64(d.Speed)) }
