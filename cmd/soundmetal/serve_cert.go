package main

import (
	"crypto/tls"
	"log/slog"
	"os"
	"sync"
	"time"
)

// certFiles is a certificate in two files. A renewed one is taken without a
// restart: each handshake looks whether the files have changed.
type certFiles struct {
	cert, key string
	log       *slog.Logger

	mu   sync.Mutex
	pair *tls.Certificate
	seen [2]time.Time
}

// load reads the files.
func (c *certFiles) load() error {
	seen, err := c.changed()
	if err != nil {
		return err
	}
	pair, err := tls.LoadX509KeyPair(c.cert, c.key)
	c.seen = seen // not again before one of them changes
	if err != nil {
		return err
	}
	c.pair = &pair
	return nil
}

// changed is when the files were written.
func (c *certFiles) changed() (seen [2]time.Time, err error) {
	for i, path := range []string{c.cert, c.key} {
		info, err := os.Stat(path)
		if err != nil {
			return seen, err
		}
		seen[i] = info.ModTime()
	}
	return seen, nil
}

// get gives the certificate of a handshake. Where the new files do not go
// together, half of them written for example, the one before holds on.
func (c *certFiles) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if seen, err := c.changed(); err == nil && seen != c.seen {
		if err := c.load(); err != nil {
			c.log.Warn("the renewed certificate cannot be used yet; the one before holds on", "err", err)
		} else {
			c.log.Info("the renewed certificate is taken")
		}
	}
	return c.pair, nil
}
