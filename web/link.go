package web

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"soundmetal/exchange"
)

// Link exchanges entries with the host that let this device in; *exchange.Client
// is one.
type Link interface {
	// Status says how this device stands with its host; it sends nothing.
	Status(context.Context) (exchange.Status, error)
	// Join lets this device in at a host by the code that it shows.
	Join(ctx context.Context, address, code string) error
	// Step does the next short piece of the exchange.
	Step(context.Context) (exchange.Progress, error)
	// Leave forgets the host.
	Leave(context.Context) error
}

// syncView is the page of the exchange.
type syncView struct {
	exchange.Status
	Step  *exchange.Progress // of the piece just done; nil: none was
	More  bool               // the next piece can follow at once
	Moved int64              // entries and files that went over so far
	Total int64              // and all that are known to go
	Only  onlyHere
}

func (r *request) sync() error { return r.showSync(statusOK, nil, nil) }

// showSync shows how the exchange stands, after a piece of it or without one.
func (r *request) showSync(code int, step *exchange.Progress, failed error) error {
	s, err := r.Link.Status(r.Context())
	if err != nil {
		return r.linkFailed(err)
	}
	if !s.Joined {
		f := r.joinForm(s)
		f.fill(r.URL.Query())
		return r.showForm(code, f)
	}
	v := syncView{Status: s, Step: step, Only: r.onlyOf(s)}
	if step != nil {
		v.More = failed == nil && !step.Done
		v.Moved = step.Sent + step.Fetched + int64(step.FilesSent+step.FilesFetched)
		v.Total = v.Moved + step.Send + step.Fetch + int64(step.SendFiles+step.FetchFiles)
	}
	return r.renderStatus(code, "sync", "Exchange", v)
}

// linkFailed shows a failure that leaves nothing else to show.
func (r *request) linkFailed(err error) error {
	var f *exchange.Failure
	if errors.As(err, &f) {
		return &fault{statusConflict, f.Error()}
	}
	return err
}

func (r *request) joinForm(s exchange.Status) Form {
	f := Form{Title: "Exchange", Icon: "swap", Action: "/sync/join", Submit: "Let this device in", Back: "/",
		Lead: "At the computer that keeps the book open Phones and devices and make a code. It holds for 10 minutes and lets in one device."}
	if only := r.onlyOf(s); only.Any {
		f.Warn = append(f.Warn, only.Text)
	}
	address := text("address", "Address of that computer").must().hint("As it stands there: https://book.example").mode("url")
	if s.URL != "" {
		address = hidden("address", s.URL)
	}
	f.Fields = []Field{address, text("code", "Code").must().hint("Eight digits").mode("numeric")}
	return f
}

func (r *request) join() error {
	address, code := r.PostFormValue("address"), r.PostFormValue("code")
	err := r.Link.Join(r.Context(), address, code)
	if err == nil {
		return r.goTo("/sync")
	}
	var no *exchange.Failure
	if !errors.As(err, &no) {
		return err
	}
	s, err := r.Link.Status(r.Context())
	if err != nil {
		return r.linkFailed(err)
	}
	f := r.joinForm(s)
	if f.Fields[0].Kind != kindHidden || s.Joined {
		f.Fields[0] = text("address", "Address of that computer").must()
	}
	f.Fields[0].Value, f.Fields[1].Value = strings.TrimSpace(address), strings.TrimSpace(code)
	at := 1
	if no.Reason == exchange.NotOurs || no.Reason == exchange.NoTrust {
		at = 0
	}
	if f.Err = capital(no.Error()) + "."; f.Fields[at].Kind != kindHidden {
		f.Fields[at].Err, f.Err = f.Err, "One field has to be put right: "+f.Fields[at].Label
	}
	return r.showForm(statusUnprocessableEntity, f)
}

// syncStep does a piece. Sent twice it does two pieces, which does no harm.
func (r *request) syncStep() error {
	p, err := r.Link.Step(r.Context())
	var no *exchange.Failure
	if err != nil && !errors.As(err, &no) {
		return err
	}
	r.reg = r.Book.Registry() // what came in may have changed it
	return r.showSync(statusOK, &p, err)
}

func (r *request) leaveForm() error {
	s, err := r.Link.Status(r.Context())
	if err != nil && r.linkFailed(err) == err {
		return err
	}
	f := Form{Title: "Leave the exchange", Icon: "no", Back: "/sync", Submit: "Leave it",
		Lead: "This device forgets " + hostName(s) + " and its key. What is in the book stays here, and what was sent stays there. A new code lets it in again."}
	if only := r.onlyOf(s); only.Any {
		f.Warn = append(f.Warn, only.Text)
	}
	return r.showForm(statusOK, f)
}

func (r *request) leave() error {
	if err := r.Link.Leave(r.Context()); err != nil {
		return r.linkFailed(err)
	}
	return r.goTo("/sync")
}

func hostName(s exchange.Status) string {
	if s.Host != "" {
		return s.Host
	}
	return "the host"
}

// onlyHere says what no other device has, as far as the host has confirmed.
type onlyHere struct {
	Any  bool
	Text string
}

// Only is the line that stands on every page of a device that exchanges, or that
// can do nothing else; nil where the book is at home here.
func (p page) Only() *onlyHere {
	return p.R.only()
}

func (r *request) only() *onlyHere {
	if r.Link == nil {
		return nil
	}
	s, err := r.Link.Status(r.Context())
	switch {
	case err != nil:
		return &onlyHere{true, "What is " + r.Where + " only cannot be told: open Exchange."}
	case !s.Joined && r.Devices != nil:
		return nil
	}
	o := r.onlyOf(s)
	return &o
}

func (r *request) onlyOf(s exchange.Status) onlyHere {
	parts := things(s.Entries, s.Files)
	switch {
	case parts == nil && !s.Joined:
		return onlyHere{false, "Nothing is logged " + r.Where + " yet."}
	case parts == nil:
		return onlyHere{false, "Nothing is " + r.Where + " only: " + hostName(s) + " has confirmed all of it."}
	}
	verb := " are "
	if len(parts) == 1 && (s.Entries == 1 || s.Files == 1) {
		verb = " is "
	}
	return onlyHere{true, strings.Join(parts, " and ") + verb + r.Where + " only."}
}

// things names entries and files.
func things(entries int64, files int) []string {
	var parts []string
	if entries > 0 {
		parts = append(parts, howMany(entries, "entry", "entries"))
	}
	if files > 0 {
		parts = append(parts, howMany(int64(files), "photo or plan", "photos and plans"))
	}
	return parts
}

// Things names entries and files; nothing where there are none.
func (p page) Things(entries int64, files int) string {
	if parts := things(entries, files); parts != nil {
		return strings.Join(parts, " and ")
	}
	return "nothing"
}

func howMany(n int64, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Size prints a number of bytes.
func (p page) Size(n int64) string {
	switch {
	case n >= 1<<20:
		return fmt.Sprintf("%.1f MB", float64(n)/(1<<20))
	case n >= 1<<10:
		return fmt.Sprintf("%d kB", n>>10)
	}
	return fmt.Sprintf("%d bytes", n)
}
