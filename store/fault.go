package store

import (
	"errors"
	"fmt"
)

// FaultKind says what is wrong with a log.
type FaultKind string

const (
	Damaged   FaultKind = "damaged"   // an entry's hash is not that of its fields
	Malformed FaultKind = "malformed" // an entry's fields have not the form of an entry
	Broken    FaultKind = "broken"    // an entry does not follow the one before it
	Gap       FaultKind = "gap"       // entries are missing between
	Forked    FaultKind = "forked"    // two different entries claim one place
	Missing   FaultKind = "missing"   // the end of a log is gone
)

// Fault is one thing wrong with one device's log.
type Fault struct {
	Device string    `json:"device"`
	Seq    int64     `json:"seq"`
	Kind   FaultKind `json:"kind"`
	Text   string    `json:"text"`
}

func (f *Fault) Error() string {
	return fmt.Sprintf("entry %d of device %s: %s", f.Seq, f.Device, f.Text)
}

// Errors that a caller may ask for with errors.Is.
var (
	// ErrMoved says that entries arrived after the caller looked: look again and
	// decide again.
	ErrMoved = errors.New("the book has moved on since this was decided")
	// ErrFull says that there is no room left on the disk; nothing was stored.
	ErrFull = errors.New("the disk is full: this is not saved")
	// ErrNoBlob says that the blob is not in this store.
	ErrNoBlob = errors.New("this file is not on this device")
	// ErrNoSnapshot says that there is no snapshot of the name.
	ErrNoSnapshot = errors.New("there is no snapshot")
	// ErrDamagedBlob says that the bytes of a blob are not those of its hash.
	ErrDamagedBlob = errors.New("this file was changed after it was stored")
)
