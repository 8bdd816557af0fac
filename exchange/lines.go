package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"soundmetal/store"
)

// readJSON reads exactly one JSON value, without fields that are not known and
// without anything after it.
func readJSON(data []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows after the end of the message")
	}
	return nil
}

func writeJSON(v any) ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// errCut is a batch that ends before its end.
var errCut = errors.New("the message ends before its end")

// writeBatch writes entries as a batch: the first line says how many follow. It
// takes as many of them as fit into limit bytes, and always one. An entry that
// is damaged ends it before; its fault comes beside the batch.
func writeBatch(entries []store.Entry, left int64, limit int) (data []byte, n int, fault error) {
	var lines bytes.Buffer
	for i := range entries {
		e := &entries[i]
		if fault = e.Check(); fault != nil {
			break
		}
		line, err := e.Line()
		if err != nil {
			fault = &store.Fault{Device: e.Device, Seq: e.Seq, Kind: store.Damaged, Text: err.Error()}
			break
		}
		if n > 0 && lines.Len()+len(line) >= limit {
			break
		}
		lines.Write(line)
		lines.WriteByte('\n')
		n++
	}
	head, err := json.Marshal(batchHead{n, max(0, left-int64(n))})
	if err != nil {
		return nil, 0, err
	}
	return append(append(head, '\n'), lines.Bytes()...), n, fault
}

// readBatch reads what writeBatch writes. Every entry is checked; the error is a
// *store.Fault where it is an entry's, and errCut where the end is missing.
func readBatch(data []byte) (entries []store.Entry, left int64, err error) {
	first, rest, ok := bytes.Cut(data, []byte("\n"))
	if !ok {
		return nil, 0, errCut
	}
	var head batchHead
	if err := readJSON(first, &head); err != nil {
		return nil, 0, fmt.Errorf("the first line of the batch: %w", err)
	}
	if head.Entries < 0 || head.Entries > MaxEntries || head.Left < 0 || head.Left > maxSeq {
		return nil, 0, fmt.Errorf("a batch of %d entries: up to %d are accepted", head.Entries, MaxEntries)
	}
	entries = make([]store.Entry, 0, min(head.Entries, len(rest)/200+1))
	for range head.Entries {
		line, more, ok := bytes.Cut(rest, []byte("\n"))
		if !ok {
			return nil, 0, errCut
		}
		e, err := store.ReadLine(line)
		if err != nil {
			return nil, 0, err
		}
		if e.Seq > maxSeq {
			return nil, 0, &store.Fault{Device: e.Device, Seq: e.Seq, Kind: store.Malformed, Text: "its number is beyond what is counted"}
		}
		entries = append(entries, e)
		rest = more
	}
	if len(rest) > 0 {
		return nil, 0, errors.New("more lines follow than the batch says")
	}
	return entries, head.Left, nil
}

// checkVector refuses what no book has.
func checkVector(v store.Vector) error {
	if len(v) > MaxDevices {
		return fmt.Errorf("%d logs: up to %d are exchanged", len(v), MaxDevices)
	}
	for device, seq := range v {
		if err := store.CheckDevice(device); err != nil {
			return err
		}
		if seq < 0 || seq > maxSeq {
			return fmt.Errorf("sequence number %d of device %s", seq, device)
		}
	}
	return nil
}

// checkHeads refuses heads that no book has.
func checkHeads(heads []store.Head) error {
	v := store.VectorOf(heads)
	if len(v) != len(heads) {
		return errors.New("a device is named twice")
	}
	for _, h := range heads {
		if h.Seq < 1 || h.Hash.IsZero() {
			return fmt.Errorf("the log of device %s has no end", h.Device)
		}
	}
	return checkVector(v)
}
