package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"soundmetal/joint"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// stop ends the plan of an item where a method cannot answer, and lets the other
// items of the job go on: what to look at and what steel it can be stay, and the
// reason stands where the figures would have been.
func (w *work) stop(item *Item, why error) {
	w.stopped = true
	w.rod, w.held, w.saved, w.energyLimits = rodPlan{}, holding{}, nil, nil
	w.gouges, w.dig, w.fill = nil, source.Result[joint.Excavation]{}, source.Result[joint.Layers]{}
	item.Groove, item.Beads, item.Heat = nil, nil, nil
	item.Steels = w.steelRows(nil)
	s, _ := w.section("stop", "No plan past here")
	text := w.reason(why)
	if !strings.Contains(text, "engineer") {
		text += "; ask a welding engineer"
	}
	s.add(Hold, capital(text)+" No method here plans that: do not weld it by guess.", nil)
	item.Sections = []Section{w.lookSection(), w.steelSection(), s}
}

// reason is an error in the words of the welder: one sentence, both systems.
func (w *work) reason(err error) string {
	var outside *source.OutOfRange
	if !errors.As(err, &outside) {
		return err.Error()
	}
	value := func(v float64) string {
		switch {
		case outside.Unit == "mm":
			return (q.Length(v) * q.Millimetre).Text(w.sys)
		case outside.Unit != "":
			return fmt.Sprintf("%.4g %s", v, outside.Unit)
		}
		return fmt.Sprintf("%.4g", v)
	}
	limit := "more than " + value(outside.High)
	if outside.Value < outside.Low {
		limit = "less than " + value(outside.Low)
	} else if math.IsNaN(outside.Value) || math.IsInf(outside.High, 1) {
		limit = "not a figure that the method takes"
	}
	text := fmt.Sprintf("%s: %s, %s", outside.Quantity, value(outside.Value), limit)
	if outside.Instead != "" {
		text += "; " + outside.Instead
	}
	return text
}
