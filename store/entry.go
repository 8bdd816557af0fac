package store

import (
	"bytes"
	"cmp"
	"crypto/rand"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Entry is one line of one device's log. It is never changed or deleted; a
// correction is a new entry. What Body means is the book's affair.
type Entry struct {
	Device string          `json:"device"` // whose log it belongs to
	Seq    int64           `json:"seq"`    // place in that log, from 1 without gaps
	Prev   Hash            `json:"prev"`   // hash of the entry before; zero for the first
	Hash   Hash            `json:"hash"`   // over all other fields, see Sum
	Clock  Clock           `json:"clock"`  // order over all devices
	Wall   int64           `json:"wall"`   // what the device's own clock read, milliseconds since 1970, UTC
	Kind   string          `json:"kind"`   // what happened: bead.done
	Job    string          `json:"job"`    // id of the job; empty for what belongs to no job
	Key    string          `json:"key"`    // idempotency key of the batch it came in
	Body   json.RawMessage `json:"body"`   // a JSON object in compact form
}

// Limits of what is stored.
const (
	MaxBody  = 256 << 10       // bytes of one body
	MaxLine  = MaxBody + 4<<10 // bytes of one line, but of a carried entry
	MaxBatch = 256             // entries of one batch
	MaxBlob  = 16 << 20        // bytes of one blob
	MaxKey   = 120             // bytes of a key
)

// Carried is the one kind that the store knows: its body holds the line of
// another entry, so it may be as long as a line, or the longest entry could not
// be handed on.
const Carried = "entry.carried"

// MaxCarried is the largest body of a carried entry, MaxCarriedLine its line.
const (
	MaxCarried     = MaxLine + 1<<10
	MaxCarriedLine = MaxCarried + 4<<10
)

// maxName is the length of the id of a device or a job.
const maxName = 40

// The forms are read by hand: every entry is held to them whenever it is loaded.

// isName says that s is made of small letters, digits and hyphens, and begins
// with a letter or a digit.
func isName(s string) bool {
	for i := range len(s) {
		if c := s[i]; !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' && i > 0) {
			return false
		}
	}
	return s != "" && len(s) <= maxName
}

// isKind says that s is words joined by points, each of small letters, digits
// and hyphens and beginning with a letter.
func isKind(s string) bool {
	begins := true
	for i := range len(s) {
		switch c := s[i]; {
		case c >= 'a' && c <= 'z':
			begins = false
		case !begins && (c >= '0' && c <= '9' || c == '-'):
		case !begins && c == '.':
			begins = true
		default:
			return false
		}
	}
	return !begins
}

// isKey says that s is printable ASCII without spaces.
func isKey(s string) bool {
	for i := range len(s) {
		if s[i] < '!' || s[i] > '~' {
			return false
		}
	}
	return s != "" && len(s) <= MaxKey
}

// CheckDevice says whether a device id may be used.
func CheckDevice(id string) error {
	if !isName(id) {
		return fmt.Errorf("device id %q: up to 40 small letters, digits and hyphens are accepted", clip(id))
	}
	return nil
}

// NewDevice makes up an id for a device of a kind, such as phone.
func NewDevice(kind string) string { return kind + "-" + strings.ToLower(rand.Text()[:8]) }

// ErrKey is an idempotency key that no form of ours has.
var ErrKey = errors.New("idempotency key")

// CheckKey says whether an idempotency key may be used.
func CheckKey(key string) error {
	if !isKey(key) {
		return fmt.Errorf("%w %q: 1 to %d printable characters without spaces are accepted", ErrKey, clip(key), MaxKey)
	}
	return nil
}

// checkForm says whether the fields have the form of an entry.
func (e *Entry) checkForm() error {
	switch {
	case !isName(e.Device):
		return CheckDevice(e.Device)
	case e.Seq < 1:
		return fmt.Errorf("sequence number %d: a log counts from 1", e.Seq)
	case e.Prev.IsZero() != (e.Seq == 1):
		return fmt.Errorf("only the first entry of a log has none before it")
	case e.Clock.MS < 0 || e.Wall < 0:
		return fmt.Errorf("a time before 1970 is not accepted")
	case len(e.Kind) > 40 || !isKind(e.Kind):
		return fmt.Errorf("kind %q: words of small letters, digits and hyphens, joined by points, are accepted", clip(e.Kind))
	case e.Job != "" && !isName(e.Job):
		return fmt.Errorf("job id %q: up to 40 small letters, digits and hyphens are accepted", clip(e.Job))
	}
	if err := CheckKey(e.Key); err != nil {
		return err
	}
	return checkBody(e.Kind, e.Body)
}

// checkBody refuses a body that would not keep its bytes through JSON.
func checkBody(kind string, body []byte) error {
	most := MaxBody
	if kind == Carried {
		most = MaxCarried
	}
	if len(body) > most {
		return fmt.Errorf("a body of %d bytes: at most %d are accepted", len(body), most)
	}
	if len(body) == 0 || body[0] != '{' || !utf8.Valid(body) {
		return fmt.Errorf("the body is not a JSON object in UTF-8")
	}
	var out bytes.Buffer
	out.Grow(len(body))
	if err := json.Compact(&out, body); err != nil {
		return fmt.Errorf("the body is not JSON: %w", err)
	}
	if !bytes.Equal(out.Bytes(), body) {
		return fmt.Errorf("the body is not in compact form: no spaces between its parts are accepted")
	}
	return nil
}

// Sum is the hash over every field but Hash itself: SHA-256 of the line
// "soundmetal entry 1" and then, for device, seq, prev, clock, wall, kind, job,
// key and body in this order, the length of its text in decimal, a colon, the
// text and a line feed. Every field is delimited by its length, so no two
// different entries have the same encoding.
func (e *Entry) Sum() Hash {
	buf := make([]byte, 0, 256+len(e.Body))
	buf = append(buf, "soundmetal entry 1\n"...)
	buf = field(buf, e.Device)
	buf = field(buf, strconv.FormatInt(e.Seq, 10))
	buf = field(buf, e.Prev.String())
	buf = field(buf, e.Clock.String())
	buf = field(buf, strconv.FormatInt(e.Wall, 10))
	buf = field(buf, e.Kind)
	buf = field(buf, e.Job)
	buf = field(buf, e.Key)
	buf = strconv.AppendInt(buf, int64(len(e.Body)), 10)
	buf = append(buf, ':')
	buf = append(buf, e.Body...)
	buf = append(buf, '\n')
	return sha256.Sum256(buf)
}

func field(buf []byte, text string) []byte {
	buf = strconv.AppendInt(buf, int64(len(text)), 10)
	buf = append(buf, ':')
	buf = append(buf, text...)
	return append(buf, '\n')
}

// Check says whether the entry is well formed and its hash is that of its
// fields. The error is a *Fault.
func (e *Entry) Check() error {
	if e.Sum() != e.Hash {
		return &Fault{e.Device, e.Seq, Damaged, "its hash is not that of its fields: it was changed after it was written"}
	}
	if err := e.checkForm(); err != nil {
		return &Fault{e.Device, e.Seq, Malformed, err.Error()}
	}
	return nil
}

// Compare orders entries of all devices: by clock, then device, then sequence.
func (e *Entry) Compare(o *Entry) int {
	return cmp.Or(e.Clock.Compare(o.Clock), cmp.Compare(e.Device, o.Device), cmp.Compare(e.Seq, o.Seq))
}

// Line is the entry as one line of JSON without the line feed; it is the form
// in which entries are exported and exchanged.
func (e *Entry) Line() ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(e); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(out.Bytes(), []byte("\n")), nil
}

// ReadLine reads exactly what Line writes and checks it; any other spelling of
// the same fields is refused.
func ReadLine(line []byte) (Entry, error) {
	var e Entry
	dec := json.NewDecoder(bytes.NewReader(line))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&e); err != nil {
		return Entry{}, fmt.Errorf("not an entry: %w", err)
	}
	e.Body = bytes.Clone(e.Body)
	if err := e.Check(); err != nil {
		return Entry{}, err
	}
	again, err := e.Line()
	if err != nil {
		return Entry{}, err
	}
	if !bytes.Equal(again, line) {
		return Entry{}, &Fault{e.Device, e.Seq, Malformed, "it is not written as an entry is: the fields in order, without spaces"}
	}
	return e, nil
}
