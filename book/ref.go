package book

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"soundmetal/store"
)

// Ref points at one entry. Its text, phone7.41, may stand in a link or a form.
type Ref struct {
	Device string
	Seq    int64
}

// RefOf is the entry's own reference.
func RefOf(e *store.Entry) Ref { return Ref{e.Device, e.Seq} }

// IsZero says that it points at nothing.
func (r Ref) IsZero() bool { return r == Ref{} }

// String gives device, point, sequence number.
func (r Ref) String() string {
	if r.IsZero() {
		return ""
	}
	return r.Device + "." + strconv.FormatInt(r.Seq, 10)
}

// ReadRef reads what String prints.
func ReadRef(text string) (Ref, error) {
	device, n, ok := strings.Cut(text, ".")
	seq, err := strconv.ParseInt(n, 10, 64)
	r := Ref{device, seq}
	if !ok || err != nil || seq < 1 || store.CheckDevice(device) != nil || r.String() != text {
		return Ref{}, fmt.Errorf("%q points at no entry; it is a device, a point and a number", text)
	}
	return r, nil
}

// MarshalText is String.
func (r Ref) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what String prints.
func (r *Ref) UnmarshalText(text []byte) (err error) {
	if len(text) == 0 {
		*r = Ref{}
		return nil
	}
	*r, err = ReadRef(string(text))
	return err
}

// Meta says where a logged fact comes from and whether it still stands.
type Meta struct {
	Ref         Ref
	Kind        Kind
	At          time.Time // when it happened, as told; else when it was logged
	Logged      time.Time // what the device's clock read when it was logged
	Void        bool      // taken back by a correction
	Corrections []Correction

	clock store.Clock
}

// Corrected says that a correction has changed it or taken it back.
func (m Meta) Corrected() bool { return len(m.Corrections) > 0 }

// Correction is a later entry that corrects a fact. Both stay in the book.
type Correction struct {
	Ref    Ref
	At     time.Time
	Reason string
	Void   bool
}

// Logged is a fact of the record as it stands after its corrections, with what
// was written before them.
type Logged[T any] struct {
	Meta
	Is  T
	Was []T // as first written and after each correction but the last; empty where it was never changed
}
