package book

import (
	"encoding/json"
	"time"

	q "soundmetal/quantity"
)

// Bodies of the end of a job, and of corrections.

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
