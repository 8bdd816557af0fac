package joint

// The groove's shape by access, thickness and process.
//
// Method: a decision by the repair rules.
//   through, both sides reachable   gouge half (to two thirds) of the thickness,
//                                   weld, back-gouge to sound metal, weld
//   through, one side               steel backing and a wide root opening; else
//                                   open root with a root face, which without
//                                   back-gouge is not a code complete-penetration weld
//   not through                     a groove 3 mm below the crack
//   thin, or ground by choice       V by the grinder; square up to 3 mm
//   gouged                          U with a root radius of the pass and the grinding,
//                                   at least 6 mm, sides 10 to 20° from vertical
// Source: common practice; V and backing measures AWS D1.1 details from memory.

import (
	"fmt"
	"math"

	"soundmetal/cut"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Process is how the groove is dug.
type Process string

const (
	AnyProcess Process = ""      // counted as gouging
	Gouging    Process = "gouge" // air carbon-arc, then ground
	Grinding   Process = "grind"
)

// Root says how the root is made sound.
type Root string

const (
	OnBacking  Root = "backing"     // on a steel backing that stays
	BackGouged Root = "back-gouge"  // from behind, to sound metal
	OpenRoot   Root = "open root"   // from one side, unproven
	InMetal    Root = "not through" // the groove ends in the part
)

// Complete says that the root counts as complete penetration under a code:
// backing or back-gouge. A groove that does not go through has no such root.
func (r Root) Complete() bool { return r == OnBacking || r == BackGouged }

// shaped is the groove chosen, with the reasons.
type shaped struct {
	groove Groove
	root   Root
	notes  []string
	refs   []source.Ref
}

// depthOf is how deep the groove must go; through says right through.
func (d Damage) depthOf(t q.Length) (depth q.Length, through bool, note string) {
	land := figure("land").length()
	switch {
	case d.Through == job.Yes:
		return t, true, ""
	case !d.Depth.Known && d.Through == job.No:
		return t, true, "depth not known: planned right through; gouge and look, and stop where it is gone"
	case !d.Depth.Known:
		return t, true, "not known whether it goes through: planned as through"
	}
	depth = d.Depth.V + figure("sound-below").length()
	if t-depth < land {
		return t, true, fmt.Sprintf("less than %.0f mm would be left behind the groove: it is taken right through", land.MM())
	}
	return depth, false, ""
}

// shapeOf chooses the groove.
func (d Damage) shapeOf(t q.Length) (shaped, error) {
	depth, through, note := d.depthOf(t)
	s := shaped{}
	if note != "" {
		s.notes = append(s.notes, note)
	}
	u, err := d.uShape(t)
	if err != nil {
		return s, err
	}
	rise := q.Length(float64(u.Radius) * (1 - math.Sin(float64(u.Angle))))
	thin := t < figure("thin").length()
	gouge := d.Process != Grinding && !thin
	switch {
	case !through:
		s.root = InMetal
		s.groove = groundV(depth, t)
		if gouge && depth >= rise {
			s.groove, s.refs = u, []source.Ref{figure("gouge-radius").Ref, figure("gouge-side").Ref}
			s.groove.Depth = depth
		} else {
			s.notes = append(s.notes, "ground to a V, its bottom rounded off with the edge of the disc")
			s.refs = []source.Ref{figure("grind-v").Ref}
		}
	case t <= figure("square").length() && (d.Access == job.BothSides || d.Backing == job.No):
		s.root = OpenRoot
		s.groove = Groove{Shape: Square, RootOpening: figure("square-gap").length(), Depth: t, Thickness: t}
		s.refs = []source.Ref{figure("square").Ref}
		if d.Access == job.BothSides {
			s.notes = append(s.notes, "thin: weld one side, grind the back to sound metal and seal it with one bead")
		}
	case d.Access == job.BothSides:
		s.root = BackGouged
		share, bite := figure("first-side"), figure("bite").length()
		first := q.Length(share.Likely) * t
		second := t - first + bite
		s.refs = []source.Ref{share.Ref, figure("bite").Ref}
		if gouge && first >= rise && second >= rise {
			a, b := u, u
			a.Depth, b.Depth, b.Thickness = first, second, t
			a.SecondSide = &b
			s.groove = a
			break
		}
		// too thin for two gouges: a ground V nearly through, and the rest from behind
		if !gouge && t >= 2*figure("thin").length() {
			second = t - first + bite // thick plate by grinder: two equal sides waste least
		} else {
			first = t - figure("open-face").length()
			second = t - first + min(bite, first/2) // a thin first side is not cut away again
		}
		s.groove = groundV(first, t)
		b := groundV(second, t)
		s.groove.SecondSide = &b
		s.notes = append(s.notes, "ground to a V from both sides: too thin for a carbon, or by choice")
		s.refs = append(s.refs, figure("grind-v").Ref)
	case d.Backing != job.No:
		s.root = OnBacking
		s.groove = Groove{Shape: SingleV, Angle: figure("backing-angle").angle(), RootOpening: figure("backing-gap").length(),
			Depth: t, Thickness: t, Backing: SteelBacking, BackingSize: figure("backing-size").length()}
		if thin {
			s.groove.RootOpening, s.groove.BackingSize = figure("backing-gap").lengths().Low, figure("backing-size").lengths().Low
		}
		s.refs = []source.Ref{figure("backing-gap").Ref, source.At("shovel-manual", "tight backing bar", source.Read)}
		s.notes = append(s.notes, "the backing must fit tight and run the whole length in one piece: a loose or butted backing is a crack ready made; bevel and weld its joints first",
			"the backing stays in a closed section and lowers the fatigue class: a window cut in the far wall may be the better way")
		if d.Backing == job.Unknown {
			s.notes = append(s.notes, "not known whether a backing can be fitted: look before you load")
		}
	default:
		s.root = OpenRoot
		s.groove = groundV(t, t)
		s.groove.RootOpening, s.groove.RootFace = figure("open-gap").length(), figure("open-face").length()
		s.refs = []source.Ref{figure("open-gap").Ref, figure("open-face").Ref}
	}
	if s.root == OpenRoot {
		s.notes = append(s.notes, "open root from one side, without backing or back-gouge: not a code complete-penetration weld; the root is not proven")
	}
	if d.Process != Grinding && !thin && s.groove.Shape == SingleV && through && d.Access != job.BothSides {
		s.notes = append(s.notes, "gouge it out as a U, cut the root open, then grind the sides to the angle")
	}
	s.groove, err = s.groove.withWidths()
	return s, err
}

// uShape is the gouged U: its radius holds half a pass and the metal ground off.
func (d Damage) uShape(t q.Length) (Groove, error) {
	r := figure("gouge-radius").length()
	if d.Carbon.Known {
		pass, err := cut.PassWidth(d.Carbon.V)
		if err != nil {
			return Groove{}, err
		}
		grind, err := cut.GrindOff(d.Steel)
		if err != nil {
			return Groove{}, err
		}
		r = max(r, pass.Value/2+grind.Value.Likely)
	}
	return Groove{Shape: SingleU, Angle: figure("gouge-side").angle(), Radius: r, Thickness: t}, nil
}

func groundV(depth, t q.Length) Groove {
	return Groove{Shape: SingleV, Angle: figure("grind-v").angle(), Depth: depth, Thickness: t}
}
