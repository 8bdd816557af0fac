package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// Forms of the record: what was done, read and seen.

// when turns "how long ago" into a time; zero is now.
func (v values) when(name string, err *error) time.Time {
	s := v.text(name)
	if *err != nil || s == "" || strings.EqualFold(s, "now") {
		return time.Time{}
	}
	d := said[q.Time](v, name, "how long ago", err)
	if d == nil {
		return time.Time{}
	}
	return v.r.now.Add(-time.Duration(float64(d.SI) * float64(time.Second)))
}

func count(v values, name, what string, err *error) float64 {
	s := strings.ReplaceAll(v.text(name), ",", ".")
	if *err != nil || s == "" || s == "unknown" {
		return 0
	}
	for half, f := range map[string]string{"½": ".5", "1/2": ".5"} {
		s = strings.TrimSpace(strings.Replace(s, " "+half, f, 1))
		s = strings.Replace(s, half, f, 1)
	}
	n, e := strconv.ParseFloat(s, 64)
	if e != nil || !(n >= 0 && n < 1e6) {
		*err = wrong(name, what+": give a number, 2 or 2.5")
	}
	return n
}

func whole(v values, name, what string, err *error) int {
	s := v.text(name)
	if *err != nil || s == "" || s == "unknown" {
		return 0
	}
	n, e := strconv.Atoi(s)
	if e != nil || n < 0 {
		*err = wrong(name, what+": give a whole number")
	}
	return n
}

// --- steps and hold points

func (r *request) step() (*book.Step, error) {
	s := r.job.Step(r.FormValue("step"))
	if s == nil {
		return nil, missing("the plan in force has no such step; the plan may have changed since")
	}
	return s, nil
}

func stepForm(r *request) (Form, error) {
	s, err := r.step()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Done?", Icon: "done", Lead: s.Text, Submit: "Done",
		Fields: append(r.shown(nil), hidden("step", s.ID), text("note", "Remark"), ago("When?"))}, nil
}

func stepCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.DoStep{Job: r.job.ID, Step: v.text("step"), Note: v.text("note"), When: v.when("ago", &err), Plan: v.text("plan")}
	return c, err
}

func (r *request) hold() (*book.Hold, error) {
	h := r.job.Hold(r.FormValue("hold"))
	if h == nil {
		return nil, missing("the plan in force has no such hold point; the plan may have changed since")
	}
	return h, nil
}

var sawBy = []Choice{{"dye", "Dye", "look"}, {"yoke", "Magnetic yoke", "look"}, {"by eye", "By eye and lamp", "look"}, {"meter", "Meter", "look"}}

// sawField asks how it was seen; by dye or yoke only where a crack is looked for.
func sawField(h *book.Hold) Field {
	ways := sawBy
	if n := h.Name(); n != book.HoldCrackGone && n != book.HoldFinalLook {
		ways = ways[2:]
	}
	return chips("how", "How was it seen?", ways...)
}

func answerField() Field {
	return chips("says", "Is it so?", Choice{"yes", "Yes", "done"}, Choice{"no", "No", "no"}, Choice{"not-here", "Does not apply here", "next"}).must()
}

func holdForm(r *request) (Form, error) {
	h, err := r.hold()
	if err != nil {
		return Form{}, err
	}
	f := Form{Title: "Hold point", Icon: "stop", Lead: h.Text, Submit: "Log the answer",
		Fields: append(r.shown(h), hidden("hold", h.ID),
			answerField(),
			sawField(h), text("note", "Remark"), text("by", "Who looked?").is(r.setting("welder")), ago("When?"))}
	if h.Skip != "" {
		f.Warn = []string{"If you skip it: " + h.Skip}
	}
	if h.NotBefore != nil && h.NotBefore.After(r.now) {
		f.Warn = append(f.Warn, "Not before "+r.clock(*h.NotBefore)+": "+span(h.NotBefore.Sub(r.now))+" to go.")
	}
	switch h.Name() {
	case book.HoldHeatReached:
		f.Warn = append(f.Warn, "Log the reading first, then answer.")
	case book.HoldFinalLook:
		f.Warn = append(f.Warn, "Log the look first, then answer.")
	}
	return f, nil
}

func holdCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.AnswerHold{Job: r.job.ID, Holds: v.Values["hold"], Says: book.Says(v.text("says")), How: v.text("how"), Note: v.text("note"), By: v.text("by"), When: v.when("ago", &err), Plan: v.text("plan")}
	if c.Plan != "" {
		n := whole(v, "seen", "answers seen", &err)
		c.Seen = &n
	}
	if c.Says == "" && err == nil {
		err = wrong("says", "say yes, no, or that it does not apply here")
	}
	return c, err
}

func overrideForm(r *request) (Form, error) {
	h, err := r.hold()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Go on without the answer", Icon: "warn", Lead: h.Text, Submit: "I take it on myself",
		Warn:   nonEmpty("It stands in the record as a deviation, with your name and your reason.", prefixed("What it may cost: ", h.Skip)),
		Fields: []Field{hidden("hold", h.ID), text("name", "Your name").must().is(r.setting("welder")), area("reason", "Why is it passed?").must()}}, nil
}

func prefixed(head, s string) string {
	if s == "" {
		return ""
	}
	return head + s
}

func overrideCommand(r *request, v values) (book.Command, error) {
	return book.OverrideHold{Job: r.job.ID, Hold: v.text("hold"), Name: v.text("name"), Reason: v.text("reason")}, nil
}

// --- heat

func readingForm(r *request) (Form, error) {
	f := Form{Title: "Read the heat", Icon: "heat", Submit: "Log the reading"}
	item := r.item()
	if l, ok := r.job.Limits(item); ok && l.Floor != nil {
		f.Lead = "The plan says: at least " + l.Floor.Text(r.system())
		if l.Ceiling != nil {
			f.Lead += ", at most " + l.Ceiling.Text(r.system())
		}
		if l.ReadAt != nil {
			f.Lead += "; read " + l.ReadAt.Text(r.system()) + " from the groove edge"
		}
		f.Lead += "."
	}
	f.Fields = []Field{r.placeField(),
		measure("temp", "Temperature", usual("heat", r.job.Units)...),
		heading("Or a crayon", "It only tells melted or not melted at its own temperature."),
		measure("crayon", "Crayon of"),
		chips("melted", "Did it melt?", Choice{"yes", "Melted", "done"}, Choice{"no", "Not melted", "no"}),
		heading("Where", ""),
		text("place", "Where was it read?").hint("far face, left end, beside bead 7"),
		measure("distance", "Distance from the groove edge"),
		chips("far_face", "On the far face?", yesNo[0], yesNo[1]),
		chips("tool", "Read with", Choice{"contact", "Contact probe", "heat"}, Choice{"ir", "Infrared gun", "heat"}),
		Field{Name: "bead", Label: "Just before bead number", Kind: kindText, Mode: "numeric", Hint: "Leave it empty where no bead is about to begin."},
		ago("When?")}
	if b := r.FormValue("bead"); b != "" {
		for i := range f.Fields {
			if f.Fields[i].Name == "bead" {
				f.Fields[i].Value = b
			}
		}
	}
	return f, nil
}

func readingCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.LogReading{Job: r.job.ID, Reading: book.Reading{Item: v.text("item"), Bead: whole(v, "bead", "bead", &err), Temp: said[q.Temperature](v, "temp", "temperature", &err),
		Tool: book.Tool(v.text("tool")), Place: v.text("place"), Distance: said[q.Length](v, "distance", "distance", &err), FarFace: v.text("far_face") == "yes"}}
	if crayon := said[q.Temperature](v, "crayon", "crayon", &err); crayon != nil {
		c.Crayon = &book.Crayon{At: *crayon, Melted: v.text("melted") == "yes"}
		if m := v.text("melted"); err == nil && m != "yes" && m != "no" {
			err = wrong("melted", "say whether the crayon melted")
		}
	}
	c.When = v.when("ago", &err)
	return c, err
}

func postHeatForm(r *request) (Form, error) {
	f := Form{Title: "Heat after the last bead", Icon: "heat", Submit: "Log the post-heat", Fields: []Field{r.placeField(),
		measure("temp", "Temperature held"), measure("from", "It began, how long ago?", usual("post-heat", r.job.Units)...).must(), measure("to", "It ended, how long ago?", "now", "10 min", "30 min")}}
	if l, ok := r.job.Limits(r.item()); ok && l.PostHeat != nil {
		f.Lead = "The plan says: " + l.PostHeat.Text(r.system()) + "."
	}
	return f, nil
}

func postHeatCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.LogPostHeat{Job: r.job.ID, PostHeat: book.PostHeat{Item: v.text("item"), Temp: said[q.Temperature](v, "temp", "temperature", &err), From: v.when("from", &err), To: v.when("to", &err)}}
	if err == nil && v.text("from") == "" {
		err = wrong("from", "say how long ago it began: 1 h")
	}
	return c, err
}

// --- rods and beads

func tinForm(r *request) (Form, error) {
	f := Form{Title: "Rods out", Icon: "tin", Submit: "Start the clock", Lead: "The clock runs from here: damp rods put hydrogen into the weld."}
	class := text("class", "Class, as on the tin").must().hint("E7018-H4R, with the size: E7018 1/8")
	if p := r.job.Plan(); p != nil {
		seen := map[string]bool{}
		for _, it := range p.Limits.Items {
			for _, b := range it.Beads {
				if !seen[b.Rod] {
					seen[b.Rod] = true
					class.Usual = append(class.Usual, b.Rod)
				}
			}
		}
	}
	f.Fields = []Field{class, measure("size", "Size, where the class does not say it"), text("lot", "Lot number"),
		chips("from", "From where?", Choice{"sealed", "Sealed tin", "tin"}, Choice{"oven", "Oven or quiver", "heat"}, Choice{"baked", "Baked again", "heat"}), ago("When was it opened?")}
	return f, nil
}

func tinCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.OpenTin{Job: r.job.ID, Class: v.text("class"), Size: said[q.Length](v, "size", "size", &err), Lot: v.text("lot"), From: book.TinFrom(v.text("from")), When: v.when("ago", &err)}
	return c, err
}

func (r *request) tin() (*book.Tin, error) {
	t := r.job.Tin(r.FormValue("tin"))
	if t == nil {
		return nil, missing("this job has no such tin")
	}
	return t, nil
}

func tinAwayForm(r *request) (Form, error) {
	t, err := r.tin()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Rods away", Icon: "tin", Lead: r.tinName(t), Submit: "Stop the clock", Fields: []Field{hidden("tin", t.Is.ID),
		awayField(), ago("When?")}}, nil
}

func awayField() Field {
	return chips("into", "Where to?", Choice{"oven", "Oven or quiver", "heat"}, Choice{"used-up", "All used", "done"}, Choice{"scrapped", "Scrapped", "no"}).must()
}

func tinAwayCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.PutAwayTin{Job: r.job.ID, Tin: v.text("tin"), Into: book.TinTo(v.text("into")), When: v.when("ago", &err)}, err
}

func (r *request) tinName(t *book.Tin) string {
	s := t.Is.Class
	if t.Is.Size != nil {
		s += " " + t.Is.Size.SI.Text(r.system())
	}
	return s + ", out since " + r.clock(t.Is.When)
}

func beadForm(r *request) (Form, error) {
	f := Form{Title: "Bead done", Icon: "bead", Submit: "Log the bead"}
	item := r.item()
	number := Field{Name: "number", Label: "Bead number", Kind: kindText, Mode: "numeric"}
	if p, ok := r.job.Place(item); ok {
		number.Value = strconv.Itoa(p.NextBead)
		if l, ok := r.job.Limits(item); ok {
			f.Lead = r.beadPlan(l, p.NextBead)
		}
	}
	tin := chips("tin", "Rods from")
	for i := range r.job.Tins {
		t := &r.job.Tins[i]
		if correcting := r.FormValue("of") != ""; t.Void || t.Away != nil && !correcting {
			continue
		}
		tin.Choices = append(tin.Choices, Choice{t.Is.ID, r.tinName(t), "tin"})
		tin.Value = t.Is.ID
	}
	rods := Field{Name: "rods", Label: "Rods burnt for it", Kind: kindMeasure, Mode: "decimal", Usual: []string{"1", "1.5", "2", "3", "4"}}
	amps := measure("amps", "Amps, off the dial")
	if last := r.lastBead(item); last != nil { // the same as the last bead
		same := fmt.Sprintf("As for bead %d: change it where it was another.", last.Number)
		if last.Rods > 0 {
			rods = rods.is(decimal(last.Rods)).hint(same)
		}
		if last.Amps != nil {
			amps = amps.is(typed(last.Amps, "A")).hint(same)
		}
		if slices.ContainsFunc(tin.Choices, func(c Choice) bool { return c.Value == last.Tin }) {
			tin = tin.is(last.Tin).hint(same)
		}
	}
	f.Fields = []Field{r.placeField(), number}
	if r.FormValue("of") == "" {
		f.Fields = append(f.Fields, measure("temp", "Heat read just before it").hint("Leave it empty where the reading is logged already."))
	}
	f.Fields = append(f.Fields, rods, measure("length", "Weld length of the whole bead"), amps)
	if len(tin.Choices) > 0 {
		f.Fields = append(f.Fields, tin)
	}
	f.Fields = append(f.Fields, measure("begun", "It was begun, how long ago?", usual("bead", r.job.Units)...), ago("It ended"), text("note", "Remark"))
	return f, nil
}

// lastBead is the bead that was logged last at a place; none while an entry is
// corrected: its form shows what was written.
func (r *request) lastBead(item string) *book.Bead {
	if r.FormValue("of") != "" {
		return nil
	}
	for i := len(r.job.Beads) - 1; i >= 0; i-- {
		if b := &r.job.Beads[i]; !b.Void && b.Is.Item == item {
			return &b.Is
		}
	}
	return nil
}

// beadPlan says what the plan asks of a bead.
func (r *request) beadPlan(l book.ItemLimits, number int) string {
	sys := r.system()
	for _, b := range l.Beads {
		if b.Number != number {
			continue
		}
		s := fmt.Sprintf("Bead %d of %d, %s: %s", number, len(l.Beads), b.Kind, b.Rod)
		if b.Amps != nil {
			s += ", " + b.Amps.Text(sys)
		}
		s += ", " + b.Run.Text(sys) + " from one rod"
		if l.Floor != nil {
			s += ". Before it at least " + l.Floor.Text(sys)
			if l.Ceiling != nil {
				s += ", at most " + l.Ceiling.Text(sys)
			}
		}
		return s + "."
	}
	if len(l.Beads) > 0 {
		return fmt.Sprintf("The plan has %d beads: this one is beyond them.", len(l.Beads))
	}
	return ""
}

func beadCommand(r *request, v values) (book.Command, error) {
	var err error
	c := book.BeadDone{Job: r.job.ID, Temp: said[q.Temperature](v, "temp", "heat before it", &err), Bead: book.Bead{Item: v.text("item"), Number: whole(v, "number", "bead", &err),
		Tin: v.text("tin"), Rods: count(v, "rods", "rods", &err), Length: said[q.Length](v, "length", "length", &err), Amps: said[q.Current](v, "amps", "amps", &err),
		Ended: v.when("ago", &err), Note: v.text("note")}}
	if v.text("begun") != "" {
		if t := v.when("begun", &err); !t.IsZero() {
			c.Begun = &t
		}
	}
	return c, err
}

func gougeForm(r *request) (Form, error) {
	f := Form{Title: "Gouged and ground", Icon: "cut", Submit: "Log it", Fields: []Field{r.placeField(),
		measure("length", "Length taken out"), measure("depth", "Depth"),
		chips("side", "Side", Choice{"1", "First", ""}, Choice{"2", "Second", ""}).is("1"),
		Field{Name: "carbons", Label: "Carbons used", Kind: kindMeasure, Mode: "decimal"}, text("note", "Remark"), ago("Last spark")}}
	if l, ok := r.job.Limits(r.item()); ok && l.Length != nil && l.Depth != nil {
		f.Lead = "The plan says: " + l.Length.Text(r.system()) + " long, " + l.Depth.Text(r.system()) + fmt.Sprintf(" deep. %.0f %% more is found more: photo, price again, get a yes.", (book.GougeGrowth()-1)*100)
	}
	return f, nil
}

func gougeCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.LogGouge{Job: r.job.ID, GougeDone: book.GougeDone{Item: v.text("item"), Side: whole(v, "side", "side", &err), Length: said[q.Length](v, "length", "length", &err),
		Depth: said[q.Length](v, "depth", "depth", &err), Carbons: count(v, "carbons", "carbons", &err), Note: v.text("note"), When: v.when("ago", &err)}}, err
}

// --- looks, photos, notes

func lookForm(r *request) (Form, error) {
	f := Form{Title: "Looked for cracks", Icon: "look", Submit: "Log the look", Fields: []Field{r.placeField(),
		chips("stage", "What for?", Choice{"find", "Find the ends", "look"}, Choice{"gone", "Crack out?", "cut"}, Choice{"final", "Final look", "done"}, Choice{"later", "Looked again later", "clock"}).must(),
		chips("method", "How?", Choice{"pt", "Dye", ""}, Choice{"mt", "Magnetic yoke", ""}, Choice{"ut", "Ultrasonic", ""}, Choice{"eye", "Eye and lamp", ""}).must(),
		chips("result", "What was seen?", Choice{"clear", "No crack", "done"}, Choice{"found", "Crack", "crack"}, Choice{"doubtful", "Not sure", "ask"}).must(),
		measure("length", "Length of what was found"), text("by", "Who looked?").is(r.setting("welder")), text("note", "Remark"), ago("When?")}}
	return f, nil
}

func lookCommand(r *request, v values) (book.Command, error) {
	var err error
	return book.Inspect{Job: r.job.ID, Inspection: book.Inspection{Item: v.text("item"), Stage: book.Stage(v.text("stage")), Method: book.Method(v.text("method")),
		Result: book.Outcome(v.text("result")), Length: said[q.Length](v, "length", "length", &err), By: v.text("by"), Note: v.text("note"), When: v.when("ago", &err)}}, err
}

func noteForm(r *request) (Form, error) {
	return Form{Title: "Note", Icon: "note", Submit: "Log the note", Fields: []Field{area("text", "What is to be remembered?").must(), hidden("item", r.FormValue("item"))}}, nil
}

func noteCommand(r *request, v values) (book.Command, error) {
	return book.AddNote{Job: r.job.ID, Text: v.text("text"), Item: v.text("item")}, nil
}

// unknownForm helps where he does not know the answer, and logs that he did not.
func unknownForm(r *request) (Form, error) {
	what, why, skip := "", "", ""
	if h := r.job.Hold(r.FormValue("about")); h != nil {
		what, why, skip = h.Text, h.Why, h.Skip
	} else if s := r.job.Step(r.FormValue("about")); s != nil {
		what, why, skip = s.Text, s.Why, s.Skip
	} else {
		return Form{}, missing("the plan in force has no such line")
	}
	return Form{Title: "Don't know", Icon: "ask", Lead: what, Submit: "Log that it is not known",
		Warn:   nonEmpty(prefixed("Why it is asked: ", why), prefixed("If it is skipped: ", skip), "Not knowing is a full answer. It opens no hold point: find it out, ask, or go on with name and reason."),
		Fields: []Field{hidden("about", r.FormValue("about")), area("text", "What is missing to know it?")}}, nil
}

func unknownCommand(r *request, v values) (book.Command, error) {
	what := v.text("about")
	if h := r.job.Hold(what); h != nil {
		what = firstSentence(h.Text)
	} else if s := r.job.Step(what); s != nil {
		what = firstSentence(s.Text)
	}
	note := "not known: " + what
	if t := v.text("text"); t != "" {
		note += ": " + t
	}
	return book.AddNote{Job: r.job.ID, Text: note}, nil
}

// problemForm is where the big button "Problem" leads.
func problemForm(r *request) (Form, error) {
	return Form{Title: "Problem", Icon: "warn", Submit: "Log the problem",
		Lead: "Stop first, then write. More crack than planned has a page of its own: Found more.",
		Fields: []Field{chips("what", "What kind?", Choice{"kit", "Kit broken or missing", "warn"}, Choice{"weather", "Weather", "warn"}, Choice{"hurt", "Somebody hurt", "warn"}, Choice{"fire", "Fire or smoke", "fire"}, Choice{"customer", "Customer or site", "person"}, Choice{"weld", "Weld or steel", "bead"}),
			area("text", "What happened?").must()}}, nil
}

func problemCommand(r *request, v values) (book.Command, error) {
	t := v.text("text")
	if t != "" {
		t = strings.TrimSpace("problem "+prefixed("with ", v.text("what"))) + ": " + t
	}
	return book.AddNote{Job: r.job.ID, Text: t, Item: v.text("item")}, nil
}

// voidForm takes an entry back.
func voidForm(r *request) (Form, error) {
	line, err := r.entry()
	if err != nil {
		return Form{}, err
	}
	return Form{Title: "Take an entry back", Icon: "no", Lead: line.Text(), Submit: "Take it back",
		Warn:   []string{"It stays in the book, marked as taken back, with your reason."},
		Fields: []Field{hidden("of", line.Ref.String()), text("reason", "Why?").must()}, Back: r.path("log")}, nil
}

func voidCommand(r *request, v values) (book.Command, error) {
	line, err := r.entry()
	if err != nil {
		return nil, err
	}
	return book.Correct{Job: r.job.ID, Of: line.Ref, Void: true, Reason: v.text("reason")}, nil
}
