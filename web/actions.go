package web

import (
	"net/http"

	"soundmetal/book"
)

// jobActions are the forms of a job by the last part of their address.
var jobActions = map[string]action{
	"step": {stepForm, stepCommand, nil}, "hold": {holdForm, holdCommand, nil}, "override": {overrideForm, overrideCommand, nil},
	"reading": {readingForm, corrected(readingCommand), nil}, "tin": {tinForm, tinCommand, nil}, "tin-away": {tinAwayForm, tinAwayCommand, nil},
	"gouge": {gougeForm, corrected(gougeCommand), nil}, "bead": {beadForm, corrected(beadCommand), nil}, "post-heat": {postHeatForm, corrected(postHeatCommand), nil},
	"look": {lookForm, corrected(lookCommand), nil}, "photo": {photoForm, photoCommand, nil}, "note": {noteForm, corrected(noteCommand), nil},
	"clock": {clockForm, clockCommand, nil}, "clock-stop": {clockStopForm, clockStopCommand, nil}, "check-in": {checkInForm, checkInCommand, nil},
	"clear": {clearForm, clearCommand, nil}, "problem": {problemForm, problemCommand, nil}, "unknown": {unknownForm, unknownCommand, nil},
	"found": {foundForm, foundCommand, toChange}, "accept": {acceptForm, acceptCommand, nil}, "refuse": {refuseForm, refuseCommand, nil},
	"agree": {agreeForm, agreeCommand, nil}, "close": {closeForm, closeCommand, nil}, "reopen": {reopenForm, reopenCommand, nil},
	"follow-up": {followUpForm, followUpCommand, nil}, "again": {againForm, againCommand, toNewJob}, "void": {voidForm, voidCommand, nil},
	"new-place": {newPlaceForm, newPlaceCommand, nil}, "drop-place": {dropPlaceForm, dropPlaceCommand, nil},
}

// bookActions are the forms of the book.
var bookActions = map[string]action{
	"settings": {settingsForm, settingsCommand, func(*request, book.Result) string { return "/settings?saved=1" }},
	"shop":     {shopForm, shopCommand, func(*request, book.Result) string { return "/shop?saved=1" }},
	"clear-demo": {clearDemoForm, func(*request, values) (book.Command, error) {
		return book.SetSettings{Set: map[string]string{"demo": "cleared"}}, nil
	}, func(*request, book.Result) string { return "/" }},
	"customer": {customerForm, customerCommand, func(r *request, res book.Result) string { return "/customers/" + res.Made }},
	"party":    {partyForm, partyCommand, func(r *request, res book.Result) string { return "/machines/" + res.Made }},
}

// placeField asks which place it is, where the job has several.
func (r *request) placeField() Field {
	standing := r.job.Standing()
	asked := r.FormValue("item")
	if len(standing) == 1 {
		return hidden("item", standing[0].ID)
	}
	f := chips("item", "Which place?").must().is(asked)
	for _, p := range standing {
		f.Choices = append(f.Choices, Choice{p.ID, capital(p.Name), ""})
	}
	return f
}

// item is the place that is asked for, else the job's only one.
func (r *request) item() string {
	if id := r.FormValue("item"); id != "" {
		return id
	}
	if s := r.job.Standing(); len(s) == 1 {
		return s[0].ID
	}
	return ""
}

// correction fields: an entry that the form takes the place of.
func (r *request) correction(f Form) Form {
	of := r.FormValue("of")
	if of == "" {
		return f
	}
	ref, err := book.ReadRef(of)
	line := (*book.Line)(nil)
	if err == nil {
		line = r.job.Find(ref)
	}
	if line == nil {
		return f
	}
	f.Title, f.Submit = "Correct: "+f.Title, "Correct it"
	f.Lead = "Written was: " + line.Text() + ". It stays in the record beside the correction."
	f.Fields = append(f.Fields, text("reason", "Why is it corrected?").must(), hidden("of", of))
	return f
}

// corrected turns a command into the correction of an earlier entry, where the
// form names one.
func corrected(command func(*request, values) (book.Command, error)) func(*request, values) (book.Command, error) {
	return func(r *request, v values) (book.Command, error) {
		cmd, err := command(r, v)
		of := v.text("of")
		if err != nil || of == "" {
			return cmd, err
		}
		ref, err := book.ReadRef(of)
		if err != nil {
			return nil, missing("there is no such entry")
		}
		line := r.job.Find(ref)
		if line == nil {
			return nil, missing("there is no such entry")
		}
		c := book.Correct{Job: r.job.ID, Of: ref, Reason: v.text("reason")}
		switch b := cmd.(type) { // the time stays as it was, where the form gives none
		case book.LogReading:
			if b.When.IsZero() {
				b.When = line.At
			}
			c.Body = b.Reading
		case book.LogGouge:
			if b.When.IsZero() {
				b.When = line.At
			}
			c.Body = b.GougeDone
		case book.BeadDone:
			if b.Ended.IsZero() {
				b.Ended = line.At
			}
			c.Body = b.Bead
		case book.LogPostHeat:
			c.Body = b.PostHeat
		case book.Inspect:
			if b.When.IsZero() {
				b.When = line.At
			}
			c.Body = b.Inspection
		case book.AddNote:
			c.Body = book.Note{Text: b.Text, Item: b.Item, When: line.At}
		default:
			return nil, &fault{http.StatusBadRequest, "this entry is not corrected by this form"}
		}
		return c, nil
	}
}

func toChange(r *request, res book.Result) string { return "/jobs/" + res.Job + "/change" }

func toNewJob(r *request, res book.Result) string {
	if res.Made != "" {
		return "/jobs/" + res.Made + "/answer"
	}
	return "/jobs/" + res.Job
}
