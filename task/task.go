// Package task is heavy computing as a piece of text in and a piece of text out,
// so that it can run beside the pages: in a goroutine of the native program, or
// in a worker of the browser that knows nothing of the book. An Input names all
// that the answer depends on; a Result says of which input it is the answer.
//
// The package keeps nothing, starts nothing and reads no clock. What arrives is
// checked against limits before it is believed.
package task

import (
	"context"
	"errors"
	"fmt"

	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// Version of the input and the result.
const Version = 1

// Heat is the only kind so far: plan.Thermal of one place.
const Heat = "heat"

// Levels that a task may be asked for. Coarse drops to the likely flame alone
// where the arc burns for hours; working is computed as it is.
const (
	Coarse  = "coarse"
	Working = "working"
)

var levels = map[string]conduct.Level{Coarse: conduct.Coarse, Working: conduct.Working}

// Progress is how far a task is.
type Progress struct {
	Run   string  `json:"run"`   // what is computed: "first heat, likely flame"
	Part  int     `json:"part"`  // its number
	Of    int     `json:"of"`    // and how many there are; a guess while a reading is fitted
	Event string  `json:"event"` // what is done to the part in it
	Time  float64 `json:"time"`  // time in the simulation, s
}

// Run carries out an input. Progress may be nil; it is told from the same
// goroutine. The error is one sentence for the reader, or ctx's.
func Run(ctx context.Context, input []byte, progress func(Progress)) ([]byte, error) {
	in, err := ReadInput(input)
	if err != nil {
		return nil, err
	}
	j, err := job.Read("job", []byte(in.Job))
	if err != nil {
		return nil, fmt.Errorf("the job of this task cannot be read: %w", err)
	}
	var shop *job.Shop
	if in.Shop != "" {
		s, err := job.ReadShop("shop", []byte(in.Shop))
		if err != nil {
			return nil, fmt.Errorf("the shop of this task cannot be read: %w", err)
		}
		shop = &s
	}
	ask := plan.ThermalAsk{Level: levels[in.Level], Quick: in.Level == Coarse, Item: in.Item}
	for _, r := range in.Readings {
		ask.Readings = append(ask.Readings, plan.HeatReading{Time: r.Time, T: r.T, At: r.At, Far: r.Far})
	}
	if progress != nil {
		ask.Progress = func(p plan.ThermalProgress) {
			progress(Progress{Run: p.Run, Part: p.Part, Of: p.Of, Event: p.Event, Time: float64(p.Simulated)})
		}
		if len(in.Readings) > 0 {
			progress(Progress{Run: "fitting your readings", Event: "preheat"})
		}
	}
	sys := q.SI
	if in.Units == job.US {
		sys = q.US
	}
	a, err := plan.Thermal(ctx, j, shop, sys, ask)
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return nil, ctx.Err()
	case err != nil:
		return nil, err
	}
	return Result{Version: Version, Kind: in.Kind, Input: in.Sum(), Plan: in.Plan, Place: in.Place, Item: in.Item, Level: in.Level, Readings: in.Readings, Answer: a}.Encode()
}
