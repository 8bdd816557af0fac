package book

import (
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"strconv"
	"strings"
	"time"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/store"
)

// Command is something the welder does or says. Each command of this package
// checks itself against the book and becomes a batch of entries, or a *Refusal
// and no entry at all.
type Command interface {
	// about is the job it is about; "" for a new job or none.
	about() string
	decide(d *desk) error
}

// Pricer prices a plan; ok is false where it cannot.
type Pricer func(j job.Job, shop *job.Shop, p *plan.Plan) (m Money, ok bool)

// View is what a command is decided on. *State is one.
type View interface {
	Registry() *Registry
	Job(id string) (*Job, error)
}

// Decision is what a command comes to.
type Decision struct {
	Drafts []store.Draft
	Blobs  [][]byte
}

// Decide turns a command into entries to be appended. It depends on nothing but
// its arguments: the same key makes the same ids. Price may be nil.
func Decide(v View, now time.Time, key string, cmd Command, price Pricer) (Decision, error) {
	if err := store.CheckKey(key); err != nil {
		return Decision{}, err
	}
	d := &desk{view: v, now: now.UTC().Truncate(time.Millisecond), key: key, price: price}
	if id := cmd.about(); id != "" {
		var err error
		if d.job, err = v.Job(id); err != nil {
			return Decision{}, err
		}
	}
	if err := cmd.decide(d); err != nil {
		return Decision{}, err
	}
	return d.out, nil
}

// desk is where a command is decided.
type desk struct {
	view  View
	now   time.Time
	key   string
	job   *Job // the job it is about; nil where there is none
	price Pricer
	out   Decision
	ids   int
}

// put adds an entry.
func (d *desk) put(kind Kind, jobID string, body any) error {
	data, err := encode(body)
	if err != nil {
		return err
	}
	if len(data) > store.MaxBody {
		return refuse(CodeField, "", "this is too long to be kept: %d bytes, at most %d", len(data), store.MaxBody)
	}
	d.out.Drafts = append(d.out.Drafts, store.Draft{Kind: string(kind), Job: jobID, Body: data})
	return nil
}

// log adds an entry to the job the command is about.
func (d *desk) log(kind Kind, body any) error { return d.put(kind, d.job.ID, body) }

// newID makes an id of the key, so that the same command sent twice makes the
// same one.
func (d *desk) newID(prefix string) string {
	d.ids++
	sum := sha256.Sum256([]byte("soundmetal id\n" + d.key + "\n" + strconv.Itoa(d.ids)))
	return prefix + strings.ToLower(base32.StdEncoding.EncodeToString(sum[:])[:10])
}

// at gives the time that was told, or now. A time to come is refused: a fact
// cannot be logged before it happens.
func (d *desk) at(what string, t time.Time) (time.Time, error) {
	if t.IsZero() {
		return d.now, nil
	}
	t = t.UTC().Truncate(time.Millisecond)
	if t.After(d.now.Add(time.Minute)) {
		return t, refuse(CodeField, what, "%s: %s is still to come; give a time up to now", what, t.Format("2006-01-02 15:04"))
	}
	if t.Before(d.now.AddDate(-20, 0, 0)) {
		return t, refuse(CodeField, what, "%s: %s is too long ago", what, t.Format("2006-01-02"))
	}
	return t, nil
}

// isOpen refuses work on a closed job.
func (d *desk) isOpen() error {
	if d.job.Status == JobClosed {
		return refuse(CodeState, "", "this job is closed: open it again first")
	}
	return nil
}

// placed fills in the place and the time of what was done there.
func (d *desk) placed(item *string, when *time.Time) error {
	p, err := d.item(*item)
	if err != nil {
		return err
	}
	*item = p.ID
	*when, err = d.at("when", *when)
	return err
}

// item finds the damaged place: where the job has one, it need not be named.
func (d *desk) item(id string) (PlaceOf, error) {
	standing := d.job.Standing()
	if id == "" {
		if len(standing) == 1 {
			return standing[0], nil
		}
		return PlaceOf{}, refuse(CodeField, "item", "say which place it is: this job has %d", len(standing))
	}
	for _, p := range standing {
		if p.ID == id {
			return p, nil
		}
	}
	return PlaceOf{}, refuse(CodeUnknown, "item", "this job has no place %q to be repaired", clipped(id))
}

// weldable finds the place and says whether the work of the section may begin.
func (d *desk) weldable(id, section string) (PlaceOf, error) {
	p, err := d.item(id)
	if err != nil {
		return p, err
	}
	if err := d.isOpen(); err != nil {
		return p, err
	}
	l, ok := d.job.Limits(p.ID)
	switch {
	case d.job.Plan() == nil:
		return p, refuse(CodeState, "", "there is no plan for this job yet: give at least part, thickness and crack")
	case !ok:
		return p, d.job.Opens(p.ID, section) // new place: it waits for the customer's yes
	case !l.Planned:
		return p, refuse(CodeState, "", "%s is not to be touched: the verdict is %s", p.Name, l.Verdict)
	}
	return p, d.job.Opens(p.ID, section)
}

// text refuses an empty or overlong text.
func text(field, what, s string) (string, error) {
	s = strings.TrimSpace(s)
	switch {
	case s == "":
		return s, refuse(CodeField, field, "%s is missing: %s", field, what)
	case len(s) > maxText:
		return s, tooLong(field, s)
	}
	return s, nil
}

// optional refuses an overlong text.
func optional(field, s string) (string, error) {
	s = strings.TrimSpace(s)
	if len(s) > maxText {
		return s, tooLong(field, s)
	}
	return s, nil
}

func tooLong(field, s string) error {
	return refuse(CodeField, field, "%s has %d bytes; up to %d are accepted", field, len(s), maxText)
}

// optionals trims and checks several texts.
func optionals(at ...*string) error {
	for _, s := range at {
		var err error
		if *s, err = optional("text", *s); err != nil {
			return err
		}
	}
	return nil
}

// one refuses a word that is not one of the list.
func one[T ~string](field string, v T, words ...T) error {
	var all []string
	for _, w := range words {
		if v == w {
			return nil
		}
		all = append(all, string(w))
	}
	return refuse(CodeField, field, "%s: %q is not one of: %s", field, clipped(string(v)), strings.Join(all, ", "))
}

// within refuses a number outside plausible limits.
func within[T ~float64](field string, s *Said[T], low, high T, says string) error {
	if s != nil && !(s.SI >= low && s.SI <= high) {
		return refuse(CodeField, field, "%s: %v cannot be; %s is accepted", field, float64(s.SI), says)
	}
	return nil
}

func checkTemp(field string, s *Said[q.Temperature]) error {
	return within(field, s, -60, 1400, "-60 to 1400 °C")
}

func checkLength(field string, s *Said[q.Length]) error {
	return within(field, s, 0, 50, "up to 50 m")
}

func checkAmps(field string, s *Said[q.Current]) error {
	return within(field, s, 1, 3000, "1 to 3000 A")
}

func checkCount(field string, v, most float64) error {
	if !(v >= 0 && v <= most) {
		return refuse(CodeField, field, "%s: %s cannot be; 0 to %.0f is accepted", field, fmt.Sprint(v), most)
	}
	return nil
}
