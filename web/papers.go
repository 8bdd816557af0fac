package web

import (
	"errors"
	"fmt"
	"net"
	"net/url"
	"strings"

	"soundmetal/book"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/pdf"
	"soundmetal/sheet/paper"
	"soundmetal/sheet/words"
	"soundmetal/store"
)

// The papers of a job: PDF made of the job book, each under an address of its own.

// paperKind is one kind of paper.
type paperKind struct {
	Kind, Title, Icon, For string
	make                   func(*request, *printing) (draw.Doc, error)
}

// paperKinds are all of them, in the order of a job.
var paperKinds = []paperKind{
	{"quote", "Quote", "money", "For the customer, before the work: what is done, what it costs, what the price leaves out.", (*request).quotePaper},
	{"safe", "Make-safe sheet", "stop", "For the dash: may I touch it, every step before the arc, hot-work permit, fire watch, emergency card.", planPaper(paper.MakeSafe)},
	{"repair", "Repair sheet", "list", "For the truck, two pages for each place: the figures in big, drawings, hold points to sign, a cell for every bead.", planPaper(paper.Repair)},
	{"procedure", "Procedure sheet", "note", "For whoever asks for a welding procedure. It says that it is not a qualified one.", planPaper(paper.Procedure)},
	{"teach", "Teaching sheet", "teach", "For the apprentice: the working of every figure, why, and what happens if it is skipped.", planPaper(paper.Teaching)},
	{"change", "Change order", "crack", "For the customer, where more was found: what it takes, what it costs more, and his answer.", (*request).changePaper},
	{"record", "Repair record", "print", "For the customer, the site and the insurer: planned against done, every reading, what left the plan, what was not examined.", (*request).recordPaper},
	{"invoice", "Invoice", "money", "For the customer, after the work: what was logged, and line by line what is taken from the plan.", (*request).invoicePaper},
}

// printing is what one paper is made of.
type printing struct {
	paper.Options
	version *book.PlanVersion // nil: there is no plan
	plan    *planned          // nil: there is none, or its file is not here
	noFile  error             // why it is not here
}

// printing finds the plan that is asked for and how paper is set here.
func (r *request) printing() (*printing, error) {
	p := &printing{version: r.job.Plan()}
	if id := r.URL.Query().Get("plan"); id != "" {
		if p.version = r.job.PlanOf(id); p.version == nil {
			return nil, missing("this job has no such plan")
		}
	}
	if p.version != nil {
		var err error
		p.plan, err = r.plans.get(r.Context(), r.Book, p.version)
		switch {
		case errors.Is(err, store.ErrNoBlob), errors.Is(err, store.ErrDamagedBlob):
			p.noFile = err
		case err != nil:
			return nil, err
		}
	}
	p.Options = paper.Options{Units: r.system(), Words: words.English(), Date: r.now, Number: r.job.ID, URL: r.address(), Standing: standingOf(p.version)}
	p.Size = paper.SizeFor(r.job.Facts.Get("site.country"), p.Units)
	return p, nil
}

// standingOf says on every page that a plan is not the one to work by.
func standingOf(v *book.PlanVersion) string {
	if v == nil {
		return ""
	}
	switch v.Standing {
	case book.Waiting:
		return fmt.Sprintf("Plan %d, waits for the customer's yes: not to be worked by yet", v.Number)
	case book.Replaced, book.Declined:
		return fmt.Sprintf("Plan %d, %s: not to be worked by", v.Number, v.Standing)
	}
	return ""
}

// source is the plan with the job and the shop it was made from.
func (r *request) source(p *printing) (paper.Source, error) {
	if p.noFile != nil {
		return paper.Source{}, noPlanFile()
	}
	if p.plan == nil {
		return paper.Source{}, notYet("there is no plan yet: name the damaged place first")
	}
	s := paper.Source{Plan: p.plan.plan, Job: p.plan.job, Shop: p.plan.shop}
	if s.Shop == nil { // it was set up later
		shop, err := r.reg.Shop()
		if err != nil {
			return s, err
		}
		s.Shop = shop
	}
	return s, nil
}

func noPlanFile() error {
	return notYet("the file of the plan is not on this device, or it is damaged: print this where the plan was made, or after the next exchange")
}

func notYet(format string, args ...any) error {
	return &book.Refusal{Code: book.CodeState, Text: fmt.Sprintf(format, args...)}
}

// planPaper is a paper that is made of the plan alone.
func planPaper(f func(paper.Source, paper.Options) (draw.Doc, error)) func(*request, *printing) (draw.Doc, error) {
	return func(r *request, p *printing) (draw.Doc, error) {
		s, err := r.source(p)
		if err != nil {
			return draw.Doc{}, err
		}
		return f(s, p.Options)
	}
}

// paper serves one paper as a PDF.
func (r *request) paper() error {
	name, ok := strings.CutSuffix(r.PathValue("file"), ".pdf")
	kind := kindOf(name)
	if !ok || kind == nil {
		return missing("there is no such paper: the list of papers has them all")
	}
	p, err := r.printing()
	if err != nil {
		return err
	}
	doc, err := kind.make(r, p)
	if err != nil {
		return err
	}
	data, err := pdf.Bytes(doc)
	if err != nil {
		return err
	}
	h := r.w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", fileName(r.job.Name, kind.Title)))
	h.Set("Content-Length", fmt.Sprint(len(data)))
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	// a browser shows a PDF in a plug-in of its own, which the host's policy would shut out
	h.Set("Content-Security-Policy", "default-src 'none'; object-src 'self'; img-src 'self' data: blob:; style-src 'unsafe-inline'")
	r.w.Write(data)
	return nil
}

func kindOf(name string) *paperKind {
	for i := range paperKinds {
		if paperKinds[i].Kind == name {
			return &paperKinds[i]
		}
	}
	return nil
}

// fileName is the name under which a paper is kept: letters, digits and hyphens.
func fileName(job, title string) string {
	const most = 40
	var b strings.Builder
	for _, c := range strings.ToLower(job) {
		switch {
		case b.Len() == most:
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "job"
	}
	return name + "-" + strings.ReplaceAll(strings.ToLower(title), " ", "-") + ".pdf"
}

// address is where the job's page is found from elsewhere; "" where the host has
// none.
func (r *request) address() string {
	if at := r.base(); at != "" {
		return at + "/jobs/" + r.job.ID
	}
	return ""
}

// base is how the pages are reached from elsewhere; "" where the host has no
// address, or only one that means this computer itself.
func (r *request) base() string {
	at := strings.TrimRight(r.Address, "/")
	if at == "" {
		host := r.Host
		name := host
		if h, _, err := net.SplitHostPort(host); err == nil {
			name = h
		}
		ip := net.ParseIP(strings.Trim(name, "[]"))
		if name == "" || name == "localhost" || strings.HasSuffix(name, ".localhost") || ip != nil && (ip.IsLoopback() || ip.IsUnspecified()) {
			return ""
		}
		scheme := "http"
		switch {
		case r.URL.Scheme != "":
			scheme = r.URL.Scheme
		case r.Secure:
			scheme = "https"
		}
		at = (&url.URL{Scheme: scheme, Host: host}).String()
	}
	return at
}

// papersView is the list of a job's papers.
type papersView struct {
	Papers []paperRow
	Old    []*book.PlanVersion
	Watch  []string // what to look at before the invoice goes out
}

// paperRow is a paper on the list.
type paperRow struct {
	paperKind
	Links []paperLink
	Not   string  // why it cannot be printed yet
	Mend  []offer // where it is mended
}

type paperLink struct{ URL, Label string }

// papers lists the papers of the job.
func (r *request) papers() error {
	p, err := r.printing()
	if err != nil {
		return err
	}
	v := papersView{}
	for _, k := range paperKinds {
		row := paperRow{paperKind: k}
		switch {
		case k.Kind == "change":
			for _, c := range r.job.Changes {
				row.Links = append(row.Links, paperLink{r.path("papers/change.pdf") + "?id=" + c.ChangeProposed.ID, fmt.Sprintf("Change %d, %s", c.Number, c.State)})
			}
			if len(row.Links) == 0 {
				row.Not = "No change was proposed."
			}
		case k.Kind == "invoice":
			bill, err := r.bill(p)
			if row.Not, err = asSentence(err); err != nil {
				return err
			}
			v.Watch = bill.watch
			for _, o := range []offer{{"the shop", "To the shop", "/shop", "shop"}, {"the shop file", "To the shop file", "/shop/file", "list"}, {"the facts of the site", "To the facts of the site", r.path("facts/site"), "note"}} {
				if strings.Contains(row.Not, o.Text) {
					row.Mend = append(row.Mend, offer{o.Small, "", o.Link, o.Icon})
				}
			}
		case k.Kind != "record" && p.plan == nil:
			if _, err := r.source(p); err != nil {
				if row.Not, err = asSentence(err); err != nil {
					return err
				}
			}
		}
		if row.Not == "" && k.Kind != "change" {
			row.Links = []paperLink{{r.path("papers/" + k.Kind + ".pdf"), k.Title}}
		}
		v.Papers = append(v.Papers, row)
	}
	for i := range r.job.Plans {
		if pl := &r.job.Plans[i]; pl.Standing != book.InForce {
			v.Old = append(v.Old, pl)
		}
	}
	return r.render("papers", "Papers", v)
}

// asSentence splits a refusal, which a page can show, from a fault.
func asSentence(err error) (string, error) {
	var no *book.Refusal
	if errors.As(err, &no) {
		return capital(no.Text) + ".", nil
	}
	return "", err
}
