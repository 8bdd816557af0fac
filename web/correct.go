package web

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// Correcting: every entry of the log that may be corrected has a form here. It
// is the form by which its kind is logged, filled as it was written; what is left
// as it is stays as it is, the time too.

// correcting is how entries of one kind are corrected.
type correcting struct {
	form func(r *request, was any) (Form, error)
	fill func(r *request, was any) url.Values             // the fields as they were
	body func(r *request, v values, was any) (any, error) // the entry in its new form
}

// correctBy makes a correcting of functions that know the type.
func correctBy[T any](form func(r *request, was T) (Form, error), fill func(r *request, was T) url.Values, body func(r *request, v values, b *T, err *error)) correcting {
	return correcting{
		form: func(r *request, was any) (Form, error) { return form(r, was.(T)) },
		fill: func(r *request, was any) url.Values { return fill(r, was.(T)) },
		body: func(r *request, v values, was any) (any, error) {
			b := was.(T)
			var err error
			body(r, v, &b, &err)
			return b, err
		},
	}
}

// as takes the form by which the kind is logged.
func as[T any](form func(r *request) (Form, error)) func(*request, T) (Form, error) {
	return func(r *request, _ T) (Form, error) { return form(r) }
}

// plain makes a form of fields.
func plain[T any](title, icon string, fields ...Field) func(*request, T) (Form, error) {
	return func(*request, T) (Form, error) {
		return Form{Title: title, Icon: icon, Fields: append([]Field(nil), fields...)}, nil
	}
}

func one(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		v.Set(pairs[i], pairs[i+1])
	}
	return v
}

// earlier puts a time where the form says how long ago; left empty the time stays.
func earlier(v values, name string, t *time.Time, err *error) {
	if v.text(name) == "" {
		return
	}
	if now := v.when(name, err); !now.IsZero() {
		*t = now
	} else {
		*t = v.r.now
	}
}

// typed is a measured value as it was typed, so that no round trip changes it.
func typed[T ~float64](s *book.Said[T], unit string) string {
	switch {
	case s == nil:
		return ""
	case s.As != "":
		return s.As
	case unit == "mm":
		return strconv.FormatFloat(float64(s.SI)*1000, 'g', 8, 64) + " mm"
	}
	return strconv.FormatFloat(float64(s.SI), 'g', 8, 64) + " " + unit
}

// again reads a measured value; where the text is as it was, so is the value.
func again[T ~float64](v values, name, what, unit string, was *book.Said[T], err *error) *book.Said[T] {
	if v.text(name) == typed(was, unit) {
		return was
	}
	return said[T](v, name, what, err)
}

func decimal(n float64) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatFloat(n, 'f', -1, 64)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// corrections are the forms of all kinds that may be corrected; a test holds
// the list to that of package book.
var corrections = map[book.Kind]correcting{
	book.KindReading: correctBy(as[book.Reading](readingForm), func(_ *request, b book.Reading) url.Values {
		v := one("item", b.Item, "bead", decimal(float64(b.Bead)), "temp", typed(b.Temp, "C"), "tool", string(b.Tool), "place", b.Place, "distance", typed(b.Distance, "mm"), "far_face", yes(b.FarFace))
		if b.Crayon != nil {
			v.Set("crayon", typed(&b.Crayon.At, "C"))
			v.Set("melted", yes(b.Crayon.Melted))
		}
		return v
	}, func(r *request, v values, b *book.Reading, err *error) {
		var cmd book.Command
		was := *b
		if cmd, *err = readingCommand(r, v); *err != nil {
			return
		}
		*b = cmd.(book.LogReading).Reading
		b.Temp = again(v, "temp", "temperature", "C", was.Temp, err)
		b.Distance = again(v, "distance", "distance", "mm", was.Distance, err)
		if b.Crayon != nil && was.Crayon != nil {
			b.Crayon.At = *again(v, "crayon", "crayon", "C", &was.Crayon.At, err)
		}
		if b.Tool == "" && b.Crayon != nil {
			b.Tool = book.CrayonTool
		}
		b.When = was.When
		earlier(v, "ago", &b.When, err)
	}),
	book.KindBead: correctBy(as[book.Bead](beadForm), func(_ *request, b book.Bead) url.Values {
		return one("item", b.Item, "number", strconv.Itoa(b.Number), "tin", b.Tin, "rods", decimal(b.Rods), "length", typed(b.Length, "mm"), "amps", typed(b.Amps, "A"), "note", b.Note)
	}, func(r *request, v values, b *book.Bead, err *error) {
		var cmd book.Command
		was := *b
		if cmd, *err = beadCommand(r, v); *err != nil {
			return
		}
		*b = cmd.(book.BeadDone).Bead
		b.Length = again(v, "length", "length", "mm", was.Length, err)
		b.Amps = again(v, "amps", "amps", "A", was.Amps, err)
		b.Ended = was.Ended
		earlier(v, "ago", &b.Ended, err)
		if v.text("begun") == "" {
			b.Begun = was.Begun
		}
	}),
	book.KindGouge: correctBy(as[book.GougeDone](gougeForm), func(_ *request, b book.GougeDone) url.Values {
		return one("item", b.Item, "side", strconv.Itoa(b.Side), "length", typed(b.Length, "mm"), "depth", typed(b.Depth, "mm"), "carbons", decimal(b.Carbons), "note", b.Note)
	}, func(r *request, v values, b *book.GougeDone, err *error) {
		var cmd book.Command
		was := *b
		if cmd, *err = gougeCommand(r, v); *err != nil {
			return
		}
		*b = cmd.(book.LogGouge).GougeDone
		b.Length = again(v, "length", "length", "mm", was.Length, err)
		b.Depth = again(v, "depth", "depth", "mm", was.Depth, err)
		b.When = was.When
		earlier(v, "ago", &b.When, err)
	}),
	book.KindPostHeat: correctBy(as[book.PostHeat](postHeatForm), func(_ *request, b book.PostHeat) url.Values {
		return one("item", b.Item, "temp", typed(b.Temp, "C"))
	}, func(r *request, v values, b *book.PostHeat, err *error) {
		b.Item = v.text("item")
		b.Temp = again(v, "temp", "temperature", "C", b.Temp, err)
		earlier(v, "from", &b.From, err)
		earlier(v, "to", &b.To, err)
	}),
	book.KindInspection: correctBy(as[book.Inspection](lookForm), func(_ *request, b book.Inspection) url.Values {
		return one("item", b.Item, "stage", string(b.Stage), "method", string(b.Method), "result", string(b.Result), "length", typed(b.Length, "mm"), "by", b.By, "note", b.Note)
	}, func(r *request, v values, b *book.Inspection, err *error) {
		was := *b
		*b = book.Inspection{Item: v.text("item"), Stage: book.Stage(v.text("stage")), Method: book.Method(v.text("method")), Result: book.Outcome(v.text("result")),
			Length: again(v, "length", "length", "mm", was.Length, err), By: v.text("by"), Note: v.text("note"), When: was.When}
		earlier(v, "ago", &b.When, err)
	}),
	book.KindNote: correctBy(as[book.Note](noteForm), func(_ *request, b book.Note) url.Values {
		return one("text", b.Text, "item", b.Item)
	}, func(r *request, v values, b *book.Note, err *error) {
		b.Text, b.Item = v.text("text"), v.text("item")
	}),
	book.KindStep: correctBy(plain[book.StepDone]("Done", "done", text("note", "Remark"), ago("When?")), func(_ *request, b book.StepDone) url.Values {
		return one("note", b.Note)
	}, func(r *request, v values, b *book.StepDone, err *error) {
		b.Note = v.text("note")
		earlier(v, "ago", &b.When, err)
	}),
	book.KindHold: correctBy(plain[book.HoldAnswered]("Hold point", "stop", answerField(), chips("how", "How was it seen?", sawBy...), text("note", "Remark"), text("by", "Who looked?"), ago("When?")), func(_ *request, b book.HoldAnswered) url.Values {
		return one("says", string(b.Says), "how", b.How, "note", b.Note, "by", b.By)
	}, func(r *request, v values, b *book.HoldAnswered, err *error) {
		b.Says, b.How, b.Note, b.By = book.Says(v.text("says")), v.text("how"), v.text("note"), v.text("by")
		earlier(v, "ago", &b.When, err)
	}),
	book.KindTin: correctBy(func(r *request, b book.TinOpened) (Form, error) {
		f, err := tinForm(r)
		limit := measure("limit", "How long may they be out?", usual("rods-out", r.job.Units)...).hint("Left empty it is taken from the table of the class. A time of your own needs its reason below.")
		f.Fields = append(f.Fields[:len(f.Fields)-1], limit, f.Fields[len(f.Fields)-1])
		return f, err
	}, func(r *request, b book.TinOpened) url.Values {
		v := one("class", b.Class, "size", typed(b.Size, "mm"), "lot", b.Lot, "from", string(b.From))
		if strings.HasPrefix(b.Basis, ownLimit) && b.Limit != nil {
			v.Set("limit", decimal(float64(*b.Limit/q.Minute))+" min")
		}
		return v
	}, correctTin),
	book.KindTinAway: correctBy(plain[book.TinPutAway]("Rods away", "tin", awayField(), ago("When?")), func(_ *request, b book.TinPutAway) url.Values {
		return one("into", string(b.Into))
	}, func(r *request, v values, b *book.TinPutAway, err *error) {
		b.Into = book.TinTo(v.text("into"))
		earlier(v, "ago", &b.When, err)
	}),
	book.KindPhoto: correctBy(func(r *request, b book.Photo) (Form, error) {
		return Form{Title: "Photo", Icon: "photo", Fields: []Field{text("caption", "What does it show?"), r.maybePlace()}}, nil
	}, func(_ *request, b book.Photo) url.Values {
		return one("caption", b.Caption, "item", b.Item)
	}, func(r *request, v values, b *book.Photo, err *error) {
		b.Caption, b.Item = v.text("caption"), v.text("item")
	}),
	book.KindDamage: correctBy(plain[book.DamageFound]("Found more", "crack", area("text", "What was found?").must()), func(_ *request, b book.DamageFound) url.Values {
		return one("text", b.Text)
	}, func(r *request, v values, b *book.DamageFound, err *error) {
		if b.Text = v.text("text"); b.Text == "" {
			*err = wrong("text", "say what was found")
		}
	}),
	book.KindClockOn: correctBy(plain[book.ClockStarted]("A clock", "clock", measure("for", "How long?", usual("wait", "")...), text("label", "What for?"), text("call", "Check-in: who waits for your call, and what does he do?"), ago("When was it started?")), func(_ *request, b book.ClockStarted) url.Values {
		v := one("label", b.Label, "call", b.Call)
		if b.For > 0 {
			v.Set("for", decimal(float64(b.For/q.Minute))+" min")
		}
		return v
	}, correctClock),
	book.KindClockOff: correctBy(plain[book.ClockStopped]("A clock stopped", "clock", text("note", "Remark"), ago("When?")), func(_ *request, b book.ClockStopped) url.Values {
		return one("note", b.Note)
	}, func(r *request, v values, b *book.ClockStopped, err *error) {
		b.Note = v.text("note")
		earlier(v, "ago", &b.When, err)
	}),
	book.KindCheckedIn: correctBy(plain[book.CheckedIn]("Checked in", "call", ago("When?")), func(*request, book.CheckedIn) url.Values {
		return url.Values{}
	}, func(r *request, v values, b *book.CheckedIn, err *error) {
		earlier(v, "ago", &b.When, err)
	}),
	book.KindCleared: correctBy(plain[book.Cleared]("What was put right", "done", area("done", "What was done about it?").must()), func(_ *request, b book.Cleared) url.Values {
		return one("done", b.Done)
	}, func(r *request, v values, b *book.Cleared, err *error) {
		if b.Done = v.text("done"); b.Done == "" {
			*err = wrong("done", "say what was done about it")
		}
	}),
	book.KindFollowedUp: correctBy(plain[book.FollowedUp]("Looked again", "look", heldField(), measure("hours", "Hours it has worked since").hint("Write 50 h."), text("note", "Remark"), ago("When?")), func(_ *request, b book.FollowedUp) url.Values {
		v := one("result", string(b.Result), "note", b.Note)
		if b.Hours != nil {
			v.Set("hours", decimal(b.Hours.Hours())+" h")
		}
		return v
	}, func(r *request, v values, b *book.FollowedUp, err *error) {
		if b.Hours == nil || v.text("hours") != decimal(b.Hours.Hours())+" h" {
			if h := v.hours("hours", err); h != nil {
				b.Hours = &h.SI
			} else {
				b.Hours = nil
			}
		}
		b.Result, b.Note = book.Held(v.text("result")), v.text("note")
		earlier(v, "ago", &b.When, err)
	}),
}

// ownLimit begins the basis of a time in the air that is not from a table.
const ownLimit = "told by the welder: "

func correctTin(r *request, v values, b *book.TinOpened, err *error) {
	was := *b
	size := again(v, "size", "size", "mm", was.Size, err)
	limit := said[q.Time](v, "limit", "how long", err)
	if *err != nil {
		return
	}
	t, e := r.job.TinOf(book.OpenTin{Class: v.text("class"), Size: size, Lot: v.text("lot"), From: book.TinFrom(v.text("from"))})
	if e != nil {
		*err = e
		return
	}
	t.ID, t.When = was.ID, was.When
	if limit != nil {
		t.Limit, t.Basis = &limit.SI, ownLimit+v.text("reason")
		if strings.HasPrefix(was.Basis, ownLimit) && was.Limit != nil && *was.Limit == limit.SI {
			t.Basis = was.Basis
		}
	}
	*b = t
	earlier(v, "ago", &b.When, err)
}

func correctClock(r *request, v values, b *book.ClockStarted, err *error) {
	b.Label, b.Call = v.text("label"), v.text("call")
	if v.text("for") != decimal(float64(b.For/q.Minute))+" min" {
		d := said[q.Time](v, "for", "how long", err)
		switch {
		case *err != nil:
		case d != nil:
			b.For = d.SI
		case b.For > 0:
			*err = wrong("for", "say how long the clock runs")
		}
	}
	earlier(v, "ago", &b.When, err)
}

// maybePlace asks which place a photo shows, where there is more than one.
func (r *request) maybePlace() Field {
	if len(r.job.Standing()) < 2 {
		return hidden("item", "")
	}
	f := chips("item", "Which place?")
	for _, p := range r.job.Standing() {
		f.Choices = append(f.Choices, Choice{p.ID, capital(p.Name), ""})
	}
	f.Choices = append(f.Choices, Choice{"", "The whole job", ""})
	return f
}

// entry is the line of the log that the form is about.
func (r *request) entry() (*book.Line, error) {
	ref, err := book.ReadRef(r.FormValue("of"))
	if err != nil {
		return nil, missing("there is no such entry")
	}
	line := r.job.Find(ref)
	if line == nil {
		return nil, missing("there is no such entry")
	}
	return line, nil
}

func correctForm(r *request) (Form, error) {
	line, err := r.entry()
	if err != nil {
		return Form{}, err
	}
	if err := r.job.Corrects(line); err != nil {
		return Form{}, err
	}
	c := corrections[line.Kind]
	f, err := c.form(r, line.Body())
	if err != nil {
		return Form{}, err
	}
	f.fill(c.fill(r, line.Body()))
	f.Title, f.Submit, f.Warn = "Correct: "+f.Title, "Correct it", nil
	f.Lead = "Written was: " + strings.TrimSuffix(line.Text(), ".") + ". It stays in the record beside the correction."
	if line.Void {
		f.Lead = "Taken back was: " + strings.TrimSuffix(line.Text(), ".") + ". It stands again with what is written here."
	}
	for i := range f.Fields {
		fd := &f.Fields[i]
		at := line.At
		switch fd.Name {
		case "from":
			h, ok := line.Body().(book.PostHeat)
			if !ok {
				continue
			}
			at = h.From
		case "begun":
			b, ok := line.Body().(book.Bead)
			if !ok || b.Begun == nil {
				continue
			}
			at = *b.Begun
		case "ago", "to":
		default:
			continue
		}
		fd.Must, fd.Hint = false, fmt.Sprintf("It was %s: left empty it stays so. Else how long ago: 20 min, 2 h.", r.clock(at))
	}
	f.Fields = append(f.Fields, text("reason", "Why is it corrected?").must(), hidden("of", line.Ref.String()))
	f.Action, f.Back = r.path("correct"), r.path("log")
	return f, nil
}

func correctCommand(r *request, v values) (book.Command, error) {
	line, err := r.entry()
	if err != nil {
		return nil, err
	}
	c, ok := corrections[line.Kind]
	if !ok || line.Body() == nil {
		return nil, &fault{statusBadRequest, "an entry of this kind is not corrected: log what is new"}
	}
	body, err := c.body(r, v, line.Body())
	if err != nil {
		return nil, err
	}
	return book.Correct{Job: r.job.ID, Of: line.Ref, Reason: v.text("reason"), Body: body}, nil
}
