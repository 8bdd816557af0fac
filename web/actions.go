package web

import "soundmetal/book"

// jobActions are the forms of a job by the last part of their address.
var jobActions = map[string]action{
	"step": {stepForm, stepCommand, nil}, "hold": {holdForm, holdCommand, nil}, "override": {overrideForm, overrideCommand, nil},
	"reading": {readingForm, readingCommand, nil}, "tin": {tinForm, tinCommand, nil}, "tin-away": {tinAwayForm, tinAwayCommand, nil},
	"gouge": {gougeForm, gougeCommand, nil}, "bead": {beadForm, beadCommand, nil}, "post-heat": {postHeatForm, postHeatCommand, nil},
	"look": {lookForm, lookCommand, nil}, "photo": {photoForm, photoCommand, nil}, "note": {noteForm, noteCommand, nil},
	"clock": {clockForm, clockCommand, nil}, "clock-stop": {clockStopForm, clockStopCommand, nil}, "check-in": {checkInForm, checkInCommand, nil},
	"clear": {clearForm, clearCommand, nil}, "problem": {problemForm, problemCommand, nil}, "unknown": {unknownForm, unknownCommand, nil},
	"found": {foundForm, foundCommand, toChange}, "accept": {acceptForm, acceptCommand, nil}, "refuse": {refuseForm, refuseCommand, nil},
	"agree": {agreeForm, agreeCommand, nil}, "close": {closeForm, closeCommand, nil}, "reopen": {reopenForm, reopenCommand, nil},
	"follow-up": {followUpForm, followUpCommand, nil}, "again": {againForm, againCommand, toNewJob}, "correct": {correctForm, correctCommand, nil}, "void": {voidForm, voidCommand, nil},
	"torch": {torchForm, torchCommand, toHeat}, "new-place": {newPlaceForm, newPlaceCommand, nil}, "drop-place": {dropPlaceForm, dropPlaceCommand, nil},
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

func toChange(r *request, res book.Result) string { return "/jobs/" + res.Job + "/change" }

func toNewJob(r *request, res book.Result) string {
	if res.Made != "" {
		return "/jobs/" + res.Made + "/answer"
	}
	return "/jobs/" + res.Job
}
