package web

import (
	"errors"
	"mime"
	"net/url"
	"strings"

	"soundmetal/book"
	"soundmetal/job"
	"soundmetal/store"
)

// action is one form with the command it becomes. Its page is shown by GET, by a
// POST that was refused, and not at all where a single button sends it whole.
type action struct {
	form    func(r *request) (Form, error)
	command func(r *request, v values) (book.Command, error)
	then    func(r *request, res book.Result) string // where to go; nil: the job, else the start
}

// show shows the empty form; the address may fill fields beforehand.
func (r *request) show(a action) error {
	f, err := a.form(r)
	if err != nil {
		return err
	}
	f.fill(r.URL.Query())
	return r.showForm(statusOK, f)
}

func (r *request) showForm(status int, f Form) error {
	if f.Back == "" {
		f.Back = "/"
		if r.job != nil {
			f.Back = "/jobs/" + r.job.ID
		}
	}
	return r.renderStatus(status, "form", f.Title, f)
}

// do carries out a posted form.
func (r *request) do(a action) error {
	v, err := r.read()
	if err != nil {
		return err
	}
	cmd, err := a.command(r, v)
	if err == nil {
		var res book.Result
		if res, err = r.Book.Do(r.Context(), r.now, v.Get("key"), cmd); err == nil {
			return r.goTo(r.after(a, res))
		}
	}
	return r.again(a, v, err)
}

// again shows a refused form with what was typed.
func (r *request) again(a action, v values, err error) error {
	var no *book.Refusal
	if !errors.As(err, &no) {
		return err
	}
	f, formErr := a.form(r)
	if formErr != nil {
		return formErr
	}
	f.fill(v.Values)
	f.refuse(no)
	return r.showForm(statusUnprocessableEntity, f)
}

// after is the page that shows what was done.
func (r *request) after(a action, res book.Result) string {
	if a.then != nil {
		return a.then(r, res)
	}
	if res.Job == "" {
		return "/"
	}
	return r.did(res)
}

// did is the job with what was just logged on top. It depends on the entries
// alone: a form sent twice leads to the same page twice.
func (r *request) did(res book.Result) string {
	path := "/jobs/" + res.Job
	if len(res.Entries) > 0 {
		last := res.Entries[len(res.Entries)-1]
		path += "?did=" + url.QueryEscape(last.String())
		if n := len(res.Entries); n > 1 {
			path += "&from=" + url.QueryEscape(res.Entries[0].String())
		}
	}
	return path + "#said"
}

// read reads a posted form, with or without a photo.
func (r *request) read() (values, error) {
	var err error
	media, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	switch media {
	case "multipart/form-data":
		err = r.ParseMultipartForm(book.MaxPhoto)
	case "application/x-www-form-urlencoded", "":
		err = r.ParseForm()
	default:
		return values{}, &fault{statusUnsupportedMediaType, "only forms of these pages are read here"}
	}
	var big *tooLarge
	switch {
	case errors.As(err, &big):
		return values{}, err
	case err != nil:
		return values{}, &fault{statusBadRequest, "this form cannot be read: send it again from its page"}
	}
	v := values{r.posted, job.SI, r}
	if r.job != nil {
		v.units = r.job.Units
	} else if u := r.reg.Units(); u != "" {
		v.units = u
	}
	if strings.TrimSpace(v.Get("key")) == "" {
		return v, &fault{statusBadRequest, "this form has no key: open its page again and send it from there"}
	}
	if err := store.CheckKey(v.Get("key")); err != nil {
		return v, &fault{statusBadRequest, "the key of this form is not one of these pages: open its page again and send it from there"}
	}
	return v, nil
}
