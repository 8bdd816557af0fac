package filler

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Candidates judges every rod on the truck, and every class of the table, for
// one weld.
//
// Method: nobody knows the steel, so a rod is judged against every credible
// steel and the worst verdict stands. Against each steel it matches, is weaker,
// is stronger, or is another metal (match.csv); prefer.csv says how that suits
// the weld, rules.csv says what is never done and on which condition, and the
// exposure clock says whether the tin is dry enough. In a joint of two steels
// the weaker side sets the strength. Verdicts first, then points, then the
// weaker rod, then the drier tin, then the order of the class table.

const wanted = 3 // classes shown as what should be on the truck

// Candidates ranks the rods for one weld. Method id: filler-choice.
func Candidates(in Need) (source.Result[Choice], error) {
	var none source.Result[Choice]
	if err := in.check(); err != nil {
		return none, err
	}
	b := source.Basis{
		Method: "filler-choice", Title: "Which rod for this weld",
		Formula: "worst verdict over every credible steel",
		Inputs:  in.inputs(),
		Ref:     source.At("aws-d1.1", "matching filler metal", source.Memory),
		Why:     "The rod is chosen for the weld, not for the machine: a full joint in tension wants strength, a fillet or a root wants to stretch.",
		Skip:    "Too strong a rod cracks the plate, too weak a rod tears, the wrong metal does both.",
	}
	var v Choice
	for i, rod := range in.Rods {
		c, err := in.onTruck(i, rod)
		if err != nil {
			b.Notes = append(b.Notes, err.Error())
			continue
		}
		if c.Verdict == No {
			v.Never = append(v.Never, c)
		} else {
			v.Use = append(v.Use, c)
		}
	}
	for _, c := range classes {
		if c.Process != Rod {
			continue // a man with a rod holder can run any of these; a wire needs a feeder
		}
		w := in.judge(c)
		in.askMark(&w)
		if w.Verdict != No {
			v.Want = append(v.Want, w)
		}
	}
	for _, list := range [][]Candidate{v.Use, v.Never, v.Want} {
		slices.SortStableFunc(list, better)
	}
	v.Want = v.Want[:min(wanted, len(v.Want))]
	v.Short = len(v.Want) > 0 && !slices.ContainsFunc(v.Use, func(c Candidate) bool {
		return c.Verdict.rank() <= v.Want[0].Verdict.rank() && c.Points <= v.Want[0].Points
	})
	v.Ask = in.ask()
	for _, c := range slices.Concat(v.Use, v.Never) {
		b.Steps = append(b.Steps, source.Step{Name: "on the truck: " + c.Class.String(), Value: c.Points, Unit: "points", Text: c.summary()})
	}
	for _, c := range v.Want {
		b.Steps = append(b.Steps, source.Step{Name: "wanted: " + c.Class.String(), Value: c.Points, Unit: "points", Text: c.summary()})
		b.Also = addRefs(b.Also, c.Reasons)
	}
	if len(v.Want) == 0 {
		b.Notes = append(b.Notes, "No rod of the table is for this joint.")
	}
	if v.Ask != "" {
		b.Notes = append(b.Notes, v.Ask)
	}
	return source.Result[Choice]{Value: v, Basis: b}, nil
}

func (in Need) check() error {
	if len(in.Steels) == 0 {
		return fmt.Errorf("no credible steel given: give at least one, %q if nothing is known", Unlisted)
	}
	for _, s := range slices.Concat(in.Steels, in.Other) {
		if _, ok := groups[s.Group]; !ok {
			var known []string
			for g := range groups {
				known = append(known, string(g))
			}
			slices.Sort(known)
			return fmt.Errorf("steel group %q is not known; accepted: %s", s.Group, strings.Join(known, ", "))
		}
	}
	switch in.Weld {
	case GrooveTension, FilletShear, Root, Butter:
		return nil
	}
	return fmt.Errorf("weld %q is not known; accepted: %s, %s, %s, %s", in.Weld, GrooveTension, FilletShear, Root, Butter)
}

func (in Need) inputs() []source.Input {
	names := func(bs []Base) string {
		var all []string
		for _, s := range bs {
			name := s.Name
			if name == "" {
				name = groups[s.Group].title
			}
			if s.Yield.Known {
				name += ", yield " + stressText(s.Yield.V)
			} else {
				name += ", yield not known, taken as " + stressText(s.yield())
			}
			all = append(all, name)
		}
		return strings.Join(all, "; ")
	}
	all := []source.Input{{Name: "credible steels", Text: names(in.Steels)}}
	if len(in.Other) > 0 {
		all = append(all, source.Input{Name: "other side", Text: names(in.Other)})
	}
	all = append(all, source.Input{Name: "weld", Text: string(in.Weld)}, source.Input{Name: "position", Text: orUnknown(string(in.Position))})
	if in.Hydrogen.Known {
		all = append(all, source.Input{Name: "hydrogen allowed", Text: LevelName(in.Hydrogen.V)})
	}
	return all
}

// demand is the yield that the weld must answer to against one steel: where two
// parts meet, the weaker side sets it.
func (in Need) demand(s Base, other []Base) q.Stress {
	y := s.yield()
	if len(other) == 0 {
		return y
	}
	strongest := q.Stress(0)
	for _, o := range other {
		strongest = max(strongest, o.yield())
	}
	return min(y, strongest)
}

func (in Need) has(g Group) bool {
	return slices.ContainsFunc(slices.Concat(in.Steels, in.Other), func(b Base) bool { return b.Group == g })
}

// holds says whether a condition of rules.csv holds.
func (in Need) holds(when string, c Class) bool {
	hot := in.Service.Known && float64(in.Service.V) > fig("hot-service").Likely
	switch when {
	case "":
		return true
	case "hot":
		return hot
	case "not-hot":
		return !hot
	case "impact":
		return in.Impact == job.Yes
	case "wind":
		return in.Wind.Known && float64(in.Wind.V/q.KilometrePerHour) > fig("gas-wind").Likely
	case "wind-unknown":
		return !in.Wind.Known
	case "with-manganese":
		return in.has(MnSteel)
	case "no-manganese":
		return !in.has(MnSteel)
	case "strong":
		return c.Yield.Known && c.Yield.V.MPa() > fig("wear-plate-yield").Likely
	}
	panic("filler: condition " + when)
}

func (r ruleRow) fits(c Class, s Base, w Weld) bool {
	in := func(list []string, v string) bool { return len(list) == 0 || slices.Contains(list, v) }
	return in(r.metal, string(c.Metal)) && in(r.coating, string(c.Coating)) && in(r.process, string(c.Process)) &&
		in(r.class, c.ID) && in(r.group, string(s.Group)) && in(r.weld, string(w))
}

// judge weighs a class against every credible steel of both sides.
func (in Need) judge(c Class) Candidate {
	v := Candidate{Class: c, Rod: -1, Verdict: Use}
	if c.Metal == Ferritic && c.Limits.Known() {
		v.CET = q.Known(c.cet())
	}
	say := func(verdict Verdict, text, instead string, ref source.Ref) {
		v.Verdict = worse(v.Verdict, verdict)
		r := Reason{text, instead, verdict, ref}
		if !slices.Contains(v.Reasons, r) {
			v.Reasons = append(v.Reasons, r)
		}
	}
	if !c.Runs(in.Position) {
		if in.Position == "" {
			say(UseIf, "position not known; this one runs "+strings.ReplaceAll(c.positions, "|", " and ")+" only", "", c.Ref)
		} else {
			say(No, "not run "+string(in.Position), "an all-position rod, or turn the part", c.Ref)
		}
	}
	strongest := q.Stress(0)
	v.Points = -1e9
	for _, side := range [][2][]Base{{in.Steels, in.Other}, {in.Other, in.Steels}} {
		for _, s := range side[0] {
			y := in.demand(s, side[1])
			points := 0.0
			strategy := c.strategy(y)
			if y > strongest {
				strongest, v.Strategy = y, strategy
			}
			p, ruled := prefer(s, in.Weld, strategy)
			if ruled {
				points += p.points
				say(p.verdict, p.text, "", p.ref)
			}
			for _, r := range rules {
				if r.fits(c, s, in.Weld) && in.holds(r.when, c) {
					points += r.points
					ruled = ruled || r.verdict != Use || r.points != 0
					say(r.verdict, r.text, r.instead, r.ref)
				}
			}
			if !ruled {
				say(No, "no rule of ours puts this metal on "+groups[s.Group].title, "", groups[s.Group].ref)
			}
			v.Points = max(v.Points, points)
		}
	}
	return v
}

// onlyAgainst drops what speaks for a rod that is not to be used.
func (c *Candidate) onlyAgainst() {
	if c.Verdict == No {
		c.Reasons = slices.DeleteFunc(c.Reasons, func(r Reason) bool { return r.Verdict != No })
	}
}

// onTruck judges a tin with its exposure clock and its size.
func (in Need) onTruck(i int, rod job.Rod) (Candidate, error) {
	onQT := in.has(Quenched)
	dry, err := Dryness(DryIn{Rod: rod, Rebaked: i < len(in.Rebaked) && in.Rebaked[i], OnQT: onQT, Oven: in.Oven})
	if err != nil {
		return Candidate{}, err
	}
	c := in.judge(dry.Value.Class)
	c.Rod, c.Dry = i, q.Known(dry.Value)
	add := func(verdict Verdict, points float64, text, instead string, ref source.Ref) {
		c.Verdict, c.Points = worse(c.Verdict, verdict), c.Points+points
		c.Reasons = append(c.Reasons, Reason{text, instead, verdict, ref})
	}
	switch dry.Value.State {
	case Scrap:
		add(No, 0, dry.Value.Say, "a fresh tin", dry.Basis.Ref)
	case Rebake:
		verdict, text := UseIf, dry.Value.Say
		if in.Oven == job.No {
			text += " There is no oven here: take a fresh tin, or plan with " + LevelName(dry.Value.Hydrogen.Or(Uncontrolled())) + "."
		}
		add(verdict, 2, text, "a fresh tin", dry.Basis.Ref)
	}
	if h := in.Hydrogen; h.Known && dry.Value.Hydrogen.Known && dry.Value.Hydrogen.V > h.V {
		text := fmt.Sprintf("brings %s where the plan allows %s", LevelName(dry.Value.Hydrogen.V), LevelName(h.V))
		if dry.Value.Baked.Known && dry.Value.Baked.V <= h.V && in.Oven != job.No {
			add(UseIf, 1, text+", until it is baked", "", dry.Basis.Ref)
		} else {
			add(No, 0, text, "a rod marked "+LevelName(h.V)+" or lower, or more preheat", dry.Basis.Ref)
		}
	}
	out := in.Position == job.Vertical || in.Position == job.Overhead
	if f := fig("low-hydrogen-out-of-position"); out && c.Class.Coating == Basic && c.Class.Process == Rod && rod.Size.MM() > f.Likely+0.1 {
		add(No, 0, "too thick for "+string(in.Position)+" welding: 4.0 mm (5/32 in) at most", "a smaller rod, or turn the part", f.Ref)
	}
	if c.Class.Assumed != "" {
		add(Use, 0, c.Class.Assumed, "", c.Class.Ref)
	}
	c.onlyAgainst()
	return c, nil
}

// askMark says which mark a wanted class must carry for the plan's hydrogen.
func (in Need) askMark(c *Candidate) {
	if h := in.Hydrogen; h.Known && c.Class.LowHydrogen() && c.Class.Level().Or(0) > h.V {
		c.Reasons = append(c.Reasons, Reason{"buy it marked " + LevelName(h.V) + " or lower", "", Use, c.Class.Ref})
	} else if h.Known && !c.Class.LowHydrogen() && c.Class.Level().Or(0) > h.V {
		c.Verdict = No
	}
}

func better(a, b Candidate) int {
	return cmp.Or(
		cmp.Compare(a.Verdict.rank(), b.Verdict.rank()),
		cmp.Compare(a.Points, b.Points),
		cmp.Compare(a.Class.UTS.Or(0), b.Class.UTS.Or(0)),
		cmp.Compare(a.wetness(), b.wetness()),
	)
}

// wetness is the hydrogen of a tin; a class that is still to be bought has none,
// since it is bought with the mark that the plan asks for.
func (c Candidate) wetness() q.Hydrogen {
	if c.Dry.Known {
		return c.Dry.V.Hydrogen.Or(0)
	}
	return 0
}

// ask says when the credible steels want different rods.
func (in Need) ask() string {
	first := map[string]bool{}
	type kin struct { // steels of one group and yield want the same rod
		group Group
		yield q.Stress
	}
	asked := map[kin]bool{}
	for _, s := range in.Steels {
		if k := (kin{s.Group, s.yield()}); asked[k] {
			continue
		} else {
			asked[k] = true
		}
		one := in
		one.Steels = []Base{s}
		var best Candidate
		found := false
		for _, c := range classes {
			if c.Process != Rod {
				continue
			}
			if v := one.judge(c); v.Verdict != No && (!found || better(v, best) < 0) {
				best, found = v, true
			}
		}
		if !found {
			first["none"] = true
			continue
		}
		first[best.Class.ID] = true
	}
	if len(first) < 2 {
		return ""
	}
	var names []string
	for n := range first {
		names = append(names, n)
	}
	slices.Sort(names)
	return "The credible steels want different rods (" + strings.Join(names, ", ") + "): a hardness reading would settle it."
}

func (c Candidate) summary() string {
	var texts []string
	for _, r := range c.Reasons {
		texts = append(texts, r.Text)
	}
	return string(c.Verdict) + ": " + strings.Join(texts, "; ")
}

func addRefs(refs []source.Ref, reasons []Reason) []source.Ref {
	for _, r := range reasons {
		if !slices.Contains(refs, r.Ref) {
			refs = append(refs, r.Ref)
		}
	}
	return refs
}
