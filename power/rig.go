package power

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Can my rig run it? Each rod and each carbon against each power source, with
// the leads and the air there are.
//
// Method: output kind, current held at the duty cycle asked (duty.go), open-circuit
// voltage, voltage at the arc after the leads, cable by heat, and for a carbon
// air flow, pressure and hose. The voltage that a machine gives at a current is
// not on its plate; what is sure:
//
//	V(I) ≥ plate volts of a point of at least I, rating voltage 20 + 0.04·I where
//	       the plate prints none, because a constant-current curve falls
//	V(I) ≥ chord from the open-circuit voltage to that point, because it bulges (derived)
//	V(I) ≤ open-circuit voltage
//
// so too low a sure voltage is "not known", not "no". A figure that nobody gave
// is "not known" too. Verdict: the worst check.

// State is the outcome of a check.
type State string

// The states, from best to worst.
const (
	Fits    State = "fits"
	LowEnd  State = "low-end" // runs at the low end of its band or a short arc only
	Unknown State = "not-known"
	Short   State = "no"
)

func (s State) rank() int { return slices.Index([]State{Fits, LowEnd, Unknown, Short}, s) }

// Check is one thing asked of the rig.
type Check struct {
	What  string `json:"what"`  // output, current, open-circuit voltage, voltage, cable, air flow, air pressure, air hose
	State State  `json:"state"` // fits, low-end, not-known or no
	Need  string `json:"need"`  // what the use wants, in words
	Have  string `json:"have"`  // what the rig has, in words
	Say   string `json:"say"`   // what that means, a clause; may be empty
}

// Fit is one use on one source.
type Fit struct {
	Source string                   `json:"source"`
	State  State                    `json:"state"`
	Held   q.Maybe[q.Current]       `json:"held"`  // at the duty cycle asked
	At     q.Current                `json:"at"`    // current that the voltage was looked at for
	Duty   q.Maybe[q.Ratio]         `json:"duty"`  // duty cycle at the high end of the band
	Drop   q.Maybe[q.Of[q.Voltage]] `json:"drop"`  // leads
	Needs  q.Of[q.Voltage]          `json:"needs"` // arc and leads: short arc with cold leads to the planned arc with warm ones
	Sure   q.Maybe[q.Voltage]       `json:"sure"`  // least the machine gives there
	Checks []Check                  `json:"checks"`
}

// UseFit is one use with its best source.
type UseFit struct {
	Use     Use      `json:"use"`
	Best    Fit      `json:"best"`
	Others  []Fit    `json:"others,omitempty"`
	Smaller string   `json:"smaller,omitempty"` // next smaller carbon that the rig runs
	Borrow  []string `json:"borrow,omitempty"`
	Say     string   `json:"say"`
}

// RigIn is what the rig check takes.
type RigIn struct {
	Sources []job.Source
	Leads   job.Leads
	Air     job.Air
	Uses    []Use
	Units   q.System // leads in the texts of air and hose
}

// RigReport is the answer of the rig check.
type RigReport struct {
	Uses []UseFit `json:"uses"`          // in the order asked
	Two  []Saying `json:"two,omitempty"` // where two sources together would carry a use that neither carries alone
}

// Rig checks every use against every source. Method id: rig.
func Rig(in RigIn) (source.Result[RigReport], error) {
	var none source.Result[RigReport]
	if len(in.Sources) == 0 {
		return none, fmt.Errorf("no power source given: give its nameplate")
	}
	if len(in.Uses) == 0 {
		return none, fmt.Errorf("nothing to run: give at least one rod or carbon")
	}
	for _, s := range in.Sources { // a plate that contradicts itself is a fault of the file
		if len(s.Points) > 0 {
			if _, err := plate(s); err != nil {
				return none, err
			}
		}
	}
	b := source.Basis{
		Method: "rig", Title: "Can the rig run it?", Formula: "current held at the duty cycle, voltage after the leads, air",
		Ref:   source.At("cable-manuals", "nameplate, duty cycle, cable", source.Read),
		Also:  []source.Ref{fig("gouge-ocv").Ref, fig("load-volts-base").Ref},
		Notes: []string{"Volts that a machine gives under load are not on its plate: what is written here is the least it gives, the curve from the maker may show more."},
		Why:   "A carbon that is too big for the machine does not cut, it only makes noise and black, hard metal.",
		Skip:  "You find out at the quarry, with the groove half cut.",
	}
	var v RigReport
	for _, u := range in.Uses {
		var fits []Fit
		for _, s := range in.Sources {
			fits = append(fits, in.fit(u, s))
		}
		slices.SortStableFunc(fits, func(a, b Fit) int { return a.State.rank() - b.State.rank() })
		f := UseFit{Use: u, Best: fits[0], Others: fits[1:]}
		if f.Best.State == Short {
			f.Borrow = in.borrow(u, f.Best)
			if in.twoWouldDo(u, fits) && len(v.Two) == 0 {
				v.Two = append([]Saying(nil), sayings["two-machines"]...)
			}
		}
		v.Uses = append(v.Uses, f)
	}
	for k := range v.Uses {
		v.Uses[k].Smaller = smaller(v.Uses, v.Uses[k])
		v.Uses[k].Say = v.Uses[k].sentence()
		b.Steps = append(b.Steps, source.Step{Name: v.Uses[k].Use.Name, Value: float64(v.Uses[k].Best.Held.Or(0)), Unit: "A", Text: v.Uses[k].Say})
		for _, r := range v.Uses[k].Use.Refs {
			if !slices.Contains(b.Also, r) {
				b.Also = append(b.Also, r)
			}
		}
	}
	for _, s := range v.Two {
		b.Notes = append(b.Notes, s.Text)
	}
	return source.Result[RigReport]{Value: v, Basis: b}, nil
}

func (in RigIn) fit(u Use, s job.Source) Fit {
	f := Fit{Source: s.Name, State: Fits, At: u.Amps.High}
	add := func(c Check) {
		f.Checks = append(f.Checks, c)
		if c.State.rank() > f.State.rank() {
			f.State = c.State
		}
	}
	add(output(s))
	add(f.current(u, s))
	if u.Kind == Gouge {
		add(openCircuit(s))
	}
	in.volts(&f, u, s, add)
	if u.Kind == Gouge && u.Air.Known {
		in.air(u, add)
	}
	return f
}

// borrow says what would make the use run.
func (in RigIn) borrow(u Use, f Fit) []string {
	var all []string
	for _, c := range f.Checks {
		if c.State != Short {
			continue
		}
		switch c.What {
		case "output", "current", "open-circuit voltage":
			s := fmt.Sprintf("a constant-current power source of %s at %s duty", ampText(u.Amps.Low), percentText(u.Duty))
			if u.Kind == Gouge {
				s += ", " + voltText(q.Voltage(fig("gouge-ocv").Likely)) + " open circuit or more"
			}
			if !slices.Contains(all, s) {
				all = append(all, s)
			}
		case "voltage":
			all = append(all, "shorter or heavier leads")
		case "air flow", "air pressure":
			s := "a compressor of " + u.Air.V.Flow.Text(in.Units) + " at " + u.Air.V.Pressure.High.Text(in.Units)
			if !slices.Contains(all, s) {
				all = append(all, s)
			}
		case "air hose":
			all = append(all, "an air hose of "+u.Air.V.Hose.Text(in.Units)+" bore")
		}
	}
	return all
}

// twoWouldDo says that the current is all that is short, and that two sources together have it.
func (in RigIn) twoWouldDo(u Use, fits []Fit) bool {
	var held []q.Current
	for _, f := range fits {
		onlyCurrent := !slices.ContainsFunc(f.Checks, func(c Check) bool { return c.State == Short && c.What != "current" })
		if onlyCurrent && f.Held.Known {
			held = append(held, f.Held.V)
		}
	}
	slices.Sort(held)
	n := len(held)
	return n >= 2 && held[n-1]+held[n-2] >= u.Amps.Low
}

// smaller names the next smaller carbon that the rig runs.
func smaller(all []UseFit, f UseFit) string {
	if f.Use.Kind != Gouge || f.Best.State == Fits {
		return ""
	}
	best, size := "", q.Length(0)
	for _, o := range all {
		if o.Use.Kind == Gouge && o.Use.Size < f.Use.Size && o.Use.Size > size && o.Best.State.rank() <= LowEnd.rank() {
			best, size = o.Use.Name, o.Use.Size
		}
	}
	return best
}

func (f UseFit) sentence() string {
	var why []string
	for _, c := range f.Best.Checks {
		if c.State == f.Best.State && c.State != Fits {
			why = append(why, c.What+": "+c.Say+" (wants "+c.Need+", has "+c.Have+")")
		}
	}
	name := f.Best.Source
	if name == "" {
		name = "the power source"
	}
	var say string
	switch f.Best.State {
	case Fits:
		say = "runs on " + name
	case LowEnd:
		say = "runs on " + name + " with limits: " + strings.Join(why, "; ")
	case Unknown:
		say = "not known on " + name + ": " + strings.Join(why, "; ")
	case Short:
		say = "does not run on " + name + ": " + strings.Join(why, "; ")
	}
	if f.Smaller != "" {
		say += "; next smaller that runs: " + f.Smaller + ", more passes"
	}
	if len(f.Borrow) > 0 {
		say += "; borrow " + strings.Join(f.Borrow, ", ")
	}
	return say
}
