//go:build !js

package exchange_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/exchange"
	"soundmetal/store"
	"soundmetal/store/memory"
)

// sender sends to the host what no client of ours sends.
type sender struct {
	*testing.T
	url, token string
}

// sender pairs a device by hand.
func (o *office) sender(t *testing.T, device string) sender {
	t.Helper()
	s := sender{t, o.front.URL, ""}
	var a struct{ Token string }
	body := fmt.Sprintf(`{"code":%q,"device":%q,"name":"by hand","try":"0123456789abcdef"}`, o.code(), device)
	if status, f, data := s.send("POST", "/net/pair", "application/json", body); status != 200 {
		t.Fatalf("%d %+v", status, f)
	} else if err := json.Unmarshal(data, &a); err != nil {
		t.Fatal(err)
	}
	s.token = a.Token
	return s
}

func (s sender) send(method, path, media, body string, head ...string) (int, exchange.Failure, []byte) {
	s.Helper()
	r, err := http.NewRequest(method, s.url+path, strings.NewReader(body))
	if err != nil {
		s.Fatal(err)
	}
	r.Header.Set("Exchange-Version", "1")
	r.Header.Set("Content-Type", media)
	r.Header.Set("Authorization", "Bearer "+s.token)
	for i := 0; i+1 < len(head); i += 2 {
		r.Header.Set(head[i], head[i+1])
		if head[i+1] == "" {
			r.Header.Del(head[i])
		}
	}
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	data, err := io.ReadAll(a.Body)
	if err != nil {
		s.Fatal(err)
	}
	var f exchange.Failure
	if a.StatusCode != http.StatusOK {
		if err := json.Unmarshal(data, &f); err != nil {
			s.Fatalf("%s %s: %d %q", method, path, a.StatusCode, data)
		}
	}
	return a.StatusCode, f, data
}

// batch writes entries as they are, without looking at them.
func batch(t tester, entries ...store.Entry) string {
	t.Helper()
	out := fmt.Sprintf(`{"entries":%d,"left":0}`+"\n", len(entries))
	for _, e := range entries {
		line, err := e.Line()
		if err != nil {
			t.Fatalf("%v", err)
		}
		out += string(line) + "\n"
	}
	return out
}

// log makes a log of n entries.
func logOf(t tester, device string, n int) []store.Entry {
	t.Helper()
	st := memory.New()
	for i := range n {
		_, err := st.Append(context.Background(), store.Batch{Device: device, Key: fmt.Sprintf("%s-%d", device, i), Now: morning.Add(time.Duration(i) * time.Second), After: store.Anywhere,
			Drafts: []store.Draft{{Kind: "customer.set", Body: json.RawMessage(fmt.Sprintf(`{"id":"c%d","set":{"name":"n%d"}}`, i%40, i))}}})
		if err != nil {
			t.Fatalf("%v", err)
		}
	}
	return since(t, st)
}

// resealed gives the entry a hash that fits its fields.
func resealed(e store.Entry) store.Entry {
	e.Hash = e.Sum()
	return e
}

// Whatever was done to a log, the host refuses it and says which entry of which
// device; nothing of the message is stored.
func TestTamperedLogsAreRefused(t *testing.T) {
	l := logOf(t, "phone", 6)
	other := logOf(t, "phone", 6)
	for i := range other[3:] { // the same id, written on at another place
		e := &other[3+i]
		e.Body = json.RawMessage(fmt.Sprintf(`{"id":"x","set":{"name":"other %d"}}`, i))
		e.Prev = other[2+i].Hash
		*e = resealed(*e)
	}
	changed := func(i int, f func(*store.Entry)) []store.Entry {
		all := append([]store.Entry(nil), l...)
		f(&all[i])
		return all
	}
	for _, c := range []struct {
		name   string
		have   []store.Entry // at the host before
		sent   string
		reason exchange.Reason
		seq    int64
	}{
		{"body changed", nil, batch(t, changed(3, func(e *store.Entry) { e.Body = json.RawMessage(`{"id":"c3","set":{"name":"forged"}}`) })...), exchange.Damaged, 4},
		{"time changed", nil, batch(t, changed(2, func(e *store.Entry) { e.Wall++ })...), exchange.Damaged, 3},
		{"body changed and sealed again", nil, batch(t, changed(3, func(e *store.Entry) { e.Body = json.RawMessage(`{"id":"c3"}`); *e = resealed(*e) })...), exchange.Broken, 5},
		{"put before its cause", nil, batch(t, changed(3, func(e *store.Entry) { e.Clock.MS = 5; *e = resealed(*e) })...), exchange.Broken, 4},
		{"one taken out", nil, batch(t, append(append([]store.Entry(nil), l[:2]...), l[3:]...)...), exchange.Gap, 4},
		{"two in the wrong order", nil, batch(t, l[0], l[2], l[1]), exchange.Gap, 3},
		{"beginning missing", nil, batch(t, l[3:]...), exchange.Gap, 4},
		{"another log of the same id", l[:5], batch(t, other[3:]...), exchange.Forked, 4},
		{"another first entry", l[:1], batch(t, resealed(store.Entry{Device: "phone", Seq: 1, Clock: l[0].Clock, Wall: 1, Kind: "x", Key: "k", Body: json.RawMessage(`{}`)})), exchange.Forked, 1},
		{"cut in a line", nil, batch(t, l...)[:900], exchange.Cut, 0},
		{"cut after a line", nil, strings.Replace(batch(t, l...), `"entries":6`, `"entries":7`, 1), exchange.Cut, 0},
		{"more than it says", nil, strings.Replace(batch(t, l...), `"entries":6`, `"entries":5`, 1), exchange.BadRequest, 0},
		{"other spelling", nil, strings.Replace(batch(t, l...), `"seq":2`, `"seq": 2`, 1), exchange.Malformed, 2},
		{"a field more", nil, strings.Replace(batch(t, l...), `"seq":2`, `"extra":1,"seq":2`, 1), exchange.BadRequest, 0},
		{"no number of entries", nil, "\n", exchange.BadRequest, 0},
		{"more than is taken at once", nil, `{"entries":1001,"left":0}` + "\n", exchange.BadRequest, 0},
		{"nothing", nil, "", exchange.Cut, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := newOffice(t)
			defer o.front.Close()
			s := o.sender(t, "phone")
			if _, err := o.book.Receive(t.Context(), c.have); err != nil {
				t.Fatal(err)
			}
			before := o.counts()
			status, f, _ := s.send("POST", "/net/entries", "application/jsonl", c.sent)
			if status == 200 || f.Reason != c.reason || f.Seq != c.seq || f.Text == "" {
				t.Errorf("%d %+v, want %s of entry %d", status, f, c.reason, c.seq)
			}
			if c.seq > 0 && (f.Device != "phone" || !strings.Contains(f.Text, fmt.Sprintf("entry %d of device phone", c.seq)) || f.Do == "") {
				t.Errorf("%q does not name the entry and say what to do: %q", f.Text, f.Do)
			}
			if got := o.counts(); got != before {
				t.Errorf("%+v is stored, %+v was", got, before)
			}
			if status, f, _ := s.send("POST", "/net/entries", "application/jsonl", batch(t, l...)); status != 200 && len(c.have) == 0 {
				t.Errorf("the true log is refused afterwards: %+v", f)
			}
		})
	}
}

// What is not of the protocol is refused with a sentence.
func TestStrangeRequests(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	s := o.sender(t, "phone")
	const js = "application/json"
	var bomb bytes.Buffer
	z := gzip.NewWriter(&bomb)
	z.Write(bytes.Repeat([]byte(" "), exchange.MaxMessage+1))
	z.Close()
	zero := strings.Repeat("0", 63) + "1"
	for _, c := range []struct {
		name, method, path, media, body string
		reason                          exchange.Reason
		head                            []string
	}{
		{"no key", "POST", "/net/heads", js, `{"heads":[]}`, exchange.NotToken, []string{"Authorization", ""}},
		{"wrong key", "POST", "/net/heads", js, `{"heads":[]}`, exchange.Replaced, []string{"Authorization", "Bearer phone.guess"}},
		{"key of nobody", "GET", "/net/wanted", "", "", exchange.NotToken, []string{"Authorization", "Bearer nobody.guess"}},
		{"key without id", "GET", "/net/wanted", "", "", exchange.NotToken, []string{"Authorization", "Bearer " + strings.Repeat("x", 5000)}},
		{"id of a path", "GET", "/net/wanted", "", "", exchange.NotToken, []string{"Authorization", "Bearer ../phone.x"}},
		{"no version", "POST", "/net/heads", js, `{"heads":[]}`, exchange.NotVersion, []string{"Exchange-Version", ""}},
		{"another version", "POST", "/net/heads", js, `{"heads":[]}`, exchange.NotVersion, []string{"Exchange-Version", "2"}},
		{"no such address", "GET", "/net/else", "", "", exchange.BadRequest, nil},
		{"wrong method", "DELETE", "/net/files/" + zero, "", "", exchange.BadRequest, nil},
		{"a form", "POST", "/net/heads", "application/x-www-form-urlencoded", "heads=1", exchange.BadRequest, nil},
		{"a field more", "POST", "/net/heads", js, `{"heads":[],"more":1}`, exchange.BadRequest, nil},
		{"something after", "POST", "/net/heads", js, `{"heads":[]}{}`, exchange.BadRequest, nil},
		{"cut", "POST", "/net/heads", js, `{"heads":[`, exchange.Cut, nil},
		{"a device twice", "POST", "/net/heads", js, `{"heads":[{"device":"a","seq":1,"hash":"` + zero + `","clock":"1.0"},{"device":"a","seq":2,"hash":"` + zero + `","clock":"1.0"}]}`, exchange.BadRequest, nil},
		{"no such device", "POST", "/net/heads", js, `{"heads":[{"device":"A B","seq":1,"hash":"` + zero + `","clock":"1.0"}]}`, exchange.BadRequest, nil},
		{"an endless log", "POST", "/net/pull", js, `{"seen":{"a":9223372036854775807},"most":1,"bytes":1}`, exchange.BadRequest, nil},
		{"nothing asked for", "POST", "/net/pull", js, `{"seen":{},"most":0,"bytes":1}`, exchange.BadRequest, nil},
		{"unpacks to too much", "POST", "/net/entries", "application/jsonl", bomb.String(), exchange.TooLarge, []string{"Content-Encoding", "gzip"}},
		{"not packed", "POST", "/net/entries", "application/jsonl", "plain", exchange.Cut, []string{"Content-Encoding", "gzip"}},
		{"packed otherwise", "POST", "/net/entries", "application/jsonl", "plain", exchange.BadRequest, []string{"Content-Encoding", "br"}},
		{"too large", "POST", "/net/entries", "application/jsonl", strings.Repeat("x", exchange.MaxMessage+1), exchange.TooLarge, nil},
		{"a file of another name", "PUT", "/net/files/" + zero, "", "abc", exchange.Damaged, nil},
		{"a file that nothing names", "PUT", "/net/files/" + store.HashOf([]byte("abc")).String(), "", "abc", exchange.BadRequest, nil},
		{"no hash", "PUT", "/net/files/..%2f..%2fx", "", "abc", exchange.BadRequest, nil},
		{"a file that is not there", "GET", "/net/files/" + zero, "", "", exchange.NotHere, nil},
	} {
		status, f, _ := s.send(c.method, c.path, c.media, c.body, c.head...)
		if status == 200 || f.Reason != c.reason || f.Text == "" {
			t.Errorf("%s: %d %+v, want %s", c.name, status, f, c.reason)
		}
	}
	if n := o.counts(); n.Files != 0 {
		t.Errorf("%+v was stored", n)
	}
}

// Codes: wrong, guessed, used, too old.
func TestCodes(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	ctx := t.Context()
	join := func(id, code string) error {
		return phoneOn(t, id, memory.New()).client.Join(ctx, o.front.URL, code)
	}
	failed(t, join("a", "0000 0000"), exchange.BadCode, "no code", "make a new one")
	code := o.code()
	bad := "1111 1111"
	if bad == code {
		bad = "1111 1112"
	}
	failed(t, join("a", bad), exchange.BadCode, "not the code")
	failed(t, join("a", "12"), exchange.BadCode, "8 digits")
	if err := join("a", " "+strings.ReplaceAll(code, " ", "-")+". "); err != nil {
		t.Errorf("a code with other signs between: %v", err)
	}
	failed(t, join("b", code), exchange.BadCode, "used")
	failed(t, join("a", code), exchange.BadCode, "used")
	code = o.code()
	o.now = o.now.Add(exchange.CodeTime + time.Second)
	failed(t, join("b", code), exchange.BadCode, "older than 10 minutes")
	if _, ok := o.peers.Code(); ok {
		t.Error("a code that is too old is shown")
	}
	code = o.code()
	for i := range 20 {
		err := join("b", fmt.Sprintf("%08d", i))
		if i < 10 {
			failed(t, err, exchange.BadCode)
		} else {
			failed(t, err, exchange.TooMany, "too many")
		}
	}
	failed(t, join("b", code), exchange.TooMany)
	old := o.code()
	code = o.code()
	failed(t, join("b", old), exchange.BadCode)
	if err := join("b", code); err != nil {
		t.Errorf("a fresh code: %v", err)
	}
	failed(t, join("office", o.code()), exchange.BadDevice, "copy of the host", "empty folder")
	long := phoneOn(t, "c", memory.New())
	long.client.Name = strings.Repeat("x", exchange.MaxName+1)
	failed(t, long.client.Join(ctx, o.front.URL, o.code()), exchange.BadDevice)
	// what the host keeps holds no key in the clear
	data, err := o.peers.Keep.Load(ctx, "peer-a")
	if err != nil || len(data) == 0 || bytes.Contains(data, []byte("a.")) && bytes.Contains(data, []byte("Bearer")) {
		t.Errorf("%q %v", data, err)
	}
}

// A device that is shut out is refused at once, and its entries stay; others may
// not bring more of them. A new code lets it in again.
func TestRevoked(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	a, b := o.joined("phone-a"), o.joined("phone-b")
	job := a.filled(2, 1)
	a.run()
	had := o.counts()
	if err := o.peers.Revoke(t.Context(), "phone-a"); err != nil {
		t.Fatal(err)
	}
	a.do(book.AddNote{Job: job, Text: "after"})
	_, err := a.client.Run(t.Context())
	failed(t, err, exchange.Revoked, "shut out", "its entries there stay")
	if s := a.status(); s.Entries != 1 || s.Failure == nil || s.Failure.Reason != exchange.Revoked {
		t.Errorf("the phone says %+v", s)
	}
	if got := o.counts(); got != had {
		t.Errorf("the office holds %+v, had %+v", got, had)
	}
	b.run()
	if _, err := b.book.Receive(t.Context(), since(t, a.st)); err != nil { // by file
		t.Fatal(err)
	}
	_, err = b.client.Run(t.Context())
	failed(t, err, exchange.Revoked, "phone-a")
	if s := b.status(); s.Entries != 1 {
		t.Errorf("phone-b says %+v", s)
	}
	if err := a.client.Join(t.Context(), o.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	a.run()
	b.run()
	same(t, o.place, a.place, b.place)
	failed(t, o.peers.Revoke(t.Context(), "office"), exchange.BadDevice)
}

// The log of a device that the host does not know waits on the device that
// brings it, until it is let in; the rest goes over.
func TestUnknownDeviceWaits(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	stranger := newPlace(t, "stranger")
	stranger.filled(3, 1)
	p := o.joined("phone")
	p.filled(1, 0)
	for _, e := range since(t, stranger.st) { // by file
		if _, err := p.book.Receive(t.Context(), []store.Entry{e}); err != nil {
			t.Fatal(err)
		}
	}
	_, err := p.client.Run(t.Context())
	failed(t, err, exchange.UnknownDevice, "stranger", "Phones and devices")
	heads, err := stranger.st.Heads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if s := p.status(); s.Entries != heads[0].Seq || !s.Success.IsZero() {
		t.Errorf("the phone says %+v, want %d entries only here", s, heads[0].Seq)
	}
	peers, err := o.peers.List(t.Context())
	if err != nil || peers[0].ID != "stranger" || peers[0].Waiting != heads[0].Seq || peers[0].By != "phone" || peers[0].In() {
		t.Fatalf("the list: %+v %v", peers, err)
	}
	if err := o.peers.Admit(t.Context(), "stranger"); err != nil {
		t.Fatal(err)
	}
	p.run()
	if s := p.status(); s.Entries != 0 {
		t.Errorf("the phone says %+v", s)
	}
	for _, e := range logsOf(t, stranger).files { // its photo comes by file as well
		if _, err := p.st.PutBlob(t.Context(), e); err != nil {
			t.Fatal(err)
		}
	}
	p.run()
	same(t, o.place, p.place)
}

// Two devices with one id, from a copied phone: found out, said with what to do,
// and nothing of the others is held up.
func TestCopiedDevice(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	p := o.joined("phone")
	job := p.filled(2, 0)
	p.run()
	twin := phoneOn(t, "phone", storeOf(t, p.st, 0))
	record, err := p.keep.Load(t.Context(), "link")
	if err != nil {
		t.Fatal(err)
	}
	if err := twin.keep.Save(t.Context(), "link", record); err != nil {
		t.Fatal(err)
	}
	twin.now, twin.keys = p.now, 50
	for range 3 {
		p.do(book.AddNote{Job: job, Text: "of the phone"})
	}
	twin.do(book.AddNote{Job: job, Text: "of the copy"})
	o.do(book.AddNote{Job: job, Text: "of the office"})
	p.run()
	_, err = twin.client.Run(t.Context())
	failed(t, err, exchange.Forked, "of device phone", "copied folder or phone", "new with an empty folder")
	if s := twin.status(); s.Entries != 1 || s.Failure.Reason != exchange.Forked {
		t.Errorf("the copy says %+v", s)
	}
	heads, err := twin.st.Heads(t.Context())
	if err != nil || len(heads) != 2 {
		t.Errorf("the log of the office did not reach the copy: %v %v", heads, err)
	}
	// the other way round: the copy was first
	for range 5 {
		twin.do(book.AddNote{Job: job, Text: "of the copy"})
	}
	_, err = twin.client.Run(t.Context())
	failed(t, err, exchange.Forked)
	// pairing the copy takes the key of the original away, and says so
	if err := twin.client.Join(t.Context(), o.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	_, err = p.client.Run(t.Context())
	failed(t, err, exchange.Replaced, "same id was paired", "copied folder or phone")
}

// A damaged entry on the phone stops its own log there, before it; the rest of
// the book goes over, and the sentence names it.
func TestDamagedHere(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	good := logOf(t, "phone", 9)
	good[5].Body = json.RawMessage(`{"id":"c5","set":{"name":"rotten"}}`)
	p := phoneOn(t, "phone", memory.Open(nil, append(good, logOf(t, "second", 4)...), nil, nil))
	if err := o.peers.Admit(t.Context(), "second"); err != nil {
		t.Fatal(err)
	}
	if err := p.client.Join(t.Context(), o.front.URL, o.code()); err != nil {
		t.Fatal(err)
	}
	_, err := p.client.Run(t.Context())
	failed(t, err, exchange.Damaged, "entry 6 of device phone", "backup")
	heads, err := o.st.Heads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if v := store.VectorOf(heads); v["phone"] != 5 || v["second"] != 4 {
		t.Errorf("the office has %v", v)
	}
	if s := p.status(); s.Entries != 4 {
		t.Errorf("only here: %d, want 4", s.Entries)
	}
}

// A host whose book was replaced by an older backup: what it lost comes back.
func TestHostWentBack(t *testing.T) {
	o := newOffice(t)
	defer o.front.Close()
	o.filled(2, 1)
	p := o.joined("phone")
	p.filled(4, 2)
	p.run()
	old := officeOn(t, storeOf(t, o.st, 2))
	old.peers.Keep, old.now = o.peers.Keep, o.now
	old.server.Peers = &exchange.Peers{Keep: o.peers.Keep, Own: "office"}
	defer old.front.Close()
	p.client.HTTP = elsewhere{old.front.URL}
	p.run()
	same(t, old.place, p.place)
}

// elsewhere sends every request to another address.
type elsewhere struct{ url string }

func (e elsewhere) Do(ctx context.Context, m exchange.Message) (*exchange.Reply, error) {
	u, err := url.Parse(m.URL)
	if err != nil {
		return nil, err
	}
	m.URL = e.url + u.RequestURI()
	return exchange.Over(http.DefaultClient).Do(ctx, m)
}
