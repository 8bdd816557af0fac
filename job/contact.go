package job

import (
	"fmt"
	"strings"

	q "soundmetal/quantity"
)

// Contact is a place where two parts of the machine touch, for the way of the
// welding current back to the clamp.
type Contact struct {
	From string                `yaml:"from" doc:"one part: a name of your own, or a part of the drawn machine as the rig command names it"`
	To   string                `yaml:"to" doc:"the other part"`
	Kind ContactKind           `yaml:"kind" doc:"what joins them; open: nothing that conducts. It takes the place of what is drawn between these two parts"`
	Name string                `yaml:"name" doc:"what you call it: left blade pin, earth strap, ..."`
	Ohm  q.Maybe[q.Resistance] `yaml:"ohm" sane:"0.001mohm..1000ohm" doc:"its resistance, where you measured it"`
}

type (
	// DrawnMachine is one of the machines drawn in the power room.
	DrawnMachine string
	// ContactKind is what joins two parts.
	ContactKind string
)

// The words of the contacts that mean something to more than the power room.
const (
	NoDrawing DrawnMachine = "none"
	Open      ContactKind  = "open"
)

// Words lists the drawn machines; none leaves only the job's own contacts.
func (DrawnMachine) Words() []Word {
	return words("quarry-screen|screen", "forestry-carrier|blade-carrier", "tipper", "wheeled-loader|wheel-loader|loader", "tracked-carrier", "none|own")
}

// Words lists the kinds of contact of the power room, and open.
func (ContactKind) Words() []Word {
	return words("steel|weld|welded", "bolted|bolts", "strap|earth-strap", "lug|coupler", "pin-dry|pin-tight", "pin-greased|pin", "bush-polymer|plastic-bush",
		"bearing-still|bearing|slew-ring", "gear|sprocket", "cylinder|ram", "spring", "rope|chain", "hose", "electronics|harness|wiring", "tyre|tire", "open|nothing")
}

// MaxContacts is the most contacts of a machine: far more than anybody writes,
// few enough to solve in a blink.
const MaxContacts = 60

// checkContacts finds contacts that join nothing.
func (r *reader) checkContacts(all []Contact) error {
	if len(all) > MaxContacts {
		return r.fault("machine.contacts", fmt.Sprintf("%d contacts; a machine has at most %d here: leave out what is far from the weld", len(all), MaxContacts))
	}
	for i, c := range all {
		at := fmt.Sprintf("machine.contacts[%d]", i)
		switch {
		case !named(c.From) || !named(c.To):
			return r.fault(at, "a contact joins two parts: give from and to, by their names in letters")
		case SamePart(c.From, c.To):
			return r.fault(at+".to", "both ends are "+c.To)
		case c.Kind == "":
			return r.fault(at, "kind is missing: it says whether the current may cross it; bolted, pin-greased, bearing-still for example")
		case c.Ohm.Known && (c.Kind == Open || c.Kind == "tyre" || c.Kind == "bush-polymer"):
			return r.fault(at+".ohm", fmt.Sprintf("a resistance contradicts kind: %s, which does not conduct; correct one", c.Kind))
		}
	}
	return nil
}

// SamePart says that two names mean one part: case, blanks and hyphens do not count.
func SamePart(a, b string) bool { return plainName(a) == plainName(b) }

func plainName(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(s))), " ")
}

func named(s string) bool { return plainName(s) != "" }
