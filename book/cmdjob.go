package book

import (
	"maps"
	"strings"

	"soundmetal/job"
	"soundmetal/store"
)

// NewJob opens a job. Customer and Machine are ids of the registry, or fields
// that make or find one: a machine with the same serial number is the same
// machine. Set and Items are facts as they are typed, see FactsSet; where there
// is a damaged place, a plan is made at once.
type NewJob struct {
	Name           string
	Units          job.Units
	Customer       string
	CustomerFields map[string]string // name, phone, address: makes a customer where Customer is ""
	Machine        string
	MachineFields  map[string]string // kind, model, serial, year: makes or finds a machine where Machine is ""
	Set            map[string]string
	Items          []map[string]string
	Taken          []Taken // facts that are taken over from an earlier job
	TakenPart      []Taken // those of the first place
	Demo           bool
}

func (NewJob) about() string { return "" }

func (c NewJob) decide(d *desk) error {
	id := d.newID("j")
	return c.open(d, id, nil)
}

func (c NewJob) open(d *desk, id string, repeat *Repeat) error {
	registry := d.view.Registry()
	set := maps.Clone(c.Set)
	if set == nil {
		set = map[string]string{}
	}
	if c.Units == "" {
		c.Units = job.Units(strings.ToLower(set["units"]))
	}
	if c.Units == "" {
		c.Units = registry.Units()
	}
	if c.Units == "" {
		c.Units = job.SI
	}
	if err := one("units", c.Units, job.SI, job.US); err != nil {
		return err
	}
	set["units"] = string(c.Units)
	if c.Name == "" {
		c.Name = set["job"]
	}
	name, err := text("name", "say in a few words what the job is", c.Name)
	if err != nil {
		return err
	}
	set["job"] = name
	if err := c.customer(d, set); err != nil {
		return err
	}
	if err := c.machine(d, set); err != nil {
		return err
	}
	if err := d.put(KindOpened, id, JobOpened{Name: name, Units: c.Units, Customer: c.Customer, Machine: c.Machine, Repeat: repeat, Demo: c.Demo}); err != nil {
		return err
	}
	facts := FactsSet{Set: set}
	for _, it := range c.Items {
		facts.Items = append(facts.Items, ItemSet{d.newID("i"), it})
	}
	for _, t := range c.Taken {
		t.Item = ""
		facts.Taken = append(facts.Taken, t)
	}
	for _, t := range c.TakenPart {
		if len(facts.Items) > 0 {
			t.Item = facts.Items[0].ID
			facts.Taken = append(facts.Taken, t)
		}
	}
	if err := d.checkTaken(facts.Taken); err != nil {
		return err
	}
	return setFacts(d, id, &Facts{}, facts, nil)
}

// checkTaken refuses what was taken over from nowhere.
func (d *desk) checkTaken(taken []Taken) error {
	for i := range taken {
		t := &taken[i]
		j, err := d.view.Job(t.Job)
		if err != nil {
			return err
		}
		t.Name, t.When = j.Name, j.Opened
		for _, path := range t.Paths {
			if err := checkField(path, ""); err != nil {
				return err
			}
		}
	}
	return nil
}

// customer finds or makes the customer, and lets the job say who it is.
func (c *NewJob) customer(d *desk, set map[string]string) error {
	if c.Customer == "" && strings.TrimSpace(c.CustomerFields["name"]) != "" {
		c.Customer = d.newID("c")
		if err := (SetCustomer{c.Customer, c.CustomerFields}).decide(d); err != nil {
			return err
		}
		fill(set, "customer.", c.CustomerFields, "name", "phone", "address")
		return nil
	}
	if c.Customer == "" {
		return nil
	}
	p, ok := d.view.Registry().Customer(c.Customer)
	if !ok {
		return refuse(CodeUnknown, "customer", "there is no customer %q", clipped(c.Customer))
	}
	fill(set, "customer.", p.Set, "name", "phone", "address")
	return nil
}

// machine finds or makes the machine, and lets the job say what it is.
func (c *NewJob) machine(d *desk, set map[string]string) error {
	registry := d.view.Registry()
	if c.Machine == "" {
		if p, ok := registry.SameMachine(c.MachineFields["serial"]); ok {
			c.Machine = p.ID
		} else if strings.TrimSpace(c.MachineFields["kind"]) != "" {
			c.Machine = d.newID("m")
			fields := maps.Clone(c.MachineFields)
			fields["customer"] = c.Customer
			if err := (SetMachine{c.Machine, fields}).decide(d); err != nil {
				return err
			}
			fill(set, "machine.", fields, "kind", "model", "serial", "year")
			return nil
		}
	}
	if c.Machine == "" {
		return nil
	}
	p, ok := registry.Machine(c.Machine)
	if !ok {
		return refuse(CodeUnknown, "machine", "there is no machine %q", clipped(c.Machine))
	}
	fill(set, "machine.", p.Set, "kind", "model", "serial", "year")
	return nil
}

// fill sets facts that the job does not state itself.
func fill(set map[string]string, prefix string, from map[string]string, names ...string) {
	for _, n := range names {
		if v := strings.TrimSpace(from[n]); v != "" && set[prefix+n] == "" {
			set[prefix+n] = v
		}
	}
}

// setFacts logs facts and the plan they make. Where change is given, the plan
// waits for the customer's yes.
func setFacts(d *desk, jobID string, old *Facts, set FactsSet, change *waiting) error {
	if err := checkFields(set.Set); err != nil {
		return err
	}
	for _, it := range set.Items {
		if err := checkFields(it.Set); err != nil {
			return err
		}
	}
	for path := range set.Set {
		if path == "version" || strings.HasPrefix(path, "items") {
			return refuse(CodeField, path, "version and items are not set by hand: places have facts of their own")
		}
	}
	facts := old.with(set)
	if len(facts.Items) > maxItems {
		return refuse(CodeField, "items", "a job has at most %d places; open a second job", maxItems)
	}
	m, err := d.plan(&facts)
	if err != nil {
		return err
	}
	if err := d.put(KindFacts, jobID, set); err != nil {
		return err
	}
	if m == nil {
		return nil
	}
	if change != nil {
		change.now = facts
		return change.log(d, m, set.Why)
	}
	if d.job != nil && d.job.Plan() != nil && d.job.Plan().Blob == store.HashOf(m.blob) {
		return nil // the same plan again
	}
	return m.log(d, jobID, "", set.Why)
}

// SetFacts sets facts of a job as they are typed, and plans again. An item with
// no id is a new place. While a change waits for the customer, the new plan
// waits with it.
type SetFacts struct {
	Job   string
	Set   map[string]string
	Items []ItemSet
	Drop  []string // places that are no longer to be repaired
	Why   string
}

func (c SetFacts) about() string { return c.Job }

func (c SetFacts) decide(d *desk) error {
	if err := d.isOpen(); err != nil {
		return err
	}
	why, err := optional("why", c.Why)
	if err != nil {
		return err
	}
	set := FactsSet{Set: c.Set, Drop: c.Drop, Why: why}
	for _, it := range c.Items {
		if it.ID == "" {
			it.ID = d.newID("i")
		} else if _, ok := d.job.Facts.Item(it.ID); !ok {
			return refuse(CodeUnknown, "item", "this job has no place %q", clipped(it.ID))
		}
		set.Items = append(set.Items, it)
	}
	for _, id := range c.Drop {
		p, ok := d.job.Place(id)
		if !ok {
			return refuse(CodeUnknown, "item", "this job has no place %q", clipped(id))
		}
		if p.Welded {
			return refuse(CodeState, "item", "%s is already being welded: it cannot be taken out of the job", p.Name)
		}
	}
	if len(set.Set) == 0 && len(set.Items) == 0 && len(set.Drop) == 0 {
		return refuse(CodeField, "", "nothing to set: give at least one fact")
	}
	var w *waiting
	if open := d.job.OpenChange(); open != nil {
		w = &waiting{id: open.ID, item: open.Item, why: open.Why, undo: open.Undo}
	}
	return setFacts(d, d.job.ID, &d.job.Facts, set, w)
}
