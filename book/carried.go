package book

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"soundmetal/store"
)

// An entry that came by a job file stands in the log of the device that took it
// in, inside an entry of its own: a log is the hash chain of one device, and a
// part of a chain cannot be taken for that device's log. The fold sees through
// it: a carried entry counts as the entry that it holds, under the device, number
// and clock of that one, and however often an entry is here, directly or carried
// by whomever, it counts once.
//
// The hash inside proves that an entry is as it was written; it proves nothing of
// what may have been left out, and it is no signature. Where two different
// entries of a job claim one place of one log, that of the log itself counts; of
// two that were both carried the one that comes first in the order does, then
// the one with the lower hash. The other is shown as strange.

// Carried holds an entry of another device's log.
type Carried struct {
	Entry json.RawMessage `json:"entry"` // its line, byte for byte
}

// carry wraps an entry. One that is carried already is not wrapped again: see
// original.
func carry(e *store.Entry) (json.RawMessage, error) {
	line, err := e.Line()
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, `{"entry":%s}`, line), nil
}

// original gives the entry that a carried one holds, and any other entry itself.
func original(e *store.Entry) (in store.Entry, carried bool, err error) {
	if e.Kind != store.Carried {
		return *e, false, nil
	}
	var b Carried
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return in, true, err
	}
	switch in, err = store.ReadLine(bytes.TrimSpace(b.Entry)); {
	case err != nil:
		return in, true, err
	case in.Kind == store.Carried:
		return in, true, errors.New("a carried entry is carried as it was written, not inside another")
	case in.Job != e.Job:
		return in, true, errors.New("it is of another job than the entry that carries it")
	}
	return in, true, nil
}

// contradicts is what is said of an entry that is not the one that counts at its
// place.
const contradicts = "another entry stands at its place in the log of its device: it was changed, or the log was written twice, from a copy; it is left out"

// known names an entry with what it says.
type known struct {
	ref  Ref
	hash store.Hash
}

// counting sorts the records of a job: each entry that counts, once, and those
// that contradict one of them. Both are in order. It depends on nothing but the
// set of records.
func counting(records []*record) (count, against []*record) {
	first := make(map[Ref]*record, len(records))
	twice := false
	for _, r := range records {
		old := first[r.ref]
		twice = twice || old != nil
		if old == nil || r.direct && !old.direct {
			first[r.ref] = r
		}
	}
	if !twice {
		return records, nil
	}
	for _, r := range records {
		if first[r.ref] == r {
			count = append(count, r)
			continue
		}
		no := *r
		no.body, no.strange = nil, contradicts
		against = append(against, &no)
	}
	return count, against
}
