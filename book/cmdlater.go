package book

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	q "soundmetal/quantity"
)

// Reopen opens a closed job again.
type Reopen struct {
	Job    string
	Reason string
	When   time.Time
}

func (c Reopen) about() string { return c.Job }

func (c Reopen) decide(d *desk) error {
	if d.job.Status != JobClosed {
		return refuse(CodeState, "", "this job is open")
	}
	reason, err := text("reason", "why is it opened again?", c.Reason)
	if err != nil {
		return err
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	return d.log(KindReopened, Reopened{reason, when})
}

// FollowUpLook says how a repair held at a look that was due.
type FollowUpLook struct {
	Job    string
	Look   string
	Result Held
	Hours  *Said[q.Time] // worked since the repair
	Note   string
	When   time.Time
}

func (c FollowUpLook) about() string { return c.Job }

func (c FollowUpLook) decide(d *desk) error {
	for _, f := range d.job.FollowUps {
		if f.ID != c.Look {
			continue
		}
		if f.Done != nil {
			return refuse(CodeState, "look", "this look is already logged")
		}
		when, err := d.at("when", c.When)
		if err != nil {
			return err
		}
		b := FollowedUp{Look: f.ID, Result: c.Result, Note: c.Note, When: when}
		if v, said := value(c.Hours); said {
			b.Hours = &v
		}
		if err := b.check(); err != nil {
			return err
		}
		return d.log(KindFollowedUp, b)
	}
	return refuse(CodeUnknown, "look", "this job has no look %q that is due", clipped(c.Look))
}

// CrackedAgain opens a job for a repair that did not hold. The new job takes
// over customer, machine, site and the place, with what is now known of its
// history; the crack itself is to be measured anew.
type CrackedAgain struct {
	Job   string
	Item  string
	Hours *Said[q.Time] // it held
	Note  string
	When  time.Time
}

func (c CrackedAgain) about() string { return c.Job }

func (c CrackedAgain) decide(d *desk) error {
	if err := optionals(&c.Note); err != nil {
		return err
	}
	p, err := d.item(c.Item)
	if err != nil {
		return err
	}
	if d.job.Status != JobClosed {
		return refuse(CodeState, "", "this job is still open: log it as found more")
	}
	when, err := d.at("when", c.When)
	if err != nil {
		return err
	}
	again := CrackedAgainBody{NewJob: d.newID("j"), Item: p.ID, Note: c.Note, When: when}
	held := ""
	if v, said := value(c.Hours); said {
		again.Hours = &v
		held = strconv.FormatFloat(v.Hours(), 'f', -1, 64) + " h"
	}
	if err := d.log(KindAgain, again); err != nil {
		return err
	}
	old, _ := d.job.Facts.Item(p.ID)
	facts := map[string]string{}
	for path, text := range old.Set {
		if !strings.HasPrefix(path, "crack.") && !strings.HasPrefix(path, "cause.") && path != "approval" {
			facts[path] = text
		}
	}
	times := 1
	if n, err := strconv.Atoi(strings.TrimSpace(old.Set["history.times"])); err == nil && n > 0 {
		times += n
	}
	maps.Copy(facts, map[string]string{"history.welded": "yes", "history.by": "me", "history.times": strconv.Itoa(times), "history.held": held, "crack.starts": "old-repair"})
	if held == "" {
		delete(facts, "history.held")
	}
	set := maps.Clone(d.job.Facts.Set)
	for path := range set {
		if strings.HasPrefix(path, "wanted.") || path == "site.air" || path == "site.steel" || path == "site.wind" || path == "site.wet" || path == "site.permit" {
			delete(set, path)
		}
	}
	set["job"] = "again: " + strings.TrimPrefix(d.job.Name, "again: ")
	next := NewJob{Units: d.job.Units, Customer: d.job.Customer, Machine: d.job.Machine, Set: set, Items: []map[string]string{facts}}
	from := Taken{Job: d.job.ID}
	from.Paths = samePaths(set, d.job.Facts.Set, "job")
	next.Taken = []Taken{from}
	from.Paths = samePaths(facts, old.Set)
	next.TakenPart = []Taken{from}
	return next.open(d, again.NewJob, &Repeat{d.job.ID, p.ID})
}

// samePaths are the facts that stand in both, but for some.
func samePaths(now, was map[string]string, but ...string) []string {
	var all []string
	for _, path := range slices.Sorted(maps.Keys(now)) {
		if now[path] == was[path] && !slices.Contains(but, path) {
			all = append(all, path)
		}
	}
	return all
}
