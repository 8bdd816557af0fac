package book

import (
	"time"

	q "soundmetal/quantity"
	"soundmetal/store"
)

// Bodies of the work.

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

	// HeatSimulated is the heat of a place worked out for one plan. The result
	// itself is the blob: a task.Result, gzipped.
	HeatSimulated struct {
		ID       string     `json:"id"`
		Plan     string     `json:"plan"`
		Item     string     `json:"item"`
		Level    string     `json:"level"` // coarse, working
		Blob     store.Hash `json:"blob"`
		Readings []Ref      `json:"readings,omitempty"` // that torch and loss were fitted to
		When     time.Time  `json:"when"`
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
