//go:build !js

package exchange

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/store"
)

func (in *incoming) hello() error { return in.write(hello{formatName, Version}) }

// pair gives a device its key.
func (in *incoming) pair() error {
	var r pairRequest
	if err := in.read(maxPair, &r); err != nil {
		return err
	}
	token, err := in.Peers.pair(in.Context(), r)
	if err != nil {
		return err
	}
	// the key of the form follows from the try: a request sent again names once
	sum := store.HashOf([]byte(r.Device + "\n" + r.Try))
	name := strings.Join(strings.Fields(r.Name), " ")
	if _, err := in.Server.Book.Do(context.WithoutCancel(in.Context()), in.Now(), "named-"+sum.String()[:24], book.NameDevice{Device: r.Device, Name: name}); err != nil {
		in.Log.Error("exchange: naming a device", "device", r.Device, "err", err) // it is let in all the same
	}
	return in.write(pairAnswer{token, in.Server.Book.Device(), in.hostName()})
}

func (in *incoming) hostName() string {
	return in.Server.Book.Registry().DeviceName(in.Server.Book.Device())
}

// heads compares where the logs end.
func (in *incoming) heads() error {
	var r headsMessage
	if err := in.read(MaxMessage, &r); err != nil {
		return err
	}
	if err := checkHeads(r.Heads); err != nil {
		return failure(BadRequest, "", "%v", err)
	}
	st := in.Server.Book.Store()
	mine, err := st.Heads(in.Context())
	if err != nil {
		return err
	}
	a := headsAnswer{Device: in.Server.Book.Device(), Name: in.hostName(), Heads: mine, Held: []Held{}}
	if a.Heads == nil {
		a.Heads = []store.Head{}
	}
	if a.Parted, err = compare(in.Context(), st, mine, r.Heads); err != nil {
		return err
	}
	have := store.VectorOf(mine)
	for _, h := range r.Heads {
		if h.Device == in.device || h.Seq <= have[h.Device] {
			continue
		}
		ok, reason, err := in.Peers.takes(in.Context(), h.Device, have[h.Device] > 0)
		if err != nil {
			return err
		}
		if !ok {
			a.Held = append(a.Held, Held{h.Device, reason})
			if reason == UnknownDevice {
				if err := in.Peers.offered(in.Context(), h.Device, in.device, h.Seq); err != nil {
					return err
				}
			}
		}
	}
	if err := in.Peers.saw(in.Context(), in.device, int64(store.VectorOf(r.Heads).Mark()), in.skew()); err != nil {
		return err
	}
	return in.write(a)
}

// skew is how far the clock of the device is ahead of that of the host; small
// differences, and what the way takes, are none.
func (in *incoming) skew() time.Duration {
	ms, err := strconv.ParseInt(in.Header.Get(headTime), 10, 64)
	if err != nil || ms < 0 || ms > maxSeq {
		return 0
	}
	if d := time.UnixMilli(ms).Sub(in.Now()); d.Abs() > SkewLimit {
		return d
	}
	return 0
}

// entries takes entries.
func (in *incoming) entries() error {
	data, err := in.body(MaxMessage)
	if err != nil {
		return err
	}
	entries, _, err := readBatch(data)
	if err != nil {
		return batchFailure(err)
	}
	seen := store.Vector{}
	for i := range entries {
		e := &entries[i]
		if _, asked := seen[e.Device]; !asked && e.Device != in.device {
			if err := in.mayBring(e); err != nil {
				return err
			}
		}
		seen[e.Device] = e.Seq
	}
	fresh, err := in.Server.Book.Receive(in.Context(), entries)
	if err != nil {
		return err
	}
	heads, err := in.Server.Book.Store().Heads(in.Context())
	if err != nil {
		return err
	}
	have := store.VectorOf(heads)
	for device := range seen {
		seen[device] = have[device]
	}
	return in.write(takenAnswer{len(fresh), len(entries) - len(fresh), seen})
}

// mayBring says whether the device may bring entries of another one's log.
func (in *incoming) mayBring(e *store.Entry) error {
	heads, err := in.Server.Book.Store().Heads(in.Context())
	if err != nil {
		return err
	}
	ok, reason, err := in.Peers.takes(in.Context(), e.Device, store.VectorOf(heads)[e.Device] > 0)
	if err != nil || ok {
		return err
	}
	f := heldOf(Held{e.Device, reason})
	f.Seq = e.Seq
	return f
}

func batchFailure(err error) error {
	var fault *store.Fault
	switch {
	case errors.As(err, &fault):
		return faultOf(fault)
	case errors.Is(err, errCut):
		return failure(Cut, "", "the message ended too early")
	}
	return failure(BadRequest, "", "the entries cannot be read: %v", err)
}

// pull gives entries.
func (in *incoming) pull() error {
	var r pullRequest
	if err := in.read(MaxMessage, &r); err != nil {
		return err
	}
	if err := checkVector(r.Seen); err != nil {
		return failure(BadRequest, "", "%v", err)
	}
	if r.Most < 1 || r.Bytes < 1 {
		return failure(BadRequest, "", "most and bytes: at least 1 is accepted")
	}
	st := in.Server.Book.Store()
	heads, err := st.Heads(in.Context())
	if err != nil {
		return err
	}
	entries, err := st.Since(in.Context(), r.Seen, min(r.Most, MaxEntries))
	if err != nil {
		return err
	}
	data, n, fault := writeBatch(entries, more(store.VectorOf(heads), r.Seen, nil), min(r.Bytes, PartBytes))
	if fault != nil && n == 0 {
		f := storeFailure(fault)
		f.Text = "at the host: " + f.Text
		f.Do = "the host has a damaged entry: bring back its last backup"
		return f
	}
	if data == nil {
		return fmt.Errorf("writing entries: %w", fault)
	}
	in.send(mediaLines, data)
	return nil
}
