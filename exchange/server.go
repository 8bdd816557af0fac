//go:build !js

package exchange

import (
	"compress/gzip"
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"time"

	"soundmetal/book"
)

// Server is the side of the host.
type Server struct {
	Book  *book.Book
	Peers *Peers
	Now   func() time.Time // nil: time.Now
	Log   *slog.Logger     // faults of the host; nil: none are logged

	files index
}

// Handler answers below /net/. It needs no cookie and looks at no session.
func (s *Server) Handler() http.Handler {
	if s.Now == nil {
		s.Now = time.Now
	}
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	mux := http.NewServeMux()
	open := func(pattern string, f func(*incoming) error) { mux.Handle(pattern, s.serve(false, f)) }
	known := func(pattern string, f func(*incoming) error) { mux.Handle(pattern, s.serve(true, f)) }
	open("GET "+pathHello, (*incoming).hello)
	open("POST "+pathPair, (*incoming).pair)
	known("POST "+pathHeads, (*incoming).heads)
	known("POST "+pathEntries, (*incoming).entries)
	known("POST "+pathPull, (*incoming).pull)
	known("GET "+pathWanted, (*incoming).wanted)
	known("PUT "+pathFiles+"{hash}", (*incoming).putFile)
	known("GET "+pathFiles+"{hash}", (*incoming).getFile)
	open("/net/", func(*incoming) error {
		return failure(BadRequest, "bring both programs up to date", "the host has nothing at this address")
	})
	return mux
}

// incoming is a request at the host.
type incoming struct {
	*Server
	*http.Request
	w      http.ResponseWriter
	device string // who asks; "" before it is known
}

func (s *Server) serve(known bool, f func(*incoming) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		in := &incoming{Server: s, Request: r, w: w}
		h := w.Header()
		h.Set(headVersion, strconv.Itoa(Version))
		h.Set(headTime, strconv.FormatInt(s.Now().UnixMilli(), 10))
		h.Set("Cache-Control", "no-store")
		h.Set("X-Content-Type-Options", "nosniff")
		if err := in.answer(known, f); err != nil {
			in.refuse(err)
		}
	})
}

func (in *incoming) answer(known bool, f func(*incoming) error) error {
	if v := in.Header.Get(headVersion); in.URL.Path != pathHello && v != strconv.Itoa(Version) {
		if v == "" || len(v) > 10 {
			return failure(NotVersion, "", "the request does not say its version of the exchange; this host speaks version %d", Version)
		}
		return failure(NotVersion, doVersion, "this host speaks version %d of the exchange, the device version %s", Version, v)
	}
	if known {
		token, ok := strings.CutPrefix(in.Header.Get("Authorization"), "Bearer ")
		if !ok {
			return failure(NotToken, "pair the device with the host", "this request has no key")
		}
		var err error
		if in.device, err = in.Peers.check(in.Context(), token); err != nil {
			return err
		}
	}
	return f(in)
}

// refuse answers with a failure.
func (in *incoming) refuse(err error) {
	if errors.Is(err, context.Canceled) {
		panic(http.ErrAbortHandler) // the device has gone; it must not take an empty answer for one
	}
	f := storeFailure(err)
	if f.Reason == Internal || f.Reason == Full {
		in.Log.Error("exchange", "path", in.URL.Path, "device", in.device, "err", err)
	}
	Refuse(in.w, f)
}

// Refuse answers with a failure, for a host that refuses a request before the
// Server sees it.
func Refuse(w http.ResponseWriter, f *Failure) {
	data, err := writeJSON(f)
	if err != nil {
		panic("exchange: " + err.Error()) // texts and a number: it cannot fail
	}
	h := w.Header()
	h.Set(headVersion, strconv.Itoa(Version))
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", mediaJSON)
	if f.Reason == TooMany {
		h.Set("Retry-After", "60")
	}
	w.WriteHeader(f.status())
	w.Write(data)
}

// body reads what was sent, unpacked, up to most bytes.
func (in *incoming) body(most int64) ([]byte, error) {
	in.Body = http.MaxBytesReader(in.w, in.Body, most)
	var from io.Reader = in.Body
	switch in.Header.Get("Content-Encoding") {
	case "":
	case "gzip":
		z, err := gzip.NewReader(in.Body)
		if err != nil {
			return nil, bodyFailure(err, most)
		}
		from = z
	default:
		return nil, failure(BadRequest, "", "only gzip is unpacked here")
	}
	data, err := io.ReadAll(io.LimitReader(from, most+1))
	if err == nil && int64(len(data)) > most {
		err = &http.MaxBytesError{Limit: most}
	}
	if err != nil {
		return nil, bodyFailure(err, most)
	}
	return data, nil
}

func bodyFailure(err error, most int64) error {
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &big):
		return failure(TooLarge, "", "the message is larger than %d bytes", most)
	case errors.Is(err, gzip.ErrHeader):
		return failure(BadRequest, "", "the message is not packed as it says")
	}
	return failure(Cut, "", "the message ended too early")
}

// read reads a message of JSON.
func (in *incoming) read(most int64, v any) error {
	if media, _, _ := strings.Cut(in.Header.Get("Content-Type"), ";"); media != mediaJSON {
		return failure(BadRequest, "", "only %s is read here", mediaJSON)
	}
	data, err := in.body(most)
	if err != nil {
		return err
	}
	if err := readJSON(data, v); err != nil {
		if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			return failure(Cut, "", "the message ended too early")
		}
		return failure(BadRequest, "", "the message cannot be read: %v", err)
	}
	return nil
}

// write answers with JSON.
func (in *incoming) write(v any) error {
	data, err := writeJSON(v)
	if err != nil {
		return err
	}
	in.send(mediaJSON, data)
	return nil
}

// send answers with bytes, packed where the device takes that.
func (in *incoming) send(media string, data []byte) {
	h := in.w.Header()
	h.Set("Content-Type", media)
	if media != mediaFile && len(data) >= gzipFrom && strings.Contains(in.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		data = pack(data)
	}
	h.Set("Content-Length", strconv.Itoa(len(data)))
	in.w.Write(data) // an answer that is lost is asked for again
}
