package book

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"soundmetal/gate"
	"soundmetal/store"
)

// State is a folded book: the registry, a card of every job, and the jobs
// themselves. It is what the entries folded into it make of it, in whichever
// order they were folded. It may be used by one goroutine at a time.
type State struct {
	registry *Registry
	streams  map[string]*stream // by job; that of no job under ""
	cards    map[string]*Card
	order    []*Card             // by due
	machines map[string][]string // jobs by machine
	stale    map[string]bool     // jobs whose card is behind their entries; "": the registry
	vector   store.Vector
	latest   store.Clock
	strange  []Strange // of no job
}

// NewState is an empty book.
func NewState() *State {
	return &State{registry: newRegistry(), streams: map[string]*stream{}, cards: map[string]*Card{}, machines: map[string][]string{}, stale: map[string]bool{}, vector: store.Vector{}}
}

// Fold lets an entry take effect. One that was folded before is passed over.
func (s *State) Fold(e *store.Entry) {
	if !s.enter(e) {
		return
	}
	st := s.streams[e.Job]
	if st == nil {
		st = &stream{id: e.Job}
		s.streams[e.Job] = st
	}
	st.add(decode(e))
	s.stale[e.Job] = true
}

// settle brings all cards up to their entries.
func (s *State) settle() {
	for id := range s.stale {
		s.touch(s.streams[id])
	}
	clear(s.stale)
}

// enter counts the entry in; false says that it was counted before.
func (s *State) enter(e *store.Entry) bool {
	if s.vector.Has(e) {
		return false
	}
	s.vector[e.Device] = e.Seq
	if e.Clock.Compare(s.latest) > 0 {
		s.latest = e.Clock
	}
	return true
}

// register brings the registry up to the entries of no job.
func (s *State) register(st *stream) {
	count, against := counting(st.records)
	s.registry, s.strange = newRegistry(), nil
	for _, r := range count {
		if r.strange != "" {
			s.strange = append(s.strange, Strange{r.meta(), r.strange})
		} else {
			s.registry.fold(r)
		}
	}
	for _, r := range against {
		s.strange = append(s.strange, Strange{r.meta(), r.strange})
	}
}

// touch brings the card of a job up to its entries, or the registry.
func (s *State) touch(st *stream) {
	if st.id == "" {
		s.register(st)
		return
	}
	old := s.cards[st.id]
	c := cardOf(st.fold())
	if old != nil {
		if at, ok := slices.BinarySearchFunc(s.order, old, (*Card).compare); ok {
			s.order = slices.Delete(s.order, at, at+1)
		}
		if old.Machine != c.Machine {
			s.machines[old.Machine] = slices.DeleteFunc(s.machines[old.Machine], func(id string) bool { return id == c.ID })
		}
	}
	at, _ := slices.BinarySearchFunc(s.order, c, (*Card).compare)
	s.order = slices.Insert(s.order, at, c)
	s.cards[st.id] = c
	if c.Machine != "" && (old == nil || old.Machine != c.Machine) {
		s.machines[c.Machine] = append(s.machines[c.Machine], c.ID)
	}
}

// Registry is what belongs to no job.
func (s *State) Registry() *Registry {
	s.settle()
	return s.registry
}

// Strange are entries of no job that have no effect.
func (s *State) Strange() []Strange {
	s.settle()
	return s.strange
}

// Job gives a job.
func (s *State) Job(id string) (*Job, error) {
	st := s.streams[id]
	if st == nil || id == "" {
		return nil, noJob(id)
	}
	return st.fold(), nil
}

func noJob(id string) error {
	return refuse(CodeUnknown, "job", "there is no job %q in this book", clipped(id))
}

// Vector says which entries were folded.
func (s *State) Vector() store.Vector { return s.vector.Clone() }

// Card is a job in a list.
type Card struct {
	ID         string     `json:"id"`
	Name       string     `json:"name"`
	Customer   string     `json:"customer,omitempty"` // id
	Machine    string     `json:"machine,omitempty"`  // id
	Where      string     `json:"where,omitempty"`
	Who        string     `json:"who,omitempty"`  // the customer's name, as the job says it
	What       string     `json:"what,omitempty"` // the machine, as the job says it
	Places     []string   `json:"places,omitempty"`
	Status     Status     `json:"status"`
	Verdict    gate.Class `json:"verdict"`
	Planned    bool       `json:"planned"` // a plan is in force
	Opened     time.Time  `json:"opened"`
	Touched    time.Time  `json:"touched"`
	Due        []Due      `json:"due,omitempty"`
	Deviations int        `json:"deviations,omitempty"` // that nothing has been done about
	Holds      int        `json:"holds,omitempty"`      // that are not passed
	Change     string     `json:"change,omitempty"`     // the change that waits for the customer
	Repeat     *Repeat    `json:"repeat,omitempty"`     // it mends this repair again
	Again      []string   `json:"again,omitempty"`      // jobs that mend this repair again
	Demo       bool       `json:"demo,omitempty"`
	Words      string     `json:"words,omitempty"` // that it is found by, in small letters, each once
}

func cardOf(j *Job) *Card {
	c := &Card{ID: j.ID, Name: j.Name, Customer: j.Customer, Machine: j.Machine, Where: j.Facts.Set["site.where"], Who: j.Facts.Set["customer.name"],
		What: j.Facts.Set["machine.kind"], Status: j.Status, Opened: j.Opened, Touched: j.Touched, Due: j.Dues(), Deviations: len(j.OpenDeviations()),
		Repeat: j.Repeat, Demo: j.Demo}
	for _, p := range j.Standing() {
		c.Places = append(c.Places, p.Name)
	}
	if p := j.Plan(); p != nil {
		c.Planned, c.Verdict = true, p.Limits.Verdict
	}
	for _, h := range j.Holds {
		if !h.Passed {
			c.Holds++
		}
	}
	if ch := j.OpenChange(); ch != nil {
		c.Change = ch.Why
	}
	for _, a := range j.Again {
		c.Again = append(c.Again, a.Is.NewJob)
	}
	c.Words = wordsOf(j)
	return c
}

// mostWords is how many bytes of words a card keeps: the cards of the whole book
// stand in memory, and on a phone.
const mostWords = 6000

// wordsOf gives what a job is looked for by, beside its card: who and what and
// where, and what he wrote himself.
func wordsOf(j *Job) string {
	var out strings.Builder
	seen := map[string]bool{}
	add := func(text string) {
		for _, w := range strings.Fields(strings.ToLower(text)) {
			if !seen[w] && out.Len()+len(w) < mostWords {
				seen[w] = true
				out.WriteString(w + " ")
			}
		}
	}
	for _, path := range slices.Sorted(maps.Keys(j.Facts.Set)) {
		if strings.HasPrefix(path, "machine.") || strings.HasPrefix(path, "customer.") || path == "site.where" || path == "site.access" {
			if text := j.Facts.Set[path]; text != "yes" && text != "no" && text != "unknown" {
				add(text)
			}
		}
	}
	for _, it := range j.Facts.Items {
		add(it.Set["name"] + " " + it.Set["part"])
	}
	for i := len(j.Closings) - 1; i >= 0; i-- {
		add(j.Closings[i].Is.Done)
	}
	for _, c := range j.Changes {
		add(c.Why)
	}
	for i := len(j.Notes) - 1; i >= 0; i-- { // the newest are kept where there are many
		if n := &j.Notes[i]; !n.Void {
			add(n.Is.Text)
		}
	}
	for _, p := range j.Photos {
		if !p.Void {
			add(p.Is.Caption)
		}
	}
	return out.String()
}

// NextDue is the soonest time; ok is false where nothing is due.
func (c *Card) NextDue() (at time.Time, ok bool) {
	if len(c.Due) == 0 {
		return time.Time{}, false
	}
	return c.Due[0].At, true
}

// compare orders the list: what is due first, soonest on top; then open jobs,
// the last touched on top; then closed ones.
func (c *Card) compare(o *Card) int {
	rank := func(c *Card) int {
		switch {
		case len(c.Due) > 0:
			return 0
		case c.Status == JobOpen:
			return 1
		}
		return 2
	}
	if d := cmp.Compare(rank(c), rank(o)); d != 0 {
		return d
	}
	if rank(c) == 0 {
		if d := c.Due[0].At.Compare(o.Due[0].At); d != 0 {
			return d
		}
	}
	return cmp.Or(o.Touched.Compare(c.Touched), cmp.Compare(c.ID, o.ID))
}

// ListQuery says which cards a list shows.
type ListQuery struct {
	Text     string // words; all of them stand in name, customer, machine, place or what was written
	Status   Status // "": open and closed
	Customer string // id
	Machine  string // id
	Offset   int
	Limit    int // 0: 50
}

// List gives cards, those that are due first, and how many there are in all.
func (s *State) List(q ListQuery) (cards []Card, total int) {
	s.settle()
	limit := cmp.Or(q.Limit, 50)
	words := strings.Fields(strings.ToLower(q.Text))
	for _, c := range s.order {
		if !s.fits(c, q, words) {
			continue
		}
		if total >= q.Offset && len(cards) < limit {
			cards = append(cards, *c)
		}
		total++
	}
	return cards, total
}

func (s *State) fits(c *Card, q ListQuery, words []string) bool {
	switch {
	case c.Demo && s.registry.Setting("demo") == "cleared":
		return false
	case q.Status != "" && c.Status != q.Status, q.Customer != "" && c.Customer != q.Customer, q.Machine != "" && c.Machine != q.Machine:
		return false
	case len(words) == 0:
		return true
	}
	text := strings.Join(append([]string{c.Name, c.Where, c.Who, c.What, said(s.registry.customers[c.Customer]), said(s.registry.machines[c.Machine])}, c.Places...), "\n")
	text = strings.ToLower(text) + "\n" + c.Words
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
}

// said is everything the registry says of a customer or machine.
func said(f fields) string {
	var out strings.Builder
	for _, v := range f {
		out.WriteString(v.Text + "\n")
	}
	return out.String()
}

// Card gives the card of a job.
func (s *State) Card(id string) (Card, bool) {
	s.settle()
	if c := s.cards[id]; c != nil {
		return *c, true
	}
	return Card{}, false
}

// OnMachine lists the jobs on a machine, the newest first.
func (s *State) OnMachine(machine string) []Card {
	s.settle()
	var all []Card
	for _, id := range s.machines[machine] {
		all = append(all, *s.cards[id])
	}
	slices.SortFunc(all, func(a, b Card) int { return cmp.Or(b.Opened.Compare(a.Opened), cmp.Compare(a.ID, b.ID)) })
	return all
}

// saved is a state without its jobs, as a snapshot keeps it.
type saved struct {
	Shop      fields            `json:"shop"`
	Settings  fields            `json:"settings"`
	Customers map[string]fields `json:"customers"`
	Machines  map[string]fields `json:"machines"`
	Devices   fields            `json:"devices"`
	Cards     []*Card           `json:"cards"`
}

// snapshotName is the name under which a book keeps its snapshot.
const snapshotName = "book"

// snapshot gives the state without its jobs.
func (s *State) snapshot() (store.Snapshot, error) {
	s.settle()
	r := s.registry
	data, err := json.Marshal(saved{r.shop, r.settings, r.customers, r.machines, r.devices, s.order})
	return store.Snapshot{Name: snapshotName, Version: FoldVersion, Vector: s.vector.Clone(), Latest: s.latest, Data: data}, err
}

var errOldSnapshot = errors.New("the snapshot is of another version")

// restore makes a state of a snapshot; its jobs are folded when they are asked for.
func restore(snap store.Snapshot) (*State, error) {
	if snap.Version != FoldVersion {
		return nil, errOldSnapshot
	}
	var in saved
	if err := json.Unmarshal(snap.Data, &in); err != nil {
		return nil, fmt.Errorf("snapshot: %w", err)
	}
	s := NewState()
	s.vector, s.latest = snap.Vector.Clone(), snap.Latest
	r := s.registry
	for from, to := range map[*fields]*fields{&in.Shop: &r.shop, &in.Settings: &r.settings, &in.Devices: &r.devices} {
		if *from != nil {
			*to = *from
		}
	}
	maps.Copy(r.customers, in.Customers)
	maps.Copy(r.machines, in.Machines)
	s.order = in.Cards
	for _, c := range in.Cards {
		s.cards[c.ID] = c
		if c.Machine != "" {
			s.machines[c.Machine] = append(s.machines[c.Machine], c.ID)
		}
	}
	if !slices.IsSortedFunc(s.order, (*Card).compare) {
		return nil, errors.New("snapshot: the cards are out of order")
	}
	return s, nil
}
