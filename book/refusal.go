package book

import "fmt"

// Code sorts the reasons why a command was refused.
type Code string

// The codes.
const (
	CodeField   Code = "field"   // a field cannot be read or is missing; Field names it
	CodeHold    Code = "hold"    // a hold point is not answered; Field is its id
	CodeChange  Code = "change"  // the customer has not answered a change; Field is its id
	CodeState   Code = "state"   // not at this point of the job
	CodeUnknown Code = "unknown" // no such job, place, tin, ...
)

// Refusal says in one sentence why a command was not carried out and what would
// be accepted. Nothing was written.
type Refusal struct {
	Code  Code
	Field string
	Text  string
}

func (r *Refusal) Error() string { return r.Text }

func refuse(code Code, field, format string, args ...any) error {
	return &Refusal{code, field, fmt.Sprintf(format, args...)}
}
