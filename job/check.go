package job

import (
	"fmt"
	"strings"

	q "soundmetal/quantity"
)

// check finds facts that contradict each other or cannot be.
func (r *reader) check(j Job) error {
	if err := r.checkContacts(j.Machine.Contacts); err != nil {
		return err
	}
	for i, it := range j.Items {
		at := fmt.Sprintf("items[%d].", i)
		if err := r.checkItem(at, it); err != nil {
			return err
		}
	}
	if _, ok := j.Made.Time(); !ok && j.Made != "" {
		return r.fault("made", fmt.Sprintf("%q is not a day; write it as 2026-05-04", string(j.Made)))
	}
	if s := j.Site; s.Air.Known && s.Steel.Known && s.Wet == Snow && s.Steel.V > 60 {
		return r.fault("site.steel", fmt.Sprintf("%s under snow contradicts site.wet: snow; correct one", s.Steel.V.Text(r.system())))
	}
	return nil
}

func (r *reader) system() q.System {
	if r.units == US {
		return q.US
	}
	return q.SI
}

func (r *reader) checkItem(at string, it Item) error {
	sys := r.system()
	c := it.Crack
	switch t := it.Thickness; {
	case t.Known && c.Depth.Known && c.Depth.V > t.V+0.1*q.Millimetre:
		return r.fault(at+"crack.depth", fmt.Sprintf("%s is deeper than the thickness %s; correct one of them", c.Depth.V.Text(sys), t.V.Text(sys)))
	case t.Known && c.Depth.Known && c.Through == Yes && c.Depth.V < t.V*0.95:
		return r.fault(at+"crack.through", fmt.Sprintf("yes contradicts depth %s in a thickness of %s; leave one out", c.Depth.V.Text(sys), t.V.Text(sys)))
	case t.Known && it.Depth.Known && it.Shape == Box && 2*t.V >= it.Depth.V:
		return r.fault(at+"thickness", fmt.Sprintf("two walls of %s do not fit into a box %s deep", t.V.Text(sys), it.Depth.V.Text(sys)))
	case t.Known && it.Width.Known && (it.Shape == Box || it.Shape == Tube) && 2*t.V >= it.Width.V:
		return r.fault(at+"thickness", fmt.Sprintf("two walls of %s do not fit into a %s %s wide", t.V.Text(sys), it.Shape, it.Width.V.Text(sys)))
	}
	if it.Width.Known && c.Length.Known && it.Shape == Plate && c.Corner != Yes && c.Length.V > 1.01*it.Width.V {
		return r.fault(at+"crack.length", fmt.Sprintf("%s is longer than the plate is wide (%s); correct one, or say  corner: yes  if it runs into a second plate", c.Length.V.Text(sys), it.Width.V.Text(sys)))
	}
	for i, b := range it.Behind {
		if b == "nothing" && len(it.Behind) > 1 {
			return r.fault(fmt.Sprintf("%sbehind[%d]", at, i), "nothing contradicts the other entries of the list")
		}
		if b == "closed-hollow" && it.Access == BothSides {
			return r.fault(at+"access", "both sides contradicts behind: closed-hollow; say one, or what opens the hollow")
		}
	}
	h := it.History
	switch {
	case h.Welded == No && (h.Held.Known || h.By != "" || (h.Times.Known && h.Times.V > 0)):
		return r.fault(at+"history.welded", "no contradicts the repair described beside it")
	case h.PlateOver == No && h.PlateEnds != "":
		return r.fault(at+"history.plate_over", "no contradicts plate_ends: "+string(h.PlateEnds))
	}
	s := it.Steel
	switch {
	case s.Magnet == "none" && (s.Family == "s355" || s.Family == "a36"):
		return r.fault(at+"steel.magnet", "none contradicts family: "+s.Family+", which a magnet holds; correct one")
	case s.File == "skates" && s.Hardness.Known && s.Hardness.V < 300:
		return r.fault(at+"steel.file", fmt.Sprintf("a file that skates (above about 55 HRC) contradicts a hardness of %s", s.Hardness.V.Text(sys)))
	}
	return nil
}

// checkShop finds kit that cannot be.
func (r *reader) checkShop(s Shop) error {
	for i, p := range s.Power {
		at := fmt.Sprintf("power[%d].", i)
		for k, d := range p.Points {
			if d.Amps <= 0 || d.Duty <= 0 || d.Duty > 1 {
				return r.fault(fmt.Sprintf("%sduty[%d]", at, k), "a duty point needs amps above zero and a duty between 1 and 100 %")
			}
			if p.Max.Known && d.Amps > p.Max.V {
				return r.fault(fmt.Sprintf("%sduty[%d].amps", at, k), fmt.Sprintf("%s is above the machine's max of %s", d.Amps.Text(r.system()), p.Max.V.Text(r.system())))
			}
		}
	}
	for i, rod := range s.Rods {
		at := fmt.Sprintf("rods[%d].", i)
		switch {
		case strings.TrimSpace(rod.Class) == "":
			return r.fault(fmt.Sprintf("rods[%d]", i), "class is missing: write it as on the tin, E7018-H4R for example")
		case rod.Size <= 0:
			return r.fault(fmt.Sprintf("rods[%d]", i), "size is missing: the core diameter, 1/8 in or 3.2 mm for example")
		case rod.Condition == "sealed" && rod.Opened.Known:
			return r.fault(at+"opened", "a sealed tin has no hours open; say  condition: opened  or leave opened out")
		}
	}
	for i, c := range s.Carbons {
		if c.Size <= 0 {
			return r.fault(fmt.Sprintf("carbons[%d]", i), "size is missing: the diameter, 1/4 in or 6.4 mm for example")
		}
	}
	return r.checkPrices(s.Prices)
}
