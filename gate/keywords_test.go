package gate

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/job"
)

// meaning lists what the words of a part mean on a machine: "sure wheel".
func meaning(machine, part string) []string {
	var j job.Job
	j.Machine.Kind = machine
	out := []string{}
	for _, h := range newFacts(j, job.Item{Part: part}).hits {
		if h.field == "part" && (h.kind == sure || h.kind == doubt) {
			out = append(out, string(h.kind)+" "+strings.Join(h.means, ","))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Each case: how people write it (common practice, no source).
func TestWordsAndTheirFalseFriends(t *testing.T) {
	for _, c := range []struct {
		machine, part string
		want          []string
	}{
		{"", "ROPS post", []string{"sure protective-structure"}},
		{"", "rops/fops", []string{"sure protective-structure"}},
		{"", "Roll-Over Frame", []string{"sure protective-structure"}},
		{"", "rim", []string{"sure wheel"}},
		{"", "lock ring", []string{"sure wheel"}},
		{"", "LOCK-RINGS", []string{"sure wheel"}},
		{"", "lockring", []string{"sure wheel"}},
		{"", "fork tine", []string{"sure fork"}},
		{"", "forktines", []string{"sure fork"}},
		{"", "crane boom", []string{"sure crane-structure"}},
		{"", "outriggers", []string{"sure crane-structure"}},
		{"", "lifting lug", []string{"sure lifting-lug"}},
		{"", "tow-eye", []string{"sure coupling"}},
		{"", "LPG tank", []string{"sure pressure-vessel"}},
		{"", "L.P.G. bottle", []string{"sure pressure-vessel"}},
		{"", "air receiver", []string{"sure pressure-vessel"}},
		{"truck", "air reciever, air receiver", []string{"sure air-reservoir"}},
		{"", "man basket", []string{"sure people-lift"}},
		{"", "boom lift", []string{"sure people-lift"}},
		{"", "frame rails", []string{"sure road-frame"}},
		{"", "draw-bar", []string{"sure drawbar"}},
		{"", "leaf springs", []string{"sure steering-brake-spring"}},
		{"", "leaves of the spring", []string{"sure steering-brake-spring"}},
		{"", "cab guard mount", []string{"sure protective-structure"}},
		{"", "header hook", []string{"doubt lifting-gear"}},
		{"", "driver's cab", []string{"doubt protective-structure"}},
		// false friends
		{"", "sign at the road fork", []string{}},
		{"", "hook-lift tipper frame", []string{}},
		{"", "hooklift frame", []string{}},
		{"", "screen spring seat", []string{}},
		{"", "wheel loader arm", []string{}},
		{"", "boiler plate", []string{}},
		{"", "under-carriage", []string{}},
		{"", "conveyor gantry", []string{}},
		{"", "bolt holes", []string{}},
		{"", "pin boss", []string{}},
		{"", "cylinder bracket", []string{}},
		{"", "rimless funnel", []string{}},
		{"", "forked plate", []string{}},
		// the longer dangerous phrase wins over the shorter friend, and ties go to the danger
		{"", "hook lift hook", []string{"sure lifting-gear"}},
		{"", "road fork tine", []string{"sure fork"}},
		{"", "road fork, fork", []string{"sure fork"}},
		// a neighbour is a doubt, and so is a denial
		{"", "plate beside the fuel tank", []string{"doubt tank"}},
		{"", "plate next to rim", []string{"doubt wheel"}},
		{"", "side plate, not the rim", []string{"doubt wheel"}},
		{"", "plate beside the ROPS", []string{"sure protective-structure"}},
		// the machine decides
		{"excavator", "boom", []string{}},
		{"telehandler", "boom", []string{"sure truck-mast"}},
		{"mobile crane", "boom", []string{"sure crane-structure"}},
		{"boom sprayer", "boom", []string{}},
		{"truck", "boom", []string{"doubt crane-structure"}},
		{"vibrating screen", "spring seat", []string{}},
		{"trailer", "spring seat", []string{"doubt steering-brake-spring"}},
		{"mobile crane, excavator", "boom", []string{"sure crane-structure"}},
		// a phrase does not reach over a comma
		{"", "road, fork", []string{"sure fork"}},
	} {
		t.Run(c.machine+"/"+c.part, func(t *testing.T) {
			if d := cmp.Diff(c.want, meaning(c.machine, c.part)); d != "" {
				t.Errorf("got -want +got:\n%s", d)
			}
		})
	}
}

// Every phrase of the table is found as it stands.
func TestEveryPhraseIsFound(t *testing.T) {
	for _, r := range keywordRows() {
		if k := hitKind(r.Text("kind")); k == spelling {
			continue
		}
		for _, p := range r.List("phrases") {
			all := find("text", p, func(k keyword) bool { return k.in == r.Text("in") })
			whole := func(h hit) bool { return h.from == 0 && string(h.kind) == r.Text("kind") }
			if !slices.ContainsFunc(all, whole) {
				t.Errorf("%q is not found", p)
			}
		}
	}
}

// No phrase is harmless and dangerous at once in the same field with the same tag.
func TestNoPhraseContradictsItself(t *testing.T) {
	for key, rows := range keywordIndex().by {
		harmless, dangerous := map[string]bool{}, map[string]bool{}
		for _, k := range rows {
			switch k.kind {
			case plain, away, friend:
				harmless[k.in+"/"+k.with] = true
			case sure, doubt:
				dangerous[k.in+"/"+k.with] = true
			}
		}
		for at := range harmless {
			if dangerous[at] {
				t.Errorf("%s in %s is harmless and dangerous", key, at)
			}
		}
	}
}

func FuzzKeywords(f *testing.F) {
	for _, s := range []string{"ROPS post", "fork, road fork", "hook-lift  hook", "L.P.G.", "", "rim’s", "ſ", "\x00rim\x00", "beside the rim", strings.Repeat("rim ", 50)} {
		f.Add(s)
	}
	for key := range maps.Keys(keywordIndex().by) {
		f.Add(key)
	}
	f.Fuzz(func(t *testing.T, text string) {
		want := meaning("truck", text)
		for _, c := range text {
			if c > 127 {
				return // case folding of other scripts is not one to one
			}
		}
		for name, other := range map[string]string{
			"upper case":    strings.ToUpper(text),
			"double spaces": strings.ReplaceAll(text, " ", "  "),
			"hyphens":       strings.ReplaceAll(text, " ", "-"),
		} {
			if d := cmp.Diff(want, meaning("truck", other)); d != "" {
				t.Errorf("%s of %q:\n%s", name, text, d)
			}
		}
	})
}
