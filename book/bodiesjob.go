package book

import (
	"time"

	"soundmetal/job"
	"soundmetal/store"
)

// Bodies of call, plan and change orders.

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
		Taken []Taken           `json:"taken,omitempty"` // which of them were taken over from an earlier job
	}

	// Taken says that facts were taken over from an earlier job, as they stood there.
	Taken struct {
		Job   string    `json:"job"`
		Name  string    `json:"name"`           // of that job, as it was called then
		When  time.Time `json:"when"`           // when it was opened
		Item  string    `json:"item,omitempty"` // the place here that the paths are of; empty: the job
		Paths []string  `json:"paths"`
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
