package gate

import (
	_ "embed"
	"strconv"
	"strings"

	"soundmetal/job"
	"soundmetal/source"
)

// questions.csv: what is not known and could change the verdict, as he asks it
// on the phone. field is where the answer goes in the job file; doubt-<role> is
// asked where a word may mean that role; {words} are his words.

//go:embed questions.csv
var questionsCSV string

// Question is a fact that nobody has given yet.
type Question struct {
	ID      string     `json:"id" doc:"id of the question"`
	Field   string     `json:"field" doc:"where the answer goes in the job file; items. stands for the item's own entry"`
	Text    string     `json:"text" doc:"the question as asked on the phone"`
	Why     string     `json:"why" doc:"why it matters"`
	Hides   Class      `json:"hides" doc:"worst class that the answer could bring"`
	Because []string   `json:"because" doc:"what is not known, or not clear"`
	Source  source.Ref `json:"source" doc:"where the rule behind it is from"`
}

var askRows = readQuestions()

func readQuestions() []Question {
	var all []Question
	for _, r := range source.Table("gate/questions.csv", questionsCSV) {
		all = append(all, Question{
			ID: r.Text("id"), Field: r.Text("field"), Text: r.Text("text"), Why: r.Text("why"),
			Hides: classOf(r.Text("hides")), Source: r.Ref(),
		})
	}
	return all
}

const doubtPrefix = "doubt-"

// questions gives what is not known and could change the verdict. Where the part
// itself is refused no answer can.
func (f *facts) questions() []Question {
	ask := []Question{}
	for _, r := range touchRules() {
		if r.class == Refuse && r.scope == "part" && touchWhen[r.id](f) != nil {
			return ask
		}
	}
	for _, one := range askRows {
		var words []string
		if role, ok := strings.CutPrefix(one.ID, doubtPrefix); ok {
			one.Because, words = f.doubtOf(role)
		} else {
			one.Because = askWhen[one.ID](f)
			words = f.hisWords(one.ID)
		}
		if one.Because == nil {
			continue
		}
		one.Text = strings.ReplaceAll(one.Text, "{words}", strings.Join(words, ", "))
		ask = append(ask, one)
	}
	return ask
}

// doubtOf gives the words that may mean the role.
func (f *facts) doubtOf(role string) (because, words []string) {
	for _, h := range f.doubts() {
		if len(h.means) == 1 && h.means[0] == role {
			because = append(because, h.because())
			words = append(words, strconv.Quote(h.word))
		}
	}
	return unique(because), unique(words)
}

func (f *facts) hisWords(id string) []string {
	if id == "approval" {
		return []string{strconv.Quote(fact(f.item.Approval))}
	}
	var words []string
	for _, s := range []string{f.item.Name, f.item.Part} {
		if s = fact(s); s != "" {
			words = append(words, strconv.Quote(s))
		}
	}
	return unique(words)
}

// askWhen holds the predicate of each row of questions.csv but the doubts.
var askWhen = map[string]trigger{
	"machine":        func(f *facts) []string { return when(strings.TrimSpace(f.machine.Kind) == "", "machine", "") },
	"part":           func(f *facts) []string { return when(!f.named() && f.nameless(), "part", "") },
	"role":           askRole,
	"load-part":      askLoadPart,
	"lifts-people":   askLiftsPeople,
	"hangs-load":     askHangsLoad,
	"on-road":        askOnRoad,
	"contents":       askContents,
	"tyres":          func(f *facts) []string { return both(unknown("tyre fitted", f.machine.Tyres), f.means(hub)) },
	"iron":           askIron,
	"blocked":        func(f *facts) []string { return unknown("can be lowered, blocked and pinned", f.machine.Blocked) },
	"fire-ban":       func(f *facts) []string { return unknown("fire ban", f.site.FireBan) },
	"site-rules":     func(f *facts) []string { return when(len(f.site.Rules) == 0, "site rules", "") },
	"confined-space": func(f *facts) []string { return unknown("get inside to weld", f.site.ConfinedSpace) },
	"welded-before":  askWelded,
	"by-whom":        askByWhom,
	"how-often":      askHowOften,
	"authority":      func(f *facts) []string { return unknown("may authorise the work", f.owner.Authority) },
	"insured":        askInsured,
	"approval":       askApproval,
}

func (f *facts) nameless() bool {
	return strings.TrimSpace(f.item.Part) == "" && strings.TrimSpace(f.item.Name) == ""
}

// askRole: it has a name, but no word of it is known.
func askRole(f *facts) []string {
	if f.named() || f.nameless() {
		return nil
	}
	return []string{say("what the part does", "")}
}

// askLoadPart: on a lift truck an ordinary part may still carry the load.
func askLoadPart(f *facts) []string {
	if f.item.Role != "" || f.away() || f.guarded() {
		return nil
	}
	return f.has(truckTag)
}

// guarded says that a word of the part already settles a role.
func (f *facts) guarded() bool {
	for _, h := range f.hits {
		if h.kind == sure && (h.field == "part" || h.field == "name") {
			return true
		}
	}
	return false
}

func askLiftsPeople(f *facts) []string {
	if f.has(peopleTag) != nil {
		return nil
	}
	return both(unknown("lifts people", f.machine.LiftsPeople), f.hasAny(mayPeopleTag, unknownTraits))
}

func askHangsLoad(f *facts) []string {
	if f.away() {
		return nil
	}
	return both(unknown("hangs a load", f.machine.HangsLoad), f.hasAny(mayHangTag, unknownTraits))
}

// askOnRoad: it matters where the part is or may be of the frame or coupling.
func askOnRoad(f *facts) []string {
	frame := either(f.means(string(job.RoadFrame), drawbar), f.plainly(framePart))
	for _, h := range f.doubts() {
		if len(f.overlap(h.means, string(job.RoadFrame), drawbar)) > 0 {
			frame = append(frame, h.because())
		}
	}
	return both(unknown("runs on the road", f.machine.OnRoad), frame, f.hasAny(mayOnRoadTag, roadTag, unknownTraits))
}

func (f *facts) overlap(means []string, which ...string) []string {
	var out []string
	for _, m := range means {
		for _, w := range which {
			if m == w {
				out = append(out, m)
			}
		}
	}
	return out
}

// askContents: a hollow part may have held something; air may have been under pressure.
func askContents(f *facts) []string {
	hollow := f.item.Shape == "" || f.item.Shape == job.Box || f.item.Shape == job.Tube
	if f.item.Contains == "" && (hollow && !f.away() || f.behind("fuel", "oil", "tank") != nil) {
		return []string{say("contains", "")}
	}
	return f.contains("air")
}

// askIron: a part that holds a wheel and is not yet refused as a steering or brake part.
func askIron(f *facts) []string {
	s := f.item.Steel
	known := s.Spark != "" || s.Chip != "" || s.Family != "" || s.Surface == "rolled" || s.Surface == "forged"
	if known || f.iron() != nil || f.means(string(job.SteeringBrake), string(job.Wheel)) != nil {
		return nil
	}
	return both([]string{say("spark", "")}, f.holdsWheel())
}

func askWelded(f *facts) []string {
	h := f.item.History
	if h.By != "" || h.Times.Known {
		return nil
	}
	return unknown("welded here before", h.Welded)
}

func askByWhom(f *facts) []string {
	h := f.item.History
	before := h.Welded == job.Yes || h.Times.Known && h.Times.V > 0
	return when(before && h.By == "", "repaired by", "")
}

func askHowOften(f *facts) []string {
	h := f.item.History
	return when(h.By == "me" && !h.Times.Known, "times repaired here", "")
}

// askInsured: the places and heights that policies leave out.
func askInsured(f *facts) []string {
	odd := either(is("above head height", f.site.AtHeight),
		f.rules("mine", "rail", "refinery", "energised-plant", "ship", "over-water", "landfill", "public-road"))
	return both(unknown("insured for this", f.site.Insured), odd)
}

// askApproval: there is an approval, and an escalation that it does not lift.
func askApproval(f *facts) []string {
	if strings.TrimSpace(f.item.Approval) == "" {
		return nil
	}
	for _, r := range touchRules() {
		if r.class == Escalate && touchWhen[r.id](f) != nil && f.approvalFor(r) == "" {
			return []string{say("approval", fact(f.item.Approval))}
		}
	}
	return nil
}

// plainNumber prints a count.
func plainNumber(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
