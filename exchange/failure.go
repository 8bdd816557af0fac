package exchange

import (
	"errors"
	"fmt"

	"soundmetal/store"
)

// Reason is why something was refused or failed.
type Reason string

// Reasons that a host gives.
const (
	NotVersion    Reason = "version"        // the two programs do not speak the same version
	NotToken      Reason = "token"          // the key of the device is not known
	Replaced      Reason = "replaced"       // the device was paired again, so this key no longer counts
	Revoked       Reason = "revoked"        // the device was shut out
	BadCode       Reason = "code"           // the code is wrong, too old or used
	TooMany       Reason = "tries"          // too many tries
	BadDevice     Reason = "device"         // the device cannot be paired as it stands
	UnknownDevice Reason = "unknown-device" // entries of a device that the host does not know
	Damaged       Reason = "damaged"        // an entry is not what it was
	Malformed     Reason = "malformed"      // an entry has not the form of one
	Broken        Reason = "broken"         // an entry does not follow the one before it
	Gap           Reason = "gap"            // entries are missing before this one
	Forked        Reason = "forked"         // a log was written at two places
	Cut           Reason = "cut"            // a message ended too early
	TooLarge      Reason = "size"           // a message is larger than is accepted
	BadRequest    Reason = "request"        // a message cannot be read
	NotHere       Reason = "not-here"       // the host has not this file
	Full          Reason = "full"           // the disk of the host is full
	Internal      Reason = "internal"       // the host has a fault of its own
)

// Reasons that a device finds itself.
const (
	NoAnswer  Reason = "no-answer" // nothing came back, or not all of it
	NoTrust   Reason = "tls"       // the connection cannot be trusted
	NotOurs   Reason = "address"   // something else answers there
	NotJoined Reason = "not-joined"
	Here      Reason = "here" // this device cannot read or write its own book
)

// Failure says why an exchange did not go on, and what to do about it. It is
// what a host answers with, and what a device shows.
type Failure struct {
	Reason Reason `json:"reason"`
	Text   string `json:"text"`             // one sentence without its point
	Do     string `json:"do,omitempty"`     // what to do about it, the same
	Device string `json:"device,omitempty"` // whose log
	Seq    int64  `json:"seq,omitempty"`    // which entry
}

func (f *Failure) Error() string {
	if f.Do == "" {
		return f.Text
	}
	return f.Text + "; " + f.Do
}

// Again says that the same may succeed later without anything being done.
func (f *Failure) Again() bool {
	switch f.Reason {
	case NoAnswer, Cut, Gap, Internal, TooMany:
		return true
	}
	return false
}

// status is what HTTP says about a failure.
func (f *Failure) status() int {
	switch f.Reason {
	case NotToken, Replaced:
		return statusUnauthorized
	case Revoked, BadCode, UnknownDevice:
		return statusForbidden
	case TooMany:
		return statusTooManyRequests
	case TooLarge:
		return statusRequestEntityTooLarge
	case BadRequest, Cut, NotVersion:
		return statusBadRequest
	case NotHere:
		return statusNotFound
	case Full:
		return statusInsufficientStorage
	case Internal:
		return statusInternalServerError
	}
	return statusConflict
}

func failure(r Reason, do, format string, args ...any) *Failure {
	return &Failure{Reason: r, Text: fmt.Sprintf(format, args...), Do: do}
}

// What to do about a log that cannot be taken. The entries stay where they are.
const (
	doForked = "two devices use this id, from a copied folder or phone: take the whole book away as a file from one of the two, " +
		"then set that one up anew with an empty folder, pair it again, and log there by hand what only the file has"
	doDamaged = "nothing of this log from here on is taken: keep the device as it is, take the whole book away as a file, " +
		"and bring back its last backup"
	doUnknown = "open Phones and devices at the host and let the device in, or pair it"
	doRevoked = "ask whoever keeps the host; with a new code the device is let in again"
)

// faultOf turns the fault of a log into what is said about it.
func faultOf(f *store.Fault) *Failure {
	out := &Failure{Text: f.Error(), Device: f.Device, Seq: f.Seq, Do: doDamaged}
	switch f.Kind {
	case store.Forked:
		out.Reason, out.Do = Forked, doForked
	case store.Gap:
		out.Reason, out.Do = Gap, "nothing needs to be done: the exchange asks again where the log ends"
	case store.Broken:
		out.Reason = Broken
	case store.Malformed:
		out.Reason = Malformed
	default:
		out.Reason = Damaged
	}
	return out
}

// partedOf says that a log has grown apart.
func partedOf(p Parted) *Failure {
	return &Failure{Reason: Forked, Device: p.Device, Seq: p.Seq, Do: doForked,
		Text: fmt.Sprintf("entry %d of device %s: another entry stands at this place at the host; the log was written at two places", p.Seq, p.Device)}
}

// heldOf says that the host does not take a log.
func heldOf(h Held) *Failure {
	if h.Reason == Revoked {
		return &Failure{Reason: Revoked, Device: h.Device, Do: doRevoked, Text: "the host has shut out device " + h.Device + " and takes no more of its entries; those it has stay"}
	}
	return &Failure{Reason: UnknownDevice, Device: h.Device, Do: doUnknown, Text: "the host does not know device " + h.Device + ": its entries wait here"}
}

// storeFailure puts an error of the store at the host into words.
func storeFailure(err error) *Failure {
	var fault *store.Fault
	var f *Failure
	switch {
	case errors.As(err, &f):
		return f
	case errors.As(err, &fault):
		return faultOf(fault)
	case errors.Is(err, store.ErrFull):
		return failure(Full, "make room there; nothing is lost, the entries stay here", "the disk of the host is full")
	case errors.Is(err, store.ErrNoBlob):
		return failure(NotHere, "", "the host has not this file")
	case errors.Is(err, store.ErrDamagedBlob):
		return failure(NotHere, "bring back the backup of the host", "the file at the host is damaged")
	}
	return failure(Internal, "look into the log of the host", "the host could not read or write its book")
}

// Answers of HTTP; RFC 9110, 6585 (429) and 4918 (507).
const (
	statusOK                    = 200
	statusBadRequest            = 400
	statusUnauthorized          = 401
	statusForbidden             = 403
	statusNotFound              = 404
	statusRequestTimeout        = 408
	statusConflict              = 409
	statusRequestEntityTooLarge = 413
	statusTooManyRequests       = 429
	statusInternalServerError   = 500
	statusInsufficientStorage   = 507
)
