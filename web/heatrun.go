package web

import (
	"context"
	"errors"
	"net/url"

	"soundmetal/book"
	"soundmetal/store"
	"soundmetal/task"
)

// Working it out: the input, the two ways to run it, and the finished result.

// inputOf is all that the simulation of a place depends on.
func (r *request) inputOf(item, level string, readings []task.Reading) (task.Input, error) {
	v, number, err := r.planPlace(item)
	if err != nil {
		return task.Input{}, err
	}
	if level == "" {
		level = task.Coarse
	}
	if level != task.Coarse && level != task.Working {
		return task.Input{}, wrong("level", "say how finely: coarse or working")
	}
	file, err := r.Book.Plan(r.Context(), v)
	if err != nil {
		return task.Input{}, err
	}
	return task.Input{Version: task.Version, Kind: task.Heat, Job: string(file.Job), Shop: string(file.Shop), Units: r.job.Units,
		Level: level, Item: number, Readings: readings, Plan: v.PlanMade.ID, Place: item}, nil
}

// asked is the input that a form or an address asks for.
func (r *request) asked() (task.Input, error) {
	item := r.item()
	if item == "" {
		return task.Input{}, wrong("item", "say which place")
	}
	var readings []task.Reading
	if r.FormValue("readings") == "yes" {
		readings = usable(r.fitReadings(item))
	}
	return r.inputOf(item, r.FormValue("level"), readings)
}

// askedText is what is asked for, and the same as text.
func (r *request) askedText() (task.Input, []byte, error) {
	in, err := r.asked()
	if err != nil {
		return in, nil, err
	}
	data, err := in.Encode()
	if err != nil {
		return in, nil, &fault{statusUnprocessableEntity, err.Error()}
	}
	return in, data, nil
}

// heatInput gives the input as text, for a worker of the browser.
func (r *request) heatInput() error {
	_, data, err := r.askedText()
	if err != nil {
		return err
	}
	return r.sendText("application/json", data)
}

// checkResult holds a finished result against what it must answer: the plan in
// force, the place, and the readings as they stand now.
func (r *request) checkResult(item string, res *task.Result) error {
	if res.Place != item {
		return wrong("result", "this result is of another place")
	}
	if v := r.job.Plan(); v == nil || res.Plan != v.PlanMade.ID {
		return wrong("result", "the plan has changed since this was begun: work it out again")
	}
	in, err := r.inputOf(item, res.Level, res.Readings)
	if err != nil {
		return err
	}
	if in.Sum() != res.Input {
		return wrong("result", "this result does not answer for this plan, this place and these readings: work it out again")
	}
	known := map[string]task.Reading{}
	for _, t := range usable(r.fitReadings(item)) {
		known[t.Ref] = t
	}
	for _, t := range res.Readings {
		if k, ok := known[t.Ref]; !ok || k != t {
			return wrong("result", "a reading was corrected since this was begun: work it out again")
		}
	}
	return nil
}

// keepHeat takes a result that the browser has worked out. Sent twice under one
// key it counts once.
func (r *request) keepHeat() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	item := r.item()
	res, err := task.ReadResult([]byte(v.Get("result")))
	if err != nil {
		return &fault{statusUnprocessableEntity, err.Error()}
	}
	if err := r.keep(r.Context(), v.Get("key"), item, res); err != nil {
		return err
	}
	return r.goTo(r.heatPath(item) + "#heat")
}

// keep checks a result and logs it. What is already logged under the key is not
// checked again: the plan may have changed since.
func (r *request) keep(ctx context.Context, key, item string, res *task.Result) error {
	if known, err := r.Book.Store().Find(ctx, key); err != nil || len(known) == 0 {
		if err := r.checkResult(item, res); err != nil {
			return err
		}
	}
	_, err := r.Book.Do(ctx, r.now, key, book.KeepHeat{Job: r.job.ID, Item: item, Result: res})
	return err
}

// startHeat begins it in the host's process.
func (r *request) startHeat() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	if r.Tasks == nil {
		return &fault{statusConflict, "nothing is worked out by this host: open the page again"}
	}
	in, data, err := r.askedText()
	if err != nil {
		return err
	}
	site, id, item, key := r.site, r.job.ID, in.Place, "heat-"+v.Get("key")
	if len(key) > store.MaxKey {
		return &fault{statusBadRequest, "the key of this form is not one of these pages: open its page again and send it from there"}
	}
	err = r.Tasks.Start(r.taskID(item), data, func(ctx context.Context, result []byte) error { return site.finished(ctx, id, item, key, result) })
	switch {
	case errors.Is(err, ErrBusy):
		return &fault{statusServiceUnavailable, err.Error()}
	case err != nil:
		return err
	}
	return r.goTo(r.heatPath(item) + "#heat")
}

// finished keeps the result of a task, whether or not anybody looks.
func (s *site) finished(ctx context.Context, id, item, key string, result []byte) error {
	res, err := task.ReadResult(result)
	if err != nil {
		return err
	}
	r := s.request(nil, NewRequest(ctx, methodPost, &url.URL{Path: "/jobs/" + id + "/heat"}))
	if r.job, err = s.Book.Job(ctx, id); err != nil {
		return err
	}
	return r.keep(ctx, key, item, res)
}

// cancelHeat stops it.
func (r *request) cancelHeat() error {
	if _, err := r.read(); err != nil {
		return err
	}
	item := r.item()
	if r.Tasks != nil {
		r.Tasks.Cancel(r.taskID(item))
	}
	return r.goTo(r.heatPath(item) + "#heat")
}

// heatProgress is how far it is, for the page that waits; where nothing runs any
// more the whole page is loaded again.
func (r *request) heatProgress() error {
	item := r.item()
	v := taskView{Item: item}
	if r.Tasks != nil {
		v.TaskState = r.Tasks.State(r.taskID(item))
	}
	if !v.Busy() {
		if !r.part() {
			return r.goTo(r.heatPath(item))
		}
		r.w.Header().Set("HX-Refresh", "true")
	}
	return r.render("progress", "Working it out", v)
}
