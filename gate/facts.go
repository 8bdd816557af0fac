package gate

import (
	"fmt"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Meanings of words that are no role of the job file; see keywords.csv.
const (
	protectFrame = string(job.ProtectFrame)
	hub          = "hub"
	wheelHolder  = "wheel-holder" // a part that holds a wheel, a brake or the steering
	drawbar      = "drawbar"
	framePart    = "frame-part"
	shaft        = "shaft"
	clevis       = "clevis"
	iron         = "iron"
)

// Traits of the machine; see the tag rows of keywords.csv.
const (
	craneTag      = "crane"
	peopleTag     = "people-lift"
	truckTag      = "industrial-truck"
	roadTag       = "road-vehicle"
	mayPeopleTag  = "may-lift-people"
	mayHangTag    = "may-hang-load"
	mayOnRoadTag  = "may-road"
	unknownTraits = "unknown" // the machine is not named, or by no word we know
)

// facts is one damaged place of a job as the rules see it.
type facts struct {
	site    job.Site
	machine job.Machine
	wanted  job.Wanted
	owner   job.Customer
	item    job.Item
	work    Work
	units   q.System
	hits    []hit             // what the words of part and name mean
	tags    map[string]string // traits of the machine, with the fact that says so
	asks    []Question
}

func newFacts(j job.Job, it job.Item) *facts {
	f := &facts{site: j.Site, machine: j.Machine, wanted: j.Wanted, owner: j.Customer, item: it, tags: map[string]string{}}
	if j.Units == job.US {
		f.units = q.US
	}
	kind := find("machine", j.Machine.Kind, func(k keyword) bool { return k.in == "machine" })
	words := slices.Concat(find("part", it.Part, ofPart), find("name", it.Name, ofPart))
	for _, h := range settle(slices.Concat(kind, words), nil) {
		if h.kind == tag {
			for _, t := range h.means {
				if f.tags[t] == "" {
					f.tags[t] = h.because()
				}
			}
		}
	}
	if strings.TrimSpace(j.Machine.Kind) == "" {
		f.tags[unknownTraits] = "machine: not known"
	} else if len(settle(kind, nil)) == 0 {
		f.tags[unknownTraits] = "machine: " + fact(j.Machine.Kind)
	}
	f.hits = settle(slices.Concat(words, kind), f.tags)
	f.hits = append(f.hits, settle(find("steel grade", it.Steel.Grade, ofSteel), nil)...)
	f.hits = append(f.hits, settle(find("steel family", it.Steel.Family, ofSteel), nil)...)
	return f
}

// ofPart says which words hold in the name of a part: a part may also tell that
// the machine is a crane, a people lift or an industrial truck.
func ofPart(k keyword) bool {
	danger := func(t string) bool { return t == craneTag || t == peopleTag || t == truckTag }
	return k.in == "part" || k.in == "steel" || k.in == "machine" && k.kind == tag && slices.ContainsFunc(k.means, danger)
}

func ofSteel(k keyword) bool { return k.in == "steel" }

// longestFact is how many characters of his text a fact repeats.
const longestFact = 80

// fact gives his text, shortened where it is long.
func fact(text string) string {
	text = strings.TrimSpace(text)
	if n := []rune(text[:min(len(text), 4*longestFact+4)]); len(n) > longestFact {
		return string(n[:longestFact]) + " ..."
	}
	return text
}

// because gives the fact behind a hit in his words.
func (h hit) because() string {
	if strings.EqualFold(h.text, h.word) {
		return h.field + ": " + h.text
	}
	return fmt.Sprintf("%s: %s (the word %q)", h.field, h.text, h.word)
}

// means gives the facts that say for sure that the part is one of these.
func (f *facts) means(meanings ...string) []string {
	var because []string
	for _, m := range meanings {
		if f.item.Role != "" && string(f.item.Role) == m {
			because = append(because, "role: "+m)
		}
		because = append(because, f.words(sure, m)...)
	}
	return unique(because)
}

// plainly gives the facts that call it this ordinary part.
func (f *facts) plainly(meaning string) []string { return f.words(plain, meaning) }

func (f *facts) words(kind hitKind, meaning string) []string {
	var because []string
	for _, h := range f.hits {
		if h.kind == kind && slices.Contains(h.means, meaning) {
			because = append(because, h.because())
		}
	}
	return unique(because)
}

// doubts gives the hits that may mean a guarded part. A role settles them.
func (f *facts) doubts() []hit {
	if f.item.Role != "" {
		return nil
	}
	var out []hit
	for _, h := range f.hits {
		if h.kind == doubt && len(f.means(h.means...)) == 0 {
			out = append(out, h)
		}
	}
	return out
}

// named says that part or name tells what the part is, be it in doubt.
func (f *facts) named() bool {
	return f.item.Role != "" || slices.ContainsFunc(f.hits, func(h hit) bool {
		return (h.field == "part" || h.field == "name") && (h.kind == sure || h.kind == doubt || h.kind == plain || h.kind == away)
	})
}

// away says that the part carries no load of the machine: a step, a mudguard.
func (f *facts) away() bool {
	found := false
	for _, h := range f.hits {
		if h.field != "part" && h.field != "name" {
			continue
		}
		switch h.kind {
		case away:
			found = true
		case sure, doubt, plain:
			return false
		}
	}
	return found && (f.item.Role == "" || f.item.Role == job.Structure)
}

// has gives the fact that gives the machine this trait.
func (f *facts) has(trait string) []string {
	if f.tags[trait] == "" {
		return nil
	}
	return []string{f.tags[trait]}
}

// hasAny gives the facts that give the machine one of these traits.
func (f *facts) hasAny(traits ...string) []string {
	var because []string
	for _, t := range traits {
		because = append(because, f.has(t)...)
	}
	return unique(because)
}

// say prints a fact: "fire ban: yes", "fire ban: not known".
func say(name, value string) string {
	if value == "" {
		value = "not known"
	}
	return name + ": " + value
}

// is gives the fact where the answer is yes.
func is(name string, a job.Answer) []string { return when(a == job.Yes, name, string(a)) }

// no gives the fact where the answer is no.
func no(name string, a job.Answer) []string { return when(a == job.No, name, string(a)) }

// mayBe gives the fact where the answer is yes or unknown.
func mayBe(name string, a job.Answer) []string { return when(a.NotNo(), name, string(a)) }

// unknown gives the fact where nobody has answered.
func unknown(name string, a job.Answer) []string { return when(a == job.Unknown, name, string(a)) }

// when gives the fact where the condition holds.
func when(holds bool, name, value string) []string {
	if !holds {
		return nil
	}
	return []string{say(name, value)}
}

// rules gives the site rules that are among these.
func (f *facts) rules(which ...job.SiteRule) []string {
	var because []string
	for _, r := range f.site.Rules {
		if slices.Contains(which, r) {
			because = append(because, "site rules: "+string(r))
		}
	}
	return because
}

// behind gives what is behind or beside the part that is among these.
func (f *facts) behind(which ...job.Behind) []string {
	var because []string
	for _, b := range f.item.Behind {
		if slices.Contains(which, b) {
			because = append(because, "behind it: "+string(b))
		}
	}
	return because
}

// contains gives what the part holds or held where it is among these.
func (f *facts) contains(which ...job.Contents) []string {
	if f.item.Contains == "" || !slices.Contains(which, f.item.Contains) {
		return nil
	}
	return []string{"contains: " + string(f.item.Contains)}
}

// both gives all facts where each group has some, else none.
func both(groups ...[]string) []string {
	var all []string
	for _, g := range groups {
		if len(g) == 0 {
			return nil
		}
		all = append(all, g...)
	}
	return unique(all)
}

// either gives the facts of all groups.
func either(groups ...[]string) []string { return unique(slices.Concat(groups...)) }

// unique drops what is said twice and keeps the order.
func unique(all []string) []string {
	var out []string
	for _, s := range all {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
