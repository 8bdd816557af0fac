package plan

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// The machine as bodies and contacts: a drawn one by the words of its kind
// (drawn.csv) or as the job says (like), with the job's own contacts put in. The
// body under the arc is found by the words of the part (arcon.csv).

//go:embed drawn.csv
var drawnCSV string

//go:embed arcon.csv
var arconCSV string

var (
	drawnPhrases = readDrawn()
	arcPhrases   = readArcOn() // by machine
)

func readDrawn() []phrase {
	var all []phrase
	for _, r := range source.Table("plan/drawn.csv", drawnCSV) {
		if id := r.Text("machine"); id != "" {
			mustMachine("drawn.csv", id)
		}
		all = append(all, phrases(r, "phrases", r.Text("machine"))...)
	}
	return all
}

func readArcOn() map[string][]phrase {
	all := map[string][]phrase{}
	for _, r := range source.Table("plan/arcon.csv", arconCSV) {
		n := mustMachine("arcon.csv", r.Text("machine"))
		for _, id := range r.List("bodies") {
			if _, ok := n.Body(id); !ok {
				panic("plan: arcon.csv: " + n.ID + " has no body " + id)
			}
		}
		all[n.ID] = append(all[n.ID], phrases(r, "phrases", r.List("bodies")...)...)
	}
	return all
}

func mustMachine(file, id string) power.Network {
	n, err := power.Machine(id)
	if err != nil {
		panic("plan: " + file + ": " + err.Error())
	}
	return n
}

// ownMachine is the id of a machine that only the job's contacts describe.
const ownMachine = "own"

// machineNet is a machine as bodies and contacts, and how it came about.
type machineNet struct {
	power.Network
	notes []string
}

// network gives the machine of a job. ok is false where its kind is not drawn
// and the job gives no contacts.
func network(m job.Machine) (n machineNet, ok bool) {
	switch {
	case m.Like == job.NoDrawing:
	case m.Like != "":
		if drawn, err := power.Machine(string(m.Like)); err == nil {
			n.Network, ok = drawn, true
		}
	default:
		if p, found := find(drawnPhrases, wordsOf(m.Kind)); found && p.means[0] != "" {
			n.Network, ok = mustMachine("drawn.csv", p.means[0]), true
		}
	}
	if !ok {
		n.ID, n.Title = ownMachine, "the machine by the contacts of the job file"
		if len(m.Contacts) == 0 {
			return n, false
		}
		n.own(m.Contacts)
		return n, true
	}
	n.notes = append(n.notes, fmt.Sprintf("Worked out on a simple drawing of a machine of this kind (%s); look at the real one.", n.Title))
	n.own(m.Contacts)
	return n, true
}

// own puts the job's own contacts in. What is given between two parts takes the
// place of what is drawn between them.
func (n *machineNet) own(all []job.Contact) {
	if len(all) == 0 {
		return
	}
	ends := make([][2]string, len(all))
	for i, c := range all {
		ends[i] = [2]string{n.body(c.From), n.body(c.To)}
	}
	var kept []power.Contact
	for _, c := range n.Contacts {
		given := false
		for _, e := range ends {
			given = given || e == [2]string{c.A, c.B} || e == [2]string{c.B, c.A}
		}
		if !given {
			kept = append(kept, c)
		}
	}
	n.Contacts = kept
	for i, c := range all {
		if c.Kind == job.Open {
			continue
		}
		own := power.Contact{A: ends[i][0], B: ends[i][1], Kind: string(c.Kind), Name: c.Name}
		if own.Name == "" {
			own.Name = fmt.Sprintf("%s between %s and %s", kindNames[c.Kind], strings.ToLower(c.From), strings.ToLower(c.To))
		}
		if c.Ohm.Known {
			own.R = q.Known(q.At(c.Ohm.V))
		}
		n.Contacts = append(n.Contacts, own)
	}
	if n.ID != ownMachine {
		n.notes = append(n.notes, "With the contacts that the job file gives.")
	}
}

// kindNames are the kinds of contact as one calls them.
var kindNames = map[job.ContactKind]string{
	"steel": "steel", "bolted": "bolts", "strap": "earth strap", "lug": "coupler", "pin-dry": "tight pin", "pin-greased": "pin", "bush-polymer": "plastic bush",
	"bearing-still": "bearing", "gear": "gears", "cylinder": "cylinder", "spring": "spring", "rope": "rope or chain", "hose": "hose", "electronics": "electronics", "tyre": "tyre",
}

func samePart(b power.Body, name string) bool {
	return job.SamePart(b.ID, name) || job.SamePart(b.Name, name)
}

// body gives the id of a part by its name; one that is not drawn is added.
func (n *machineNet) body(name string) string {
	for _, b := range n.Bodies {
		if samePart(b, name) {
			return b.ID
		}
	}
	id := strings.Join(strings.Fields(strings.ToLower(name)), "-")
	x, y := n.room()
	n.Bodies = append(n.Bodies, power.Body{ID: id, Name: strings.ToLower(strings.TrimSpace(name)), X: x, Y: y, Handy: true})
	return id
}

// room finds the place of the drawing that is farthest from all bodies.
func (n *machineNet) room() (x, y float64) {
	best := -1.0
	for gy := 10.0; gy <= 90; gy += 10 {
		for gx := 10.0; gx <= 90; gx += 10 {
			near := math.Hypot(gx-50, gy-50)/1000 + 1000 // the middle of an empty sheet comes last
			for _, b := range n.Bodies {
				near = min(near, math.Hypot(gx-b.X, gy-b.Y))
			}
			if near > best {
				best, x, y = near, gx, gy
			}
		}
	}
	return x, y
}

// arcOn finds the body under the arc by the words of the part, then of the
// item's name. note says what was assumed.
func (n machineNet) arcOn(it job.Item) (b power.Body, note string, ok bool) {
	all := arcPhrases[n.ID]
	for _, body := range n.Bodies {
		all = append(all[:len(all):len(all)], phrase{words: wordsOf(body.Name), means: []string{body.ID}})
	}
	part, name := wordsOf(it.Part), wordsOf(it.Name)
	for _, text := range [][]string{before(part), before(name)} {
		p, found := find(all, text)
		if !found {
			continue
		}
		for _, id := range p.means { // left or right
			b, _ = n.Body(id)
			for _, side := range wordsOf(b.Name) {
				if (side == "left" || side == "right") && indexOf(append(part, name...), []string{side}) >= 0 {
					return b, "", true
				}
			}
		}
		b, _ = n.Body(p.means[0])
		if len(p.means) > 1 {
			note = "The side is not said: the " + b.Name + " is taken."
		}
		return b, note, true
	}
	return b, "", false
}
