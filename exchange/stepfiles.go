package exchange

import (
	"context"
	"errors"
	"iter"
	"maps"
	"slices"

	"soundmetal/store"
)

func mapKeys[K comparable, V any](m map[K]V) iter.Seq[K] { return maps.Keys(m) }

// sendFile sends one file that the host lacks.
func (c *Client) sendFile(ctx context.Context) error {
	s := c.at
	s.Phase = SendFile
	h := s.out[0]
	data, err := c.Book.Blob(ctx, h)
	if errors.Is(err, store.ErrNoBlob) || errors.Is(err, store.ErrDamagedBlob) {
		s.out = s.out[1:]
		return s.pass(h, failure(Damaged, doDamaged, "file %s on this device: %v", h.String()[:12], err))
	}
	if err != nil {
		return err
	}
	a, err := c.send(ctx, "PUT", pathFiles+h.String(), mediaFile, data, MaxMessage)
	var stored storedAnswer
	if err == nil {
		err = a.read(&stored)
	}
	if err != nil {
		s.out = append(s.out[1:], h) // the others are not held up by one that does not get through
		return c.fileFailed(h, err)
	}
	s.out = s.out[1:]
	c.link.Wanted = slices.DeleteFunc(c.link.Wanted, func(w store.Hash) bool { return w == h })
	s.FilesSent++
	s.Bytes += int64(len(data))
	s.SendFiles, s.moved = len(s.out), true
	return c.save(ctx)
}

// fetchFile takes one file that this device lacks.
func (c *Client) fetchFile(ctx context.Context) error {
	s := c.at
	s.Phase = FetchFile
	h := s.in[0]
	a, err := c.send(ctx, "GET", pathFiles+h.String(), "", nil, store.MaxBlob)
	if err == nil && store.HashOf(a.data) != h {
		err = failure(NoAnswer, "", "file %s came other than it is at the host", h.String()[:12])
	}
	if err != nil {
		s.in = append(s.in[1:], h)
		return c.fileFailed(h, err)
	}
	if _, err := c.Book.Store().PutBlob(ctx, a.data); err != nil {
		return err
	}
	s.in = s.in[1:]
	s.FilesFetched++
	s.Bytes += int64(len(a.data))
	s.FetchFiles, s.moved = len(s.in), true
	c.only.valid = false
	return nil
}

// fileFailed leaves a file out for this time, where it failed more than once.
func (c *Client) fileFailed(h store.Hash, err error) error {
	f := c.explain(err)
	s := c.at
	switch f.Reason {
	case NotHere, Damaged, BadRequest, TooLarge:
		return s.pass(h, f)
	case NoAnswer, Cut, Internal:
		if s.tries[h]++; s.tries[h] >= fileTries && len(s.out)+len(s.in) > 1 {
			s.skip[h] = f
		}
	}
	return f
}

// pass leaves a file out.
func (s *session) pass(h store.Hash, f *Failure) error {
	s.skip[h] = f
	drop := func(x store.Hash) bool { return x == h }
	s.out, s.in = slices.DeleteFunc(s.out, drop), slices.DeleteFunc(s.in, drop)
	s.SendFiles, s.FetchFiles = len(s.out), len(s.in)
	return nil
}
