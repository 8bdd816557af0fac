package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"time"

	"soundmetal/book"
	"soundmetal/store"
)

// Service is what the pages work on.
type Service struct {
	Book *book.Book
	Now  func() time.Time // its location is the one times are shown in; nil: time.Now
	Key  func() string    // a fresh idempotency key; nil: random
	// Log is told of faults that are not the visitor's, with names and values as
	// slog.Logger.Error takes them; nil: nobody.
	Log func(fault string, args ...any)

	// Logout is the path of the host's form to log out; "": there is no login.
	Logout string
	// LogoutAll is the path of its form to log out on every device; "": none.
	LogoutAll string
	// Export is the path where the host gives the whole book as one file; "": none.
	Export string
	// Address is how the pages are reached from elsewhere, https://book.example:8443:
	// papers carry it as a code to the job's page. "": that of the request, and none
	// where that is this computer itself.
	Address string
	// Manifest and Script are the paths of a web app manifest and of one more
	// script for every page, where the host is an installed app; "": none.
	Manifest, Script string
	// Tasks runs heavy computing in the host's process; nil: it cannot.
	Tasks Tasks
	// Worker is the path of a script that runs it in a worker of the browser (see
	// the package comment); "": there is none. Tasks comes first where both are set.
	Worker string
	// Devices lets phones and other devices in; nil: this host lets none in.
	Devices Devices
	// Link exchanges entries with the host that let this device in; nil: it does
	// not exchange.
	Link Link
	// Where says where entries are kept: "on this computer", "on this phone".
	Where string
}

// MaxForm is the largest form that is read, a photo included.
const MaxForm = book.MaxPhoto + 1<<20

// site is the pages on a service.
type site struct {
	Service
	plans planCache
	heats heatCache
}

// Site answers requests for the pages of a service.
type Site struct {
	routes   routes
	notFound pageFunc
}

// Answer answers a request.
func (p *Site) Answer(w Writer, r *Request) {
	f := p.routes.find(r)
	if f == nil {
		f = p.notFound
	}
	f(w, r)
}

// Pages gives the pages of a service.
func Pages(s Service) *Site {
	if s.Now == nil {
		s.Now = time.Now
	}
	if s.Key == nil {
		s.Key = rand.Text
	}
	if s.Log == nil {
		s.Log = func(string, ...any) {}
	}
	if s.Where == "" {
		s.Where = "on this computer"
	}
	w := &site{Service: s}
	p := &Site{notFound: w.serve((*request).notFound)}
	p.routes.add("GET /assets/{hash}/{name}", serveAsset)
	get := func(pattern string, f func(*request) error) { p.routes.add("GET "+pattern, w.serve(f)) }
	post := func(pattern string, f func(*request) error) { p.routes.add("POST "+pattern, w.serve(f)) }

	get("/{$}", (*request).start)
	get("/new", (*request).phoneScreen)
	post("/new", (*request).openJob)
	post("/new/verdict", (*request).verdictSoFar)
	get("/due", (*request).due)
	get("/machines", (*request).machines)
	get("/machines/{id}", (*request).machine)
	get("/customers", (*request).customers)
	get("/customers/{id}", (*request).customer)
	get("/shop/file", (*request).shopFile)
	post("/shop/file", (*request).saveShopFile)
	get("/explain", (*request).explain)
	get("/explain/{method}", (*request).method)
	get("/explain/{method}/sheet", (*request).methodSheet)
	get("/photos/{hash}", (*request).photo)
	get("/take-in", (*request).takeInPage)
	p.routes.add("POST /take-in", w.serveUpTo(MaxTakeIn, (*request).takeIn))
	for name, a := range bookActions {
		get("/"+name, func(r *request) error { return r.show(a) })
		post("/"+name, func(r *request) error { return r.do(a) })
	}

	if s.Devices != nil {
		get("/devices", (*request).devices)
		get("/devices/code", (*request).deviceCode)
		post("/devices/code", (*request).newDeviceCode)
		get("/devices/revoke", (*request).revokeForm)
		post("/devices/revoke", (*request).revoke)
		post("/devices/admit", (*request).admit)
		get("/devices/name", func(r *request) error { return r.show(nameAction) })
		post("/devices/name", func(r *request) error { return r.do(nameAction) })
	}
	if s.Link != nil {
		get("/sync", (*request).sync)
		post("/sync/join", (*request).join)
		post("/sync/step", (*request).syncStep)
		get("/sync/leave", (*request).leaveForm)
		post("/sync/leave", (*request).leave)
	}
	get("/jobs/{job}", (*request).sheet)
	get("/jobs/{job}/answer", (*request).answer)
	get("/jobs/{job}/part/{place}/{section}", (*request).sheetPart)
	get("/jobs/{job}/plans/{plan}/part/{place}/{section}", (*request).sheetPart)
	get("/jobs/{job}/draw/{item}/{name}", (*request).drawing)
	get("/jobs/{job}/chart/{item}", (*request).chart)
	get("/jobs/{job}/heat", (*request).heat)
	post("/jobs/{job}/heat", (*request).keepHeat)
	get("/jobs/{job}/heat/input", (*request).heatInput)
	post("/jobs/{job}/heat/start", (*request).startHeat)
	post("/jobs/{job}/heat/cancel", (*request).cancelHeat)
	get("/jobs/{job}/heat/progress", (*request).heatProgress)
	get("/jobs/{job}/heat/chart", (*request).heatChartPart)
	get("/jobs/{job}/log", (*request).log)
	get("/jobs/{job}/record", (*request).record)
	get("/jobs/{job}/papers", (*request).papers)
	get("/jobs/{job}/papers/{file}", (*request).paper)
	get("/jobs/{job}/hand-over", (*request).handOver)
	get("/jobs/{job}/file.zip", (*request).jobFile)
	get("/jobs/{job}/plans/{plan}", (*request).oldPlan)
	get("/jobs/{job}/change", (*request).change)
	get("/jobs/{job}/facts", (*request).facts)
	get("/jobs/{job}/facts/{group}", (*request).factForm)
	post("/jobs/{job}/facts/{group}", (*request).saveFacts)
	for name, a := range jobActions {
		get("/jobs/{job}/"+name, func(r *request) error { return r.show(a) })
		post("/jobs/{job}/"+name, func(r *request) error { return r.do(a) })
	}
	return p
}

// request is one request on its way.
type request struct {
	*site
	*scene
	*Request
	w Writer
}

// serve runs a page. Whatever it writes goes out as a whole or not at all.
func (s *site) serve(f func(*request) error) pageFunc { return s.serveUpTo(MaxForm, f) }

// serveUpTo runs a page whose form may have so many bytes.
func (s *site) serveUpTo(most int64, f func(*request) error) pageFunc {
	return func(w Writer, hr *Request) {
		if hr.Method == methodPost && hr.Body != nil {
			hr.Body = &limited{from: hr.Body, left: most, limit: most}
		}
		r := s.request(w, hr)
		err := r.find()
		if err == nil {
			err = f(r)
		}
		if err != nil {
			r.fail(err)
		}
	}
}

// find reads the job of the path.
func (r *request) find() (err error) {
	if id := r.PathValue("job"); id != "" {
		r.job, err = r.Book.Job(r.Context(), id)
	}
	return err
}

// fault is an answer with a status of its own.
type fault struct {
	status int
	text   string
}

func (f *fault) Error() string { return f.text }

func missing(format string, args ...any) error {
	return &fault{statusNotFound, fmt.Sprintf(format, args...)}
}

func (r *request) notFound() error {
	return missing("there is no page here: the address may be mistyped, or the page was of another build")
}

// fail shows an error as a page with one sentence.
func (r *request) fail(err error) {
	var f *fault
	var no *book.Refusal
	var big *tooLarge
	status, title, text := statusInternalServerError, "Not saved", ""
	switch {
	case errors.As(err, &f):
		status, title, text = f.status, "Not here", f.text
	case errors.As(err, &no):
		status, title, text = statusConflict, "Not yet", no.Text
		if no.Code == book.CodeUnknown {
			status, title = statusNotFound, "Not here"
		}
	case errors.As(err, &big):
		status, title, text = statusRequestEntityTooLarge, "Too large", fmt.Sprintf("this is larger than %d MB; take a smaller photo", big.Limit>>20)
	case errors.Is(err, context.Canceled):
		return
	case errors.Is(err, store.ErrKey):
		status, text = statusConflict, "this form has lost its key: load the page again and fill it in once more"
	case errors.Is(err, store.ErrFull):
		status, title, text = statusInsufficientStorage, "No room left", "there is no room left here: nothing of this form was saved; delete what is not needed on this device, then send the form again"
	case errors.Is(err, store.ErrNoBlob):
		status, title, text = statusNotFound, "Not here yet", "this file has not reached this device yet"
	default:
		text = "the book could not be read or written: nothing of this form was saved; try again, and look whether the disk is full"
		r.Log("page", "path", r.URL.Path, "err", err)
	}
	r.renderStatus(status, "fail", title, map[string]any{"Text": text})
}

// goTo sends the browser on after a form was carried out.
func (r *request) goTo(path string) error {
	redirect(r.w, path)
	return nil
}

// render writes a page.
func (r *request) render(name, title string, data any) error {
	return r.renderStatus(statusOK, name, title, data)
}

func (r *request) renderStatus(status int, name, title string, data any) error {
	var out bytes.Buffer
	if err := r.write(&out, name, title, data); err != nil {
		r.Log("template", "name", name, "err", err)
		plainError(r.w, "this page cannot be shown: "+err.Error(), statusInternalServerError)
		return nil
	}
	h := r.w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	h.Add("Vary", "HX-Request")
	r.w.WriteHeader(status)
	_, err := r.w.Write(out.Bytes())
	if err != nil {
		return nil // the visitor has gone
	}
	return nil
}

// part says that only the fragment is asked for, not a whole page.
func (r *request) part() bool { return r.Header.Get("HX-Request") == "true" }
