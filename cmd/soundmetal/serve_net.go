package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"soundmetal/exchange"
)

// folderKeep keeps the records of the exchange as files of the book's folder.
type folderKeep struct{ dir string }

var recordName = regexp.MustCompile(`^[a-z0-9-]{1,60}$`)

func keepOf(data string) folderKeep { return folderKeep{filepath.Join(data, "exchange")} }

func (k folderKeep) path(name string) (string, error) {
	if !recordName.MatchString(name) {
		return "", fmt.Errorf("%q is not the name of a record", name)
	}
	return filepath.Join(k.dir, name+".json"), nil
}

// Load is described at exchange.Keep.
func (k folderKeep) Load(_ context.Context, name string) ([]byte, error) {
	path, err := k.path(name)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// Save is described at exchange.Keep.
func (k folderKeep) Save(_ context.Context, name string, data []byte) error {
	path, err := k.path(name)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(k.dir, 0o700); err != nil {
		return err
	}
	return writeFile(path, data)
}

// peersOf are the devices that were let in at a book.
func peersOf(data string, b *nativeBook) *exchange.Peers {
	return &exchange.Peers{Keep: keepOf(data), Own: b.Device()}
}

// linkOf is the exchange of this book with the book of another computer.
func linkOf(data string, b *nativeBook) *exchange.Client {
	name, err := os.Hostname()
	if err != nil || len(name) > exchange.MaxName {
		name = b.Device()
	}
	return &exchange.Client{Book: b.Book, Keep: keepOf(data), Name: name, Shared: true}
}

// netPart answers the devices that exchange with this book, outside the login:
// each request has a key of its own. Guessing a code is slowed down.
func netPart(b *nativeBook, peers *exchange.Peers, log *slog.Logger) http.Handler {
	inner := (&exchange.Server{Book: b.Book, Peers: peers, Log: log}).Handler()
	slow := newTries()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/net/pair" && !slow.may(r.RemoteAddr) {
			exchange.Refuse(w, &exchange.Failure{Reason: exchange.TooMany, Text: "too many codes were tried from there", Do: "wait half a minute, then try again"})
			return
		}
		inner.ServeHTTP(w, r)
	})
}

// refreshEvery is how often a running host looks for entries that another
// process wrote: an import, an exchange on the command line.
const refreshEvery = 5 * time.Second

// refresh does so until ctx ends.
func refresh(ctx context.Context, b *nativeBook, log *slog.Logger) {
	t := time.NewTicker(refreshEvery)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
			if err := b.Refresh(ctx); err != nil && ctx.Err() == nil {
				log.Warn("looking for new entries", "err", err)
			}
		}
	}
}
