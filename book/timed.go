package book

import "time"

// timed is a body that says when it happened.
type timed interface{ when() time.Time }

func (b WorkAgreed) when() time.Time       { return b.When }
func (b ChangeAccepted) when() time.Time   { return b.When }
func (b ChangeRefused) when() time.Time    { return b.When }
func (b StepDone) when() time.Time         { return b.When }
func (b HoldAnswered) when() time.Time     { return b.When }
func (b HoldOverridden) when() time.Time   { return b.When }
func (b Reading) when() time.Time          { return b.When }
func (b TinOpened) when() time.Time        { return b.When }
func (b TinPutAway) when() time.Time       { return b.When }
func (b GougeDone) when() time.Time        { return b.When }
func (b Bead) when() time.Time             { return b.Ended }
func (b PostHeat) when() time.Time         { return b.To }
func (b HeatSimulated) when() time.Time    { return b.When }
func (b Inspection) when() time.Time       { return b.When }
func (b Photo) when() time.Time            { return b.When }
func (b Note) when() time.Time             { return b.When }
func (b ClockStarted) when() time.Time     { return b.When }
func (b ClockStopped) when() time.Time     { return b.When }
func (b CheckedIn) when() time.Time        { return b.When }
func (b Cleared) when() time.Time          { return b.When }
func (b Closed) when() time.Time           { return b.When }
func (b Reopened) when() time.Time         { return b.When }
func (b FollowedUp) when() time.Time       { return b.When }
func (b CrackedAgainBody) when() time.Time { return b.When }
func (b Corrected) when() time.Time        { return b.When }

// itemOf is the damaged place that a body is about; "" where it is of the whole job.
func itemOf(body any) string {
	switch b := body.(type) {
	case Reading:
		return b.Item
	case GougeDone:
		return b.Item
	case Bead:
		return b.Item
	case PostHeat:
		return b.Item
	case HeatSimulated:
		return b.Item
	case Inspection:
		return b.Item
	case Photo:
		return b.Item
	case Note:
		return b.Item
	case ClockStarted:
		return b.Item
	case DamageFound:
		return b.Item
	case ChangeProposed:
		return b.Item
	case CrackedAgainBody:
		return b.Item
	}
	return ""
}
