package book

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// describe says an entry in one line, for the log of the job and the record.
func (j *Job) describe(body any) string {
	sys := j.System()
	switch b := body.(type) {
	case JobOpened:
		return "job opened: " + b.Name
	case FactsSet:
		return "facts: " + factsText(b)
	case PlanMade:
		return "plan made" + colon(b.Why)
	case WorkAgreed:
		return fmt.Sprintf("%s agreed to the work (%s)%s", b.Name, b.How, colon(b.Price))
	case DamageFound:
		return "more damage found: " + b.Text
	case ChangeProposed:
		return "change proposed: " + b.Why
	case ChangeAccepted:
		return fmt.Sprintf("change accepted by %s (%s)", b.Name, b.How)
	case ChangeRefused:
		return "change refused by " + b.Name + colon(b.Reason)
	case StepDone:
		return "done: " + j.stepText(b.Step) + colon(b.Note)
	case HoldAnswered:
		return fmt.Sprintf("hold point, %s: %s", says(b.Says), j.holdText(b.Hold)+colon(b.How)+colon(b.Note))
	case HoldOverridden:
		return fmt.Sprintf("hold point overridden by %s: %s: %s", b.Name, j.holdText(b.Hold), b.Reason)
	case Reading:
		s := "heat read: " + b.says(sys)
		if b.Bead > 0 {
			s = fmt.Sprintf("heat before bead %d: %s", b.Bead, b.says(sys))
		}
		if b.Place != "" {
			s += ", " + b.Place
		}
		if d, said := value(b.Distance); said {
			s += ", " + d.Text(sys) + " from the groove"
		}
		return s
	case TinOpened:
		return "rods out: " + (&Tin{Logged: Logged[TinOpened]{Is: b}}).name(sys) + comma(b.Lot, "lot ") + comma(string(b.From), "from ")
	case TinPutAway:
		return "rods put away: " + string(b.Into)
	case GougeDone:
		s := fmt.Sprintf("side %d gouged and ground", b.Side)
		if v, said := value(b.Length); said {
			s += ", " + v.Text(sys) + " long"
		}
		if v, said := value(b.Depth); said {
			s += ", " + v.Text(sys) + " deep"
		}
		return s + colon(b.Note)
	case Bead:
		s := fmt.Sprintf("bead %d laid", b.Number)
		if b.Rods > 0 {
			s += fmt.Sprintf(", %.4g rods", b.Rods)
		}
		if run, ok := b.PerRod(); ok {
			s += ", " + run.Text(sys) + " for each"
		}
		if a, said := value(b.Amps); said {
			s += ", " + a.Text(sys)
		}
		return s + colon(b.Note)
	case PostHeat:
		s := "post-heat " + span(b.To.Sub(b.From))
		if t, said := value(b.Temp); said {
			s += " at " + degrees(t, sys)
		}
		return s
	case HeatSimulated:
		s := "heat worked out, " + b.Level
		if n := len(b.Readings); n == 1 {
			s += ", with one reading"
		} else if n > 1 {
			s += fmt.Sprintf(", with %d readings", n)
		}
		return s
	case Inspection:
		s := fmt.Sprintf("%s, %s: %s", stageText[b.Stage], methodText[b.Method], b.Result)
		if v, said := value(b.Length); said {
			s += ", " + v.Text(sys)
		}
		return s + colon(b.Note)
	case Photo:
		return "photo" + colon(b.Caption)
	case Note:
		return b.Text
	case ClockStarted:
		s := string(b.What) + " clock started"
		if b.For > 0 {
			s += ", " + span(duration(b.For))
		}
		return s + colon(b.Label)
	case ClockStopped:
		if c := j.Clock(b.ID); c != nil {
			return string(c.What) + " clock stopped" + colon(b.Note)
		}
		return "clock stopped" + colon(b.Note)
	case CheckedIn:
		return "checked in"
	case Cleared:
		return "put right: " + b.Done
	case Closed:
		return "job closed by " + b.By + colon(b.Done)
	case Reopened:
		return "job opened again: " + b.Reason
	case FollowedUp:
		return "looked again: " + string(b.Result) + colon(b.Note)
	case CrackedAgainBody:
		return "cracked again" + colon(b.Note)
	case Corrected:
		line := ""
		if l := j.Find(b.Of); l != nil && l.Kind != KindCorrected {
			line = l.Text()
		}
		if b.Void {
			return "taken back: " + b.Reason + comma(line, "; it was: ")
		}
		return "corrected: " + b.Reason + comma(line, "; it is now: ")
	}
	return ""
}

var stageText = map[Stage]string{StageFind: "looked for the ends", StageGone: "looked whether the crack is out", StageFinal: "final look", StageLater: "looked again"}

var methodText = map[Method]string{MethodPT: "dye", MethodMT: "magnetic yoke", MethodUT: "ultrasonic", MethodEye: "by eye"}

func says(s Says) string {
	if s == SaysNotHere {
		return "does not apply here"
	}
	return string(s)
}

func colon(text string) string { return comma(text, ": ") }

// comma adds a text with what joins it; nothing where there is no text.
func comma(text, join string) string {
	switch {
	case text == "":
		return ""
	case strings.HasPrefix(join, ":"), strings.HasPrefix(join, ";"):
		return join + text
	}
	return ", " + join + text
}

// holdText finds the words of a hold point in the latest plan that has it.
func (j *Job) holdText(id string) string {
	for i := len(j.Plans) - 1; i >= 0; i-- {
		for _, h := range j.Plans[i].Limits.Holds {
			if h.ID == id {
				return h.Text
			}
		}
	}
	return id
}

func (j *Job) stepText(id string) string {
	for i := len(j.Plans) - 1; i >= 0; i-- {
		for _, s := range j.Plans[i].Limits.Steps {
			if s.ID == id {
				return s.Text
			}
		}
	}
	return id
}

// factsText lists the facts of a change.
func factsText(b FactsSet) string {
	var parts []string
	add := func(set map[string]string) {
		for _, path := range slices.Sorted(maps.Keys(set)) {
			text := set[path]
			if text == "" {
				text = "taken out"
			}
			parts = append(parts, strings.NewReplacer("_", " ", ".", " ").Replace(path)+": "+text)
		}
	}
	add(b.Set)
	for _, it := range b.Items {
		add(it.Set)
	}
	if len(b.Drop) > 0 {
		parts = append(parts, "a place is no longer to be repaired")
	}
	const most = 12
	if n := len(parts); n > most {
		parts = append(parts[:most], fmt.Sprintf("and %d more", n-most))
	}
	var from []string
	for _, t := range b.Taken {
		if !slices.Contains(from, t.Name) {
			from = append(from, t.Name)
		}
	}
	if len(from) > 0 {
		parts = append(parts, "taken over in part from: "+strings.Join(from, ", "))
	}
	return strings.Join(parts, "; ")
}
