package book

import (
	"bytes"
	"encoding/json"
	"fmt"

	"soundmetal/store"
)

// Kind says what an entry means. Kinds are never renamed and a body's fields are
// only added to; see docs/book-format.md.
type Kind string

// The kinds. Those of no job stand in the book itself.
const (
	KindShop     Kind = "shop.set"     // ShopSet
	KindSettings Kind = "settings.set" // SettingsSet
	KindCustomer Kind = "customer.set" // CustomerSet
	KindMachine  Kind = "machine.set"  // MachineSet
	KindDevice   Kind = "device.named" // DeviceNamed

	KindOpened   Kind = "job.opened"   // JobOpened
	KindFacts    Kind = "facts.set"    // FactsSet
	KindPlan     Kind = "plan.made"    // PlanMade
	KindAgreed   Kind = "work.agreed"  // WorkAgreed
	KindDamage   Kind = "damage.found" // DamageFound
	KindProposed Kind = "change.proposed"
	KindAccepted Kind = "change.accepted"
	KindRefused  Kind = "change.refused"

	KindStep       Kind = "step.done"       // StepDone
	KindHold       Kind = "hold.answered"   // HoldAnswered
	KindOverride   Kind = "hold.overridden" // HoldOverridden
	KindReading    Kind = "reading"         // Reading
	KindTin        Kind = "tin.opened"      // TinOpened
	KindTinAway    Kind = "tin.put-away"    // TinPutAway
	KindGouge      Kind = "gouge.done"      // GougeDone
	KindBead       Kind = "bead.done"       // Bead
	KindPostHeat   Kind = "postheat.done"   // PostHeat
	KindSimulated  Kind = "heat.simulated"  // HeatSimulated
	KindInspection Kind = "inspected"       // Inspection
	KindPhoto      Kind = "photo.added"     // Photo
	KindNote       Kind = "note.added"      // Note
	KindClockOn    Kind = "clock.started"   // ClockStarted
	KindClockOff   Kind = "clock.stopped"   // ClockStopped
	KindCheckedIn  Kind = "checked.in"      // CheckedIn
	KindCleared    Kind = "deviation.cleared"

	KindClosed     Kind = "job.closed"      // Closed
	KindReopened   Kind = "job.reopened"    // Reopened
	KindFollowedUp Kind = "followed.up"     // FollowedUp
	KindAgain      Kind = "cracked.again"   // CrackedAgainBody
	KindCorrected  Kind = "entry.corrected" // Corrected

	KindCarried Kind = store.Carried // Carried: an entry that came by a job file, of a job or of none
)

// body says how the body of a kind is read, and whether it may be corrected.
type body struct {
	read        func([]byte) (any, error)
	correctable bool
}

var bodies = map[Kind]body{
	KindShop:     {read[ShopSet], false},
	KindSettings: {read[SettingsSet], false},
	KindCustomer: {read[CustomerSet], false},
	KindMachine:  {read[MachineSet], false},
	KindDevice:   {read[DeviceNamed], false},

	KindOpened:   {read[JobOpened], false},
	KindFacts:    {read[FactsSet], false},
	KindPlan:     {read[PlanMade], false},
	KindAgreed:   {read[WorkAgreed], false},
	KindDamage:   {read[DamageFound], true},
	KindProposed: {read[ChangeProposed], false},
	KindAccepted: {read[ChangeAccepted], false},
	KindRefused:  {read[ChangeRefused], false},

	KindStep:       {read[StepDone], true},
	KindHold:       {read[HoldAnswered], true},
	KindOverride:   {read[HoldOverridden], false},
	KindReading:    {read[Reading], true},
	KindTin:        {read[TinOpened], true},
	KindTinAway:    {read[TinPutAway], true},
	KindGouge:      {read[GougeDone], true},
	KindBead:       {read[Bead], true},
	KindPostHeat:   {read[PostHeat], true},
	KindSimulated:  {read[HeatSimulated], false},
	KindInspection: {read[Inspection], true},
	KindPhoto:      {read[Photo], true},
	KindNote:       {read[Note], true},
	KindClockOn:    {read[ClockStarted], true},
	KindClockOff:   {read[ClockStopped], true},
	KindCheckedIn:  {read[CheckedIn], true},
	KindCleared:    {read[Cleared], true},

	KindClosed:     {read[Closed], false},
	KindReopened:   {read[Reopened], false},
	KindFollowedUp: {read[FollowedUp], true},
	KindAgain:      {read[CrackedAgainBody], false},
	KindCorrected:  {read[Corrected], false},

	KindCarried: {read[Carried], false},
}

// read decodes a body. Fields that this build does not know are passed over:
// a newer one may have written them.
func read[T any](data []byte) (any, error) {
	var v T
	if err := json.Unmarshal(data, &v); err != nil {
		return nil, err
	}
	return v, nil
}

// encode gives the compact JSON that the store keeps.
func encode(v any) (json.RawMessage, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, fmt.Errorf("a value that cannot be kept: %w", err)
	}
	return bytes.TrimSuffix(out.Bytes(), []byte("\n")), nil
}
