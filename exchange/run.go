package exchange

import (
	"context"
	"errors"
	"time"
)

// Tries of Run after a failure that may pass by itself, without anything going
// over in between.
const (
	runTries  = 8
	firstWait = 500 * time.Millisecond
	longWait  = 20 * time.Second
)

// Run does steps until everything went over. It tries again after failures that
// may pass by themselves.
func (c *Client) Run(ctx context.Context) (Progress, error) {
	wait, tries := firstWait, 0
	var moved int64
	for {
		p, err := c.Step(ctx)
		if c.Tell != nil {
			c.Tell(p)
		}
		var f *Failure
		switch {
		case err == nil && p.Done:
			return p, nil
		case err == nil:
			if now := p.Sent + p.Fetched + int64(p.FilesSent+p.FilesFetched); now > moved {
				moved, wait, tries = now, firstWait, 0
			}
			continue
		case ctx.Err() != nil:
			return p, ctx.Err()
		case p.Done, !errors.As(err, &f), !f.Again():
			return p, err
		}
		if tries++; tries >= runTries {
			return p, err
		}
		if err := c.pause(ctx, wait); err != nil {
			return p, err
		}
		wait = min(2*wait, longWait)
	}
}

func (c *Client) pause(ctx context.Context, d time.Duration) error {
	if c.Wait != nil {
		return c.Wait(ctx, d)
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}
