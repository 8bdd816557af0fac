package browser

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"soundmetal/store"
)

// columns of a row: device, seq, prev, hash, clock, wall, kind, job, key, body.
const columns = 10

// AppendRow writes an entry as it is kept: its fields in the order of the book's
// format, divided by tabs. No field can hold a tab: the body is compact JSON.
func AppendRow(row []byte, e *store.Entry) []byte {
	row = append(append(row, e.Device...), '\t')
	row = append(strconv.AppendInt(row, e.Seq, 10), '\t')
	row = append(append(row, e.Prev.String()...), '\t')
	row = append(append(row, e.Hash.String()...), '\t')
	row = append(append(row, e.Clock.String()...), '\t')
	row = append(strconv.AppendInt(row, e.Wall, 10), '\t')
	row = append(append(row, e.Kind...), '\t')
	row = append(append(row, e.Job...), '\t')
	row = append(append(row, e.Key...), '\t')
	return append(row, e.Body...)
}

// ReadRow reads what AppendRow has written. It reads the form only: whether the
// entry is the one that was stored is told by its hash, see store.Entry.Check.
func ReadRow(row string) (store.Entry, error) {
	var f [columns]string
	rest := row
	for i := range columns - 1 {
		var ok bool
		if f[i], rest, ok = strings.Cut(rest, "\t"); !ok {
			return store.Entry{}, fmt.Errorf("a stored entry has %d fields of %d", i+1, columns)
		}
	}
	f[columns-1] = rest
	e := store.Entry{Device: f[0], Kind: f[6], Job: f[7], Key: f[8], Body: json.RawMessage(f[9])}
	var err error
	if e.Seq, err = strconv.ParseInt(f[1], 10, 64); err != nil {
		return store.Entry{}, fmt.Errorf("a stored entry of %s has no number: %w", e.Device, err)
	}
	broken := func(err error) (store.Entry, error) {
		return store.Entry{}, fmt.Errorf("stored entry %d of %s: %w", e.Seq, e.Device, err)
	}
	if e.Prev, err = store.ReadHash(f[2]); err != nil {
		return broken(err)
	}
	if e.Hash, err = store.ReadHash(f[3]); err != nil {
		return broken(err)
	}
	if err = e.Clock.UnmarshalText([]byte(f[4])); err != nil {
		return broken(err)
	}
	if e.Wall, err = strconv.ParseInt(f[5], 10, 64); err != nil {
		return broken(err)
	}
	return e, nil
}
