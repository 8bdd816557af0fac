package plan

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/cut"
	"soundmetal/power"
	q "soundmetal/quantity"
)

// How the answer on one rod or carbon is told.

var stateWords = map[power.State]string{power.Fits: "fits", power.LowEnd: "fits with limits", power.Unknown: "not known", power.Short: "NO"}

func percent(r q.Ratio) string { return r.Text(q.SI) }

// runs says that the rig runs it, if only at the low end.
func (u *askedUse) runs() bool { return u.State == power.Fits || u.State == power.LowEnd }

// short is the answer on one line.
func (u *askedUse) short() string {
	if u.Unknown != "" {
		return "not known: " + u.Unknown
	}
	wants := "wants " + u.Amps.Text(q.SI) + " at " + percent(u.Duty)
	text := stateWords[u.State]
	if u.Source != noPlate {
		text += " on " + u.Source
	}
	text += ": " + wants
	if u.Held != nil {
		text += ", holds " + u.Held.Text(q.SI)
	}
	return text
}

// reasons are the checks that are not simply passed, one sentence each.
func (u *askedUse) reasons() []reason {
	var all []reason
	var missing []string
	for _, c := range u.Checks {
		if c.State == power.Fits || u.State == power.Short && c.State != power.Short {
			continue // where something is missing the rest does not matter
		}
		if c.Have == notKnown {
			missing = append(missing, c.What)
			continue
		}
		text := c.What + ": wants " + c.Need + ", has " + c.Have
		if c.Say != "" {
			text += "; " + c.Say
		}
		kind := Note
		if c.State == power.Short {
			kind = Caution
		}
		all = append(all, reason{kind, capital(text)})
	}
	if len(missing) > 0 {
		all = append(all, reason{Note, capital("not known: " + strings.Join(missing, ", "))})
	}
	return all
}

// notKnown is how the power room says that nobody gave a figure.
const notKnown = "not known"

type reason struct {
	kind LineKind
	text string
}

// numbers are the current that the source holds or, where its plate is not
// known, the band that is wanted.
func (u *askedUse) numbers(f *Figure) {
	if u.Held != nil {
		held := float64(*u.Held)
		f.Value = &held
		return
	}
	low, high := float64(u.Amps.Low), float64(u.Amps.High)
	f.Low, f.High = &low, &high
}

// lines writes one use into its section.
func (u *askedUse) lines(s *Section, f figures, n int, several bool) {
	text := u.short()
	if !u.OnTruck {
		text += "; not on the truck"
	}
	fig := Figure{ID: f.id(fmt.Sprint(n)), Label: u.Name, Unit: "A", Text: text, Basis: u.basis}
	if u.Unknown != "" {
		s.add(Note, u.Name+" "+text+".", nil)
		return
	}
	u.numbers(&fig)
	s.figure(fig)
	if len(u.For) > 0 {
		s.add(Note, "Wanted: "+strings.Join(u.For, "; ")+".", nil)
	}
	for _, reason := range u.reasons() {
		b := u.basis
		s.add(reason.kind, reason.text, &b)
	}
	if several && len(u.Others) > 0 {
		var others []string
		for _, o := range u.Others {
			others = append(others, o.Source+" "+stateWords[o.State])
		}
		s.add(Note, "The others: "+strings.Join(others, ", ")+".", nil)
	}
}

// rodSection is every rod.
func (r *rigWork) rodSection() Section {
	s := Section{ID: "rods", Title: "Rods on this rig"}
	r.useLines(&s, power.Weld)
	if r.wires {
		s.add(Note, "Wires are not looked at here: they want a feeder and a constant-voltage source.", nil)
	}
	r.findOut(&s, power.Weld)
	return s
}

// findOut says how to learn what is not known, each fact once, under the first
// kind of use that asks for it.
func (r *rigWork) findOut(s *Section, kind power.UseKind) {
	for i := range r.uses {
		u := &r.uses[i]
		if u.Kind != string(kind) || u.State == power.Short {
			continue
		}
		for _, c := range u.Checks {
			if c.Have != notKnown || has(r.found, c.What) || c.What == "voltage" {
				continue
			}
			r.found = append(r.found, c.What)
			say := c.Say
			if c.What == "leads" {
				say = "read the size off the jacket, pace out both leads"
			}
			s.add(Do, "To find out: "+c.What+": "+strings.TrimSuffix(say, ".")+".", nil)
		}
	}
}

func (r *rigWork) useLines(s *Section, kind power.UseKind) {
	f, n := figures{s.ID}, 0
	for i := range r.uses {
		if u := &r.uses[i]; u.Kind == string(kind) {
			n++
			u.lines(s, f, n, len(r.sources()) > 1)
			if kind == power.Gouge {
				r.smallerLines(s, u)
			}
		}
	}
}

// smallerLines says what a carbon that does not run costs with the next smaller one.
func (r *rigWork) smallerLines(s *Section, u *askedUse) {
	if u.State != power.Short {
		return
	}
	if amps, err := cut.Current(u.Size); err == nil {
		for _, n := range amps.Basis.Notes {
			if rest, ok := strings.CutPrefix(n, "published tables disagree: "); ok {
				s.add(Note, capital("published tables disagree, "+rest+". The main table counts here; below it expect slow work and dross"), &amps.Basis)
			}
		}
	}
	i := slices.IndexFunc(r.uses, func(o askedUse) bool { return o.Name == u.Smaller })
	if i >= 0 {
		big, err1 := cut.OnePass(u.Size, q.Maybe[q.Length]{})
		small, err2 := cut.OnePass(r.uses[i].Size, q.Maybe[q.Length]{})
		if err1 == nil && err2 == nil {
			s.add(Do, fmt.Sprintf("Take the %s instead: it runs here; for the same metal about %.1f times the passes and the time.", u.Smaller,
				float64(big.Value.Area/small.Value.Area)), &small.Basis)
		}
	}
	if len(u.Borrow) > 0 {
		s.add(Do, "To run it, borrow "+strings.Join(u.Borrow, "; ")+".", nil)
	}
}
