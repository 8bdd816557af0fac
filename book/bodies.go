package book

import (
	"encoding/json"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/store"
)

// Bodies of the entries. Times are absolute; a nil pointer or an empty text is
// "not said". Item is the id of a damaged place.

type (
	// ShopSet sets fields of the shop file, as they were typed: path to text;
	// an empty text takes the field out.
	ShopSet struct {
		Set map[string]string `json:"set"`
	}

	// SettingsSet sets how the tool behaves: see Settings.
	SettingsSet struct {
		Set map[string]string `json:"set"`
	}

	// CustomerSet sets fields of a customer: name, phone, address, note.
	CustomerSet struct {
		ID  string            `json:"id"`
		Set map[string]string `json:"set"`
	}

	// MachineSet sets fields of a machine: kind, model, serial, year, name, note
	// and customer (an id).
	MachineSet struct {
		ID  string            `json:"id"`
		Set map[string]string `json:"set"`
	}

	// DeviceNamed gives a device the name that people read.
	DeviceNamed struct {
		Device string `json:"device"`
		Name   string `json:"name"`
	}
)

type (
	// JobOpened begins a job.
	JobOpened struct {
		Name     string    `json:"name"`
		Units    job.Units `json:"units"`
		Customer string    `json:"customer,omitempty"` // id
		Machine  string    `json:"machine,omitempty"`  // id
		Repeat   *Repeat   `json:"repeat,omitempty"`   // the repair that cracked again
		Demo     bool      `json:"demo,omitempty"`     // shown on the first start; may be cleared away
	}

	// Repeat points at the earlier repair of the same place.
	Repeat struct {
		Job  string `json:"job"`
		Item string `json:"item,omitempty"`
	}

	// FactsSet sets facts as they were typed. Paths are those of the job file
	// (site.wind), of an item those below it (crack.length); an empty text takes
	// the fact out.
	FactsSet struct {
		Set   map[string]string `json:"set,omitempty"`
		Items []ItemSet         `json:"items,omitempty"`
		Drop  []string          `json:"drop,omitempty"` // items that are no longer to be repaired
		Why   string            `json:"why,omitempty"`
	}

	// ItemSet sets facts of one damaged place; an id not seen before makes it.
	ItemSet struct {
		ID  string            `json:"id"`
		Set map[string]string `json:"set,omitempty"`
	}

	// PlanMade is a plan made of the facts as they stood. The plan itself, with
	// the facts it was made of, is the blob; Limits are what the record is
	// checked against.
	PlanMade struct {
		ID     string     `json:"id"`
		Blob   store.Hash `json:"blob"`
		Change string     `json:"change,omitempty"` // id of the change order it waits for; empty: it holds at once
		Why    string     `json:"why,omitempty"`
		Limits Limits     `json:"limits"`
	}

	// Yes is how a customer agreed.
	Yes struct {
		Name    string     `json:"name"`              // typed
		How     How        `json:"how"`               // signed, phone, message
		Strokes [][]Stroke `json:"strokes,omitempty"` // the drawn signature
		When    time.Time  `json:"when"`
	}

	// Stroke is a point of a drawn line, in thousandths of the width.
	Stroke [2]int

	// How says in what form an answer was given.
	How string

	// WorkAgreed is the customer's yes to the plan and its price.
	WorkAgreed struct {
		Plan  string `json:"plan"`
		Price string `json:"price,omitempty"` // as it was shown to him
		Yes
	}

	// DamageFound is damage that was not in the plan.
	DamageFound struct {
		Item   string `json:"item"`
		New    bool   `json:"new,omitempty"` // a place of its own
		Text   string `json:"text"`
		Change string `json:"change,omitempty"`
	}

	// ChangeProposed asks the customer for a yes to more work. A second one of
	// the same id takes the place of the first.
	ChangeProposed struct {
		ID         string     `json:"id"`
		From       string     `json:"from,omitempty"` // id of the plan in force
		To         string     `json:"to"`             // id of the new plan
		Item       string     `json:"item"`
		Why        string     `json:"why"`
		Difference Difference `json:"difference"`
		Undo       FactsSet   `json:"undo"` // sets the facts back where he refuses
	}

	// ChangeAccepted is his yes.
	ChangeAccepted struct {
		ID string `json:"id"`
		Yes
	}

	// ChangeRefused is his no.
	ChangeRefused struct {
		ID     string    `json:"id"`
		Name   string    `json:"name"`
		Reason string    `json:"reason,omitempty"`
		When   time.Time `json:"when"`
	}
)

// How an answer was given.
const (
	Signed    How = "signed"
	ByPhone   How = "phone"
	ByMessage How = "message"
)

type (
	// StepDone ticks a step of the plan.
	StepDone struct {
		Step string    `json:"step"`
		Note string    `json:"note,omitempty"`
		When time.Time `json:"when"`
	}

	// HoldAnswered answers a hold point. Only yes and not-here open the next step.
	HoldAnswered struct {
		Hold  string      `json:"hold"`
		Says  Says        `json:"says"`
		How   string      `json:"how,omitempty"` // how it was seen: dye, yoke, eye, meter
		Note  string      `json:"note,omitempty"`
		By    string      `json:"by,omitempty"`
		Photo *store.Hash `json:"photo,omitempty"`
		When  time.Time   `json:"when"`
	}

	// Says is the answer to a hold point.
	Says string

	// HoldOverridden passes a hold point without its answer.
	HoldOverridden struct {
		Hold   string    `json:"hold"`
		Name   string    `json:"name"`
		Reason string    `json:"reason"`
		When   time.Time `json:"when"`
	}

	// Reading is one reading of heat. Either Temp or Crayon is given.
	Reading struct {
		Item     string               `json:"item"`
		Bead     int                  `json:"bead,omitempty"` // just before this bead; 0: at no bead
		Temp     *Said[q.Temperature] `json:"temp,omitempty"`
		Crayon   *Crayon              `json:"crayon,omitempty"`
		Tool     Tool                 `json:"tool,omitempty"`
		Place    string               `json:"place,omitempty"`    // where, in his words
		Distance *Said[q.Length]      `json:"distance,omitempty"` // from the groove edge
		FarFace  bool                 `json:"far_face,omitempty"`
		When     time.Time            `json:"when"`
	}

	// Crayon is what a crayon did: it melts at its temperature or above.
	Crayon struct {
		At     Said[q.Temperature] `json:"at"`
		Melted bool                `json:"melted"`
	}

	// Tool is what heat was read with.
	Tool string

	// TinOpened is a tin of rods opened, or rods taken out of the oven.
	TinOpened struct {
		ID    string          `json:"id"`
		Class string          `json:"class"`
		Size  *Said[q.Length] `json:"size,omitempty"`
		Lot   string          `json:"lot,omitempty"`
		From  TinFrom         `json:"from,omitempty"`
		Limit *q.Time         `json:"limit,omitempty"` // how long they may be out, s; nil: none by the table
		Basis string          `json:"basis,omitempty"` // where that limit is from
		When  time.Time       `json:"when"`
	}

	// TinFrom says where the rods were.
	TinFrom string

	// TinPutAway ends a tin's time in the air.
	TinPutAway struct {
		Tin  string    `json:"tin"`
		Into TinTo     `json:"into"`
		When time.Time `json:"when"`
	}

	// TinTo says where the rods went.
	TinTo string

	// GougeDone is a side of a groove gouged and ground.
	GougeDone struct {
		Item    string          `json:"item"`
		Side    int             `json:"side"`
		Length  *Said[q.Length] `json:"length,omitempty"`
		Depth   *Said[q.Length] `json:"depth,omitempty"`
		Carbons float64         `json:"carbons,omitempty"`
		Note    string          `json:"note,omitempty"`
		When    time.Time       `json:"when"` // when the last spark flew
	}

	// Bead is one bead laid.
	Bead struct {
		Item   string           `json:"item"`
		Number int              `json:"number"`
		Tin    string           `json:"tin,omitempty"`
		Rods   float64          `json:"rods,omitempty"`   // rods burnt for it
		Length *Said[q.Length]  `json:"length,omitempty"` // weld length of the whole bead
		Amps   *Said[q.Current] `json:"amps,omitempty"`
		Begun  *time.Time       `json:"begun,omitempty"`
		Ended  time.Time        `json:"ended"`
		Note   string           `json:"note,omitempty"`
	}

	// PostHeat is heat held after the last bead.
	PostHeat struct {
		Item string               `json:"item"`
		Temp *Said[q.Temperature] `json:"temp,omitempty"`
		From time.Time            `json:"from"`
		To   time.Time            `json:"to"`
	}

	// Inspection is one look for cracks.
	Inspection struct {
		Item   string          `json:"item"`
		Stage  Stage           `json:"stage"`
		Method Method          `json:"method"`
		Result Outcome         `json:"result"`
		Length *Said[q.Length] `json:"length,omitempty"` // of what was found
		Note   string          `json:"note,omitempty"`
		By     string          `json:"by,omitempty"`
		When   time.Time       `json:"when"`
	}

	// Stage says what an inspection is for.
	Stage string

	// Method says how one looks.
	Method string

	// Outcome is what was seen.
	Outcome string

	// Photo is a picture. Place is kept only where the settings allow it.
	Photo struct {
		Blob    store.Hash `json:"blob"`
		Media   string     `json:"media"`
		Width   int        `json:"width"`
		Height  int        `json:"height"`
		Caption string     `json:"caption,omitempty"`
		Item    string     `json:"item,omitempty"`
		About   string     `json:"about,omitempty"` // id of the hold, step or bead it shows
		Place   *Place     `json:"place,omitempty"`
		When    time.Time  `json:"when"`
	}

	// Place is where a picture was taken.
	Place struct {
		Lat float64 `json:"lat"`
		Lon float64 `json:"lon"`
		Off float64 `json:"off,omitempty"` // metres it may be off
	}

	// Note is a line of text.
	Note struct {
		Text string    `json:"text"`
		Item string    `json:"item,omitempty"`
		When time.Time `json:"when"`
	}

	// ClockStarted starts a clock. For check-in clocks For is the time between
	// two calls; for working hours it is zero.
	ClockStarted struct {
		ID    string    `json:"id"`
		What  ClockKind `json:"what"`
		For   q.Time    `json:"for,omitempty"` // s
		Item  string    `json:"item,omitempty"`
		Label string    `json:"label,omitempty"`
		Call  string    `json:"call,omitempty"` // who waits for the call
		When  time.Time `json:"when"`
	}

	// ClockStopped stops it.
	ClockStopped struct {
		ID   string    `json:"id"`
		Note string    `json:"note,omitempty"`
		When time.Time `json:"when"`
	}

	// CheckedIn is the lone worker's call.
	CheckedIn struct {
		ID   string    `json:"id"`
		When time.Time `json:"when"`
	}

	// Cleared says what was done about a deviation.
	Cleared struct {
		Deviation string    `json:"deviation"`
		Done      string    `json:"done"`
		When      time.Time `json:"when"`
	}
)

// Answers to a hold point.
const (
	SaysYes     Says = "yes"
	SaysNo      Says = "no"
	SaysNotHere Says = "not-here" // it does not apply here
)

// What heat is read with.
const (
	ContactTool Tool = "contact"
	InfraredGun Tool = "ir"
	CrayonTool  Tool = "crayon"
)

// Where rods come from and go to.
const (
	FromSealed TinFrom = "sealed"
	FromOven   TinFrom = "oven"
	FromBake   TinFrom = "baked" // baked again
	IntoOven   TinTo   = "oven"
	UsedUp     TinTo   = "used-up"
	Scrapped   TinTo   = "scrapped"
)

// Inspections.
const (
	StageFind  Stage = "find"  // where does it start and end
	StageGone  Stage = "gone"  // is the crack out
	StageFinal Stage = "final" // the final look
	StageLater Stage = "later" // at a follow-up

	MethodPT  Method = "pt"
	MethodMT  Method = "mt"
	MethodUT  Method = "ut"
	MethodEye Method = "eye"

	Clear    Outcome = "clear"
	Found    Outcome = "found"
	Doubtful Outcome = "doubtful"
)

type (
	// Closed closes a job: the repair record's last page.
	Closed struct {
		By          string    `json:"by"`
		Done        string    `json:"done"`         // what was repaired, in words
		NotExamined []string  `json:"not_examined"` // what nobody looked at
		Limits      []string  `json:"limits,omitempty"`
		Looks       []Look    `json:"looks,omitempty"` // when to look again
		When        time.Time `json:"when"`
	}

	// Look is a look that is due later.
	Look struct {
		ID    string    `json:"id"`
		What  string    `json:"what"`
		Hours *q.Time   `json:"hours,omitempty"` // working hours of the machine, s
		Due   time.Time `json:"due"`
	}

	// Reopened opens a closed job again.
	Reopened struct {
		Reason string    `json:"reason"`
		When   time.Time `json:"when"`
	}

	// FollowedUp says how a repair held.
	FollowedUp struct {
		Look   string    `json:"look"`
		Result Held      `json:"result"`
		Hours  *q.Time   `json:"hours,omitempty"` // worked since the repair, s
		Note   string    `json:"note,omitempty"`
		When   time.Time `json:"when"`
	}

	// Held says whether a repair held.
	Held string

	// CrackedAgainBody links a repair to the job that mends it again.
	CrackedAgainBody struct {
		NewJob string    `json:"new_job"`
		Item   string    `json:"item,omitempty"`
		Hours  *q.Time   `json:"hours,omitempty"` // it held, s
		Note   string    `json:"note,omitempty"`
		When   time.Time `json:"when"`
	}

	// Corrected corrects an earlier entry: Body takes its place, or it is void.
	Corrected struct {
		Of     Ref             `json:"of"`
		Kind   Kind            `json:"kind"` // of the entry it corrects
		Void   bool            `json:"void,omitempty"`
		Reason string          `json:"reason"`
		Body   json.RawMessage `json:"body,omitempty"`
		When   time.Time       `json:"when"`
	}
)

// How a repair held.
const (
	ItHeld      Held = "held"
	ItCracked   Held = "cracked"
	NotLookedAt Held = "not-looked"
)
