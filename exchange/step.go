package exchange

import (
	"context"
	"errors"
	"slices"

	"soundmetal/store"
)

// Phase is what a step did.
type Phase string

// Phases in their order.
const (
	Comparing Phase = "compare" // where the logs end on both sides
	Sending   Phase = "send"
	Fetching  Phase = "fetch"
	Asking    Phase = "ask" // which files the host lacks
	SendFile  Phase = "send-file"
	FetchFile Phase = "fetch-file"
	Ended     Phase = "done"
)

// Progress is how far an exchange has come. Sent and Fetched count from when
// this client began it.
type Progress struct {
	Phase      Phase
	Done       bool  // nothing is left to do
	Send       int64 // entries still to send
	Fetch      int64 // entries still to fetch
	SendFiles  int   // files still to send, as far as they are known
	FetchFiles int   // the same, to fetch

	Sent, Fetched           int64
	FilesSent, FilesFetched int
	Bytes                   int64 // of entries and files that went over, unpacked
}

// session is an exchange on its way. It is held in memory only: one that is
// lost begins again with comparing, and finds what is left.
type session struct {
	Progress
	theirs  store.Vector        // what the host has confirmed
	stop    map[string]*Failure // logs that are not exchanged, and why
	asked   bool
	more    bool // the host lacks more files than it named
	out, in []store.Hash
	lacking map[store.Hash]bool     // files that the host has not
	skip    map[store.Hash]*Failure // files that did not go over
	tries   map[store.Hash]int
	gaps    int
	moved   bool         // something went over since the sides were compared
	kept    store.Vector // what the host confirmed in this exchange
}

const (
	mostGaps  = 3 // times that the host may find the beginning missing
	fileTries = 2
)

// Step does the next short piece of the exchange: one request. After an error
// the next Step begins again with comparing; the error is a *Failure, and Again
// says whether that may help by itself.
func (c *Client) Step(ctx context.Context) (Progress, error) {
	c.step.Lock()
	defer c.step.Unlock()
	if c.at == nil && c.Shared {
		c.link = nil
	}
	if err := c.load(ctx); err != nil {
		return Progress{}, err
	}
	if c.link.Token == "" {
		return Progress{}, failure(NotJoined, "type the code that the host shows on Phones and devices", "this device is not let in at any host")
	}
	c.target = target{c.link.URL, c.link.Token}
	s := c.at
	if s == nil {
		s = &session{stop: map[string]*Failure{}, skip: map[store.Hash]*Failure{}, tries: map[store.Hash]int{}, kept: store.Vector{}}
		c.at = s
	}
	err := c.next(ctx)
	if s.Done {
		c.at = nil
	}
	if err == nil {
		return s.Progress, nil
	}
	f := c.explain(err)
	s.theirs = nil
	if !f.Again() {
		c.at = nil
	}
	if ctx.Err() == nil && c.link != nil {
		c.link.Failure, c.link.FailedAt = f, c.now()
		if err := c.save(ctx); err != nil {
			return s.Progress, err
		}
	}
	return s.Progress, f
}

// explain makes every error a failure with its sentence.
func (c *Client) explain(err error) *Failure {
	var f *Failure
	var fault *store.Fault
	switch {
	case errors.As(err, &f):
		return f
	case errors.As(err, &fault):
		return faultOf(fault)
	case errors.Is(err, store.ErrFull):
		return failure(Here, "make room on this device; nothing is lost", "this device has no room left")
	}
	return failure(Here, "load the page again; if it stays, take the whole book away as a file", "this device could not read or write its book: %v", err)
}

// next does the next piece.
func (c *Client) next(ctx context.Context) error {
	s := c.at
	if s.theirs == nil {
		return c.compare(ctx)
	}
	heads, err := c.Book.Store().Heads(ctx)
	if err != nil {
		return err
	}
	mine := store.VectorOf(heads)
	s.Send, s.Fetch = more(mine, s.theirs, s.stopped), more(s.theirs, mine, s.stopped)
	own := c.Book.Device()
	switch {
	case s.theirs[own] > mine[own] && !s.stopped(own): // the end of the own log was lost here: it comes back first
		return c.fetch(ctx, mine)
	case s.Send > 0:
		return c.push(ctx, mine)
	case s.Fetch > 0:
		return c.fetch(ctx, mine)
	case !s.asked:
		return c.ask(ctx)
	case len(s.out) > 0:
		return c.sendFile(ctx)
	case s.more:
		return c.ask(ctx)
	case len(s.in) > 0:
		return c.fetchFile(ctx)
	}
	return c.finish(ctx)
}

func (s *session) stopped(device string) bool { return s.stop[device] != nil }

// with is a vector that asks for nothing of the logs that are not exchanged.
func (s *session) with(v store.Vector) store.Vector {
	v = v.Clone()
	for device := range s.stop {
		v[device] = beyond
	}
	return v
}

// compare asks where the host's logs end.
func (c *Client) compare(ctx context.Context) error {
	s, st := c.at, c.Book.Store()
	s.Phase = Comparing
	heads, err := st.Heads(ctx)
	if err != nil {
		return err
	}
	if heads == nil {
		heads = []store.Head{}
	}
	var a headsAnswer
	if err := c.post(ctx, pathHeads, headsMessage{heads}, &a); err != nil {
		return err
	}
	if err := checkHeads(a.Heads); err != nil {
		return failure(NotOurs, doVersion, "the host's list of logs cannot be used: %v", err)
	}
	parted, err := compare(ctx, st, heads, a.Heads)
	if err != nil {
		return err
	}
	theirs := store.VectorOf(a.Heads)
	clear(s.stop)
	for _, h := range a.Held {
		s.stop[h.Device] = heldOf(h)
	}
	for _, p := range append(parted, a.Parted...) {
		s.stop[p.Device] = partedOf(p)
	}
	confirmed := store.Vector{}
	for device, seq := range theirs {
		if f := s.stop[device]; f != nil && f.Reason == Forked {
			seq = max(0, min(c.link.Confirmed[device], f.Seq-1))
		}
		if seq > 0 {
			confirmed[device] = seq
		}
	}
	c.link.Confirmed, c.link.Host, c.link.HostName = confirmed, a.Device, a.Name
	s.theirs, s.asked, s.more, s.out, s.in = theirs, false, false, nil, nil
	mine := store.VectorOf(heads)
	s.Send, s.Fetch = more(mine, theirs, s.stopped), more(theirs, mine, s.stopped)
	s.moved = false
	if err := c.save(ctx); err != nil {
		return err
	}
	for device, seq := range s.kept {
		if theirs[device] < seq {
			s.kept = store.Vector{}
			return failure(Internal, "look whether an old copy of its book was brought back there; this device sends its entries again", "the host has lost entries of device %s that it had confirmed", device)
		}
	}
	return nil
}

func (c *Client) most() int {
	if c.Most < 1 || c.Most > PartEntries {
		return PartEntries
	}
	return c.Most
}

func (c *Client) part() int {
	if most := c.most(); c.link.Part < 1 || c.link.Part > most {
		c.link.Part = most
	}
	return c.link.Part
}

// thinner makes the next part smaller where a line cuts, and larger again where
// it holds.
func (c *Client) thinner(err error) {
	var f *Failure
	switch {
	case err == nil:
		c.link.Part = min(c.most(), 2*c.part())
	case errors.As(err, &f) && (f.Reason == NoAnswer || f.Reason == Cut):
		c.link.Part = max(1, c.part()/2)
	}
}

// push sends the next part of entries.
func (c *Client) push(ctx context.Context, mine store.Vector) error {
	s := c.at
	s.Phase = Sending
	entries, err := c.Book.Store().Since(ctx, s.with(s.theirs), c.part())
	if err != nil {
		return err
	}
	data, n, fault := writeBatch(entries, 0, PartBytes)
	if data == nil {
		return fault
	}
	if n == 0 {
		return c.block(fault)
	}
	a, err := c.send(ctx, "POST", pathEntries, mediaLines, data, MaxMessage)
	var taken takenAnswer
	if err == nil {
		err = a.read(&taken)
	}
	c.thinner(err)
	if err != nil {
		return c.block(err)
	}
	if err := checkVector(taken.Seen); err != nil || taken.New+taken.Known != n {
		return errStrange
	}
	for device, seq := range taken.Seen {
		s.theirs[device] = max(s.theirs[device], seq)
		c.link.Confirmed[device], s.kept[device] = s.theirs[device], s.theirs[device]
	}
	s.Sent += int64(n)
	s.Bytes += int64(a.sent)
	s.Send, s.moved = more(mine, s.theirs, s.stopped), true
	return c.save(ctx)
}

// block stops the exchange of one log, where the failure is that log's; the
// others go on. Where entries are missing before those sent, the other side was
// not where it was thought to be: it is asked again.
func (c *Client) block(err error) error {
	f := c.explain(err)
	s := c.at
	switch f.Reason {
	case Gap:
		if s.gaps++; s.gaps <= mostGaps {
			s.theirs = nil
			return nil
		}
	case Forked, Broken, Malformed, Damaged, UnknownDevice:
	case Revoked: // of another device's log; this device's own key is refused without an entry
		if f.Seq == 0 {
			return f
		}
	default:
		return f
	}
	if f.Device == "" || s.stopped(f.Device) {
		return f
	}
	s.stop[f.Device] = f
	return nil
}

// fetch takes the next part of entries.
func (c *Client) fetch(ctx context.Context, mine store.Vector) error {
	s := c.at
	s.Phase = Fetching
	body, err := writeJSON(pullRequest{s.with(mine), c.part(), PartBytes})
	if err != nil {
		return err
	}
	a, err := c.send(ctx, "POST", pathPull, mediaJSON, body, MaxMessage)
	var entries []store.Entry
	if err == nil {
		if a.media != mediaLines {
			return errStrange
		}
		entries, _, err = readBatch(a.data)
		if errors.Is(err, errCut) {
			err = failure(NoAnswer, "", "the answer of the host ended too early")
		}
	}
	c.thinner(err)
	if err != nil {
		return c.block(err)
	}
	if len(entries) == 0 { // the host has less than it said
		s.theirs = nil
		return nil
	}
	fresh, err := c.Book.Receive(ctx, entries)
	if err != nil {
		return c.block(err)
	}
	for i := range entries {
		e := &entries[i]
		s.theirs[e.Device] = max(s.theirs[e.Device], e.Seq)
		c.link.Confirmed[e.Device] = max(c.link.Confirmed[e.Device], e.Seq)
		mine[e.Device] = max(mine[e.Device], e.Seq)
	}
	s.Fetched += int64(len(fresh))
	s.Bytes += int64(len(a.data))
	s.Fetch, s.moved = more(s.theirs, mine, s.stopped), true
	return c.save(ctx)
}

// ask finds out which files go over.
func (c *Client) ask(ctx context.Context) error {
	s, st := c.at, c.Book.Store()
	s.Phase = Asking
	var a wantedAnswer
	if err := c.get(ctx, pathWanted, &a); err != nil {
		return err
	}
	if len(a.Files) > MaxNamed {
		return errStrange
	}
	have, err := held(ctx, st)
	if err != nil {
		return err
	}
	missing, err := c.files.wanted(ctx, st)
	if err != nil {
		return err
	}
	s.lacking, s.out, s.in = map[store.Hash]bool{}, nil, nil
	c.link.Wanted = a.Files
	for _, h := range a.Files {
		s.lacking[h] = true
		if have[h] && s.skip[h] == nil {
			s.out = append(s.out, h)
		}
	}
	for _, h := range missing {
		if !s.lacking[h] && s.skip[h] == nil {
			s.in = append(s.in, h)
		}
	}
	s.asked, s.more = true, a.More && len(s.out) > 0
	s.SendFiles, s.FetchFiles = len(s.out), len(s.in)
	return c.save(ctx)
}

// finish ends the exchange, or goes on where one of the sides has moved on.
func (c *Client) finish(ctx context.Context) error {
	s := c.at
	if s.moved {
		return c.compare(ctx)
	}
	s.Phase, s.Done = Ended, true
	if f := s.trouble(); f != nil {
		return f
	}
	c.link.Success, c.link.Failure = c.now(), nil
	return c.save(ctx)
}

// trouble is the worst of what did not go over; nil where everything did.
func (s *session) trouble() *Failure {
	var worst *Failure
	rank := func(f *Failure) int { return slices.Index([]Reason{UnknownDevice, Revoked}, f.Reason) }
	for _, device := range slices.Sorted(mapKeys(s.stop)) {
		if f := s.stop[device]; worst == nil || rank(f) < rank(worst) {
			worst = f
		}
	}
	if worst != nil {
		return worst
	}
	for _, f := range s.skip {
		return f
	}
	return nil
}
