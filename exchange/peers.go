package exchange

import (
	"cmp"
	"context"
	"crypto/subtle"
	"slices"
	"strings"
	"sync"
	"time"

	"soundmetal/store"
)

// Peers are the devices that were let in at a host. Each has a record of its
// own, so that another process may shut one out while the host runs: records
// are read again at every request.
type Peers struct {
	Keep Keep
	Own  string           // id of the host
	Now  func() time.Time // nil: time.Now

	mu     sync.Mutex // of the records
	codeMu sync.Mutex
	code   *code
	used   *usedCode
}

// Peer is a device as the host knows it.
type Peer struct {
	ID      string
	Name    string
	Paired  time.Time // zero: let in by hand, without a key of its own
	Revoked time.Time // zero: it is not
	Seen    time.Time // last exchange; zero: none yet
	Entries int64     // that it held then, of all devices
	Skew    time.Duration
	Waiting int64  // entries of its log that another device offered and the host did not take
	By      string // that device
}

// In says that the device is let in.
func (p Peer) In() bool { return p.Revoked.IsZero() && p.Waiting == 0 }

// peerRecord is the record "peer-ID".
type peerRecord struct {
	Name    string     `json:"name"`
	Token   store.Hash `json:"token"` // SHA-256 of the key's secret; zero: none
	Paired  time.Time  `json:"paired"`
	Revoked time.Time  `json:"revoked"`
}

// seenRecord is the record "seen-ID". Losing it loses nothing.
type seenRecord struct {
	At      time.Time `json:"at"`
	Entries int64     `json:"entries"`
	Skew    int64     `json:"skew_ms"`
}

// offers is the record "offers": logs that were offered and not taken.
type offers map[string]offer

type offer struct {
	By      string `json:"by"`
	Entries int64  `json:"entries"`
}

const (
	peersRecord  = "devices"
	offersRecord = "offers"
	mostOffers   = 50
)

func (p *Peers) now() time.Time {
	if p.Now == nil {
		return time.Now()
	}
	return p.Now()
}

// record reads the record of a device.
func (p *Peers) record(ctx context.Context, id string) (peerRecord, bool, error) {
	var r peerRecord
	if err := store.CheckDevice(id); err != nil {
		return r, false, nil
	}
	found, err := load(ctx, p.Keep, "peer-"+id, &r)
	return r, found, err
}

// put writes the record of a device and lists it.
func (p *Peers) put(ctx context.Context, id string, r peerRecord) error {
	if err := save(ctx, p.Keep, "peer-"+id, r); err != nil {
		return err
	}
	var ids []string
	if _, err := load(ctx, p.Keep, peersRecord, &ids); err != nil {
		return err
	}
	if slices.Contains(ids, id) {
		return nil
	}
	return save(ctx, p.Keep, peersRecord, append(ids, id))
}

// issue gives a device its key. A key that it had before no longer counts. Where
// the same request came before, nothing changes.
func (p *Peers) issue(ctx context.Context, id, name, secret string, again bool) (token string, err error) {
	token = id + "." + secret
	sum := store.HashOf([]byte(secret))
	p.mu.Lock()
	defer p.mu.Unlock()
	old, found, err := p.record(ctx, id)
	switch {
	case err != nil:
		return "", err
	case again && found && !old.Revoked.IsZero():
		return "", failure(Revoked, doRevoked, "this device was shut out at the host")
	case again && found && old.Token == sum:
		return token, nil
	}
	if err := p.put(ctx, id, peerRecord{Name: name, Token: sum, Paired: p.now()}); err != nil {
		return "", err
	}
	return token, p.forget(ctx, id)
}

// check finds the device of a key. The error is a *Failure where it is not let in.
func (p *Peers) check(ctx context.Context, token string) (string, error) {
	id, secret, _ := strings.Cut(token, ".")
	r, found, err := p.record(ctx, id)
	if err != nil {
		return "", err
	}
	const pair = "make a new code at the host, on Phones and devices, and pair the device again"
	sum := store.HashOf([]byte(secret))
	switch same := subtle.ConstantTimeCompare(sum[:], r.Token[:]) == 1; {
	case !found || r.Token.IsZero():
		return "", failure(NotToken, pair, "the host does not know this device's key")
	case !same:
		return "", failure(Replaced, "if nobody did that on purpose, a copy of the device is in use: "+doForked,
			"this device's key no longer counts: a device with the same id was paired on %s", r.Paired.UTC().Format("2 Jan 2006 15:04 MST"))
	case !r.Revoked.IsZero():
		return "", failure(Revoked, doRevoked, "this device was shut out at the host on %s; its entries there stay", r.Revoked.UTC().Format("2 Jan 2006 15:04 MST"))
	}
	return id, nil
}

// takes says whether the host takes entries of a device's log that another
// device brings; holds says that it has some already.
func (p *Peers) takes(ctx context.Context, id string, holds bool) (bool, Reason, error) {
	r, found, err := p.record(ctx, id)
	switch {
	case err != nil:
		return false, "", err
	case found && !r.Revoked.IsZero():
		return false, Revoked, nil
	case found, holds, id == p.Own:
		return true, "", nil
	}
	return false, UnknownDevice, nil
}

// Revoke shuts a device out, at once. Its entries stay.
func (p *Peers) Revoke(ctx context.Context, id string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	r, found, err := p.record(ctx, id)
	if err != nil {
		return err
	}
	if !found {
		if id == p.Own || store.CheckDevice(id) != nil {
			return failure(BadDevice, "", "there is no device %q to shut out", id)
		}
		r.Name = id
	}
	if r.Revoked.IsZero() {
		r.Revoked = p.now()
	}
	return p.put(ctx, id, r)
}

// Admit lets the entries of a device in that others bring. It gets no key.
func (p *Peers) Admit(ctx context.Context, id string) error {
	if err := store.CheckDevice(id); err != nil {
		return failure(BadDevice, "", "%v", err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	_, found, err := p.record(ctx, id)
	if err != nil {
		return err
	}
	if !found {
		if err := p.put(ctx, id, peerRecord{Name: id}); err != nil {
			return err
		}
	}
	return p.forget(ctx, id)
}

// forget takes a device off the list of offers.
func (p *Peers) forget(ctx context.Context, id string) error {
	all := offers{}
	if _, err := load(ctx, p.Keep, offersRecord, &all); err != nil {
		return err
	}
	if _, ok := all[id]; !ok {
		return nil
	}
	delete(all, id)
	return save(ctx, p.Keep, offersRecord, all)
}

// offered keeps that a device brought entries of one that is not known.
func (p *Peers) offered(ctx context.Context, id, by string, entries int64) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	all := offers{}
	if _, err := load(ctx, p.Keep, offersRecord, &all); err != nil {
		return err
	}
	if all[id] == (offer{by, entries}) || len(all) >= mostOffers && all[id] == (offer{}) {
		return nil
	}
	all[id] = offer{by, entries}
	return save(ctx, p.Keep, offersRecord, all)
}

// saw keeps when a device was here, and what it held.
func (p *Peers) saw(ctx context.Context, id string, entries int64, skew time.Duration) error {
	return save(ctx, p.Keep, "seen-"+id, seenRecord{p.now(), entries, skew.Milliseconds()})
}

// List gives the devices, those that wait first, then by name.
func (p *Peers) List(ctx context.Context) ([]Peer, error) {
	var ids []string
	if _, err := load(ctx, p.Keep, peersRecord, &ids); err != nil {
		return nil, err
	}
	var all []Peer
	for _, id := range ids {
		r, found, err := p.record(ctx, id)
		if err != nil {
			return nil, err
		}
		if !found {
			continue
		}
		var s seenRecord
		if _, err := load(ctx, p.Keep, "seen-"+id, &s); err != nil {
			return nil, err
		}
		all = append(all, Peer{ID: id, Name: r.Name, Paired: r.Paired, Revoked: r.Revoked, Seen: s.At, Entries: s.Entries, Skew: time.Duration(s.Skew) * time.Millisecond})
	}
	waiting := offers{}
	if _, err := load(ctx, p.Keep, offersRecord, &waiting); err != nil {
		return nil, err
	}
	for id, o := range waiting {
		if !slices.Contains(ids, id) {
			all = append(all, Peer{ID: id, Name: id, Waiting: o.Entries, By: o.By})
		}
	}
	slices.SortFunc(all, func(a, b Peer) int {
		return cmp.Or(cmp.Compare(b.Waiting, a.Waiting), cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.ID, b.ID))
	})
	return all, nil
}
