package plan

import (
	"errors"
	"fmt"
	"math"

	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Torch and bottles: what the torch takes, what the bottles can give at today's
// temperature and contents, and whether the gas lasts for the first heat.

// fuelGas is the fuel gas of a torch, and whether it burns with oxygen.
func fuelGas(k job.TorchKind) (g job.Gas, oxygen bool) {
	switch k {
	case "oxy-acetylene":
		return "acetylene", true
	case "oxy-propane":
		return "propane", true
	case "air-propane":
		return "propane", false
	}
	return "", false
}

// heatTime is the torch time to the first heat over all items.
func (r *rigWork) heatTime() (t q.Of[q.Time]) {
	for _, w := range r.planned {
		if one, ok := w.torchTime(); ok {
			t.Low, t.High = t.Low+one.Value.Low, t.High+one.Value.High
		}
	}
	return t
}

// gasSection is every torch with its bottles.
func (r *rigWork) gasSection() Section {
	s := Section{ID: "gas", Title: "Torch and bottles"}
	time := r.heatTime()
	if time.High == 0 {
		s.add(Note, "The steel is warm enough as it is: the torch only takes the chill and the wet off.", nil)
	}
	if len(r.kit().Torches) == 0 {
		if time.High > 0 {
			s.add(Do, "No torch in the shop file: the heat of this job wants one. Give its kind and its power.", nil)
		}
		return s
	}
	for i, t := range r.kit().Torches {
		r.torchLines(&s, figures{fmt.Sprintf("gas.%d", i+1)}, t, time)
	}
	return s
}

func (r *rigWork) torchLines(s *Section, f figures, t job.Torch, time q.Of[q.Time]) {
	gas, oxy := fuelGas(t.Kind)
	if gas == "" || !t.Power.Known {
		s.add(Do, "Kind or power of the torch not known: read the heat on its plate or its gas from the orifice table, then the bottles can be counted.", nil)
		return
	}
	use, err := power.GasFor(gas, t.Power.V, oxy)
	if err != nil {
		s.add(Note, capital(string(t.Kind)+" torch: "+r.planned[0].reason(err)), nil)
		return
	}
	s.figure(one(f, "torch", string(t.Kind)+" torch takes", use.Value.Gas, fmt.Sprintf("%s, %s an hour", t.Power.V.Text(r.sys), hourly(use.Value.Mass, r.sys)), r.sys, use.Basis))
	draw := r.bottleDraw(gas)
	switch {
	case !draw.any:
		s.add(Do, "No "+string(gas)+" bottle in the shop file: load one for this torch.", nil)
	case draw.err != "":
		s.add(Note, capital(string(gas)+" bottles: not known whether they give that: "+draw.err), nil)
	default:
		r.drawLine(s, f, "  bottles give, steady", draw, t.Power.V)
	}
	if time.High > 0 {
		r.lastLines(s, f, gas, use.Value, oxy, time)
	}
}

// hourly prints the gas of an hour.
func hourly(m q.MassRate, sys q.System) string { return q.Mass(float64(m) * 3600).Text(sys) }

// draw is what the bottles of one gas give together.
type draw struct {
	any   bool
	err   string // why nothing can be said
	power q.Power
	one   q.Power // of one bottle, the first kind
	count float64
	at    string // what it was worked out at
	basis source.Basis
}

func (r *rigWork) bottleDraw(gas job.Gas) (d draw) {
	for _, b := range r.kit().Bottles {
		if b.Gas != gas {
			continue
		}
		d.any = true
		n := int(b.Count.Or(1))
		if n < 1 {
			continue
		}
		one, at, err := r.oneBottle(b)
		if err != nil {
			d.err = r.planned[0].reason(err)
			return d
		}
		if d.count == 0 {
			d.one, d.at, d.basis = one.Value.Power, at, one.Basis
		}
		d.power += one.Value.Power * q.Power(n)
		d.count += float64(n)
	}
	d.any = d.count > 0
	return d
}

// oneBottle is the draw of one bottle at today's temperature and contents.
func (r *rigWork) oneBottle(b job.Bottle) (source.Result[power.Draw], string, error) {
	if !b.Left.Known {
		return source.Result[power.Draw]{}, "", errors.New("weigh the bottle and say how much is left")
	}
	left := b.Left.V.Text(r.sys) + " full"
	if b.Gas == "acetylene" {
		if !b.Volume.Known {
			return source.Result[power.Draw]{}, "", errors.New("say what a full bottle holds as gas")
		}
		d, err := power.AcetyleneRate(b.Volume.V*q.Volume(b.Left.V), 1, power.Intermittent)
		return d, left + ", off and on", err
	}
	air := r.j.Site.Air
	if !b.Size.Known || !air.Known {
		return source.Result[power.Draw]{}, "", errors.New("the size of the bottle and the air temperature decide it; one of them is not given")
	}
	at := left + " at " + air.V.Text(r.sys)
	d, err := power.LPGRate(air.V, b.Size.V, b.Left.V, 1)
	var outside *source.OutOfRange
	if errors.As(err, &outside) && outside.Unit == "°C" && outside.Value > outside.High {
		warmest := q.Temperature(outside.High) // a warmer bottle gives more than the last column says
		d, err = power.LPGRate(warmest, b.Size.V, b.Left.V, 1)
		at = left + ", as at " + warmest.Text(r.sys) + " or more"
	}
	return d, at, err
}

// drawLine compares what the bottles give with what the torch takes.
func (r *rigWork) drawLine(s *Section, f figures, label string, d draw, need q.Power) {
	bottles := "1 bottle"
	if d.count != 1 {
		bottles = fmt.Sprintf("%.0f bottles", d.count)
	}
	tied := ""
	if d.count > 1 {
		tied = " tied together"
	}
	text := fmt.Sprintf("%s%s, %s: %s", bottles, tied, d.at, d.power.Text(r.sys))
	if d.power >= need*(1-1e-9) {
		s.figure(one(f, "bottles", label, d.power, "enough: "+text, r.sys, d.basis))
		return
	}
	s.figure(one(f, "bottles", label, d.power, "NOT enough: "+text, r.sys, d.basis))
	wanted := math.Ceil(float64(need/d.one) - 1e-9)
	s.add(Do, fmt.Sprintf("Tie %.0f such bottles together, or keep them in the warm until you need them, or turn the flame down to %s. Never warm a bottle with the torch.", wanted, d.power.Text(r.sys)), &d.basis)
}

// lastLines says whether the gas lasts for the first heat.
func (r *rigWork) lastLines(s *Section, f figures, gas job.Gas, use power.GasUse, oxy bool, time q.Of[q.Time]) {
	if gas == "propane" {
		need := q.Of[q.Mass]{Low: q.Mass(float64(use.Mass) * float64(time.Low)), High: q.Mass(float64(use.Mass) * float64(time.High))}
		have, known := q.Mass(0), true
		for _, b := range r.kit().Bottles {
			if b.Gas == gas {
				known = known && b.Size.Known && b.Left.Known
				have += b.Size.V * q.Mass(float64(b.Left.V)*b.Count.Or(1))
			}
		}
		text := need.Text(r.sys)
		if known {
			text += "; " + lastText(float64(have), float64(need.High), have.Text(r.sys))
		}
		s.figure(between(f, "first-heat", "  "+string(gas)+", first heat", need, text, r.sys, source.Basis{Method: "gas-use", Title: "Gas for the first heat", Formula: "gas in an hour × torch time",
			Ref: source.At("derived", "", source.Derived), Notes: []string{"first heat only: what it takes to hold the heat comes on top"}}))
	} else {
		r.volumeLine(s, f, gas, q.Of[q.Flow]{Low: use.Gas, High: use.Gas}, time)
	}
	if oxy {
		r.volumeLine(s, f, "oxygen", use.Oxygen, time)
	}
}

func (r *rigWork) volumeLine(s *Section, f figures, gas job.Gas, rate q.Of[q.Flow], time q.Of[q.Time]) {
	need := q.Of[q.Volume]{Low: q.Volume(float64(rate.Low) * float64(time.Low)), High: q.Volume(float64(rate.High) * float64(time.High))}
	have, known, any := q.Volume(0), true, false
	for _, b := range r.kit().Bottles {
		if b.Gas == gas {
			any = true
			known = known && b.Volume.Known && b.Left.Known
			have += b.Volume.V * q.Volume(float64(b.Left.V)*b.Count.Or(1))
		}
	}
	text := gasVolumes(need, r.sys)
	switch {
	case !any:
		text += "; none in the shop file"
	case known:
		text += "; " + lastText(float64(have), float64(need.High), gasVolumes(q.At(have), r.sys))
	}
	s.figure(between(f, string(gas), "  "+string(gas)+", first heat", need, text, r.sys, source.Basis{Method: "gas-use", Title: "Gas for the first heat", Formula: "flow × torch time",
		Ref: source.At("derived", "", source.Derived), Notes: []string{"first heat only: what it takes to hold the heat comes on top"}}))
}

// gasVolumes prints gas as bottles are labelled: cubic feet and cubic metres.
func gasVolumes(v q.Of[q.Volume], sys q.System) string {
	const cubicFoot = 0.028316846592 // m³, exact
	print := func(unit string, per float64) string {
		low, high := fmt.Sprintf("%.2g", float64(v.Low)/per), fmt.Sprintf("%.3g", float64(v.High)/per)
		if v.Low == v.High {
			return high + " " + unit
		}
		return low + " to " + high + " " + unit
	}
	us, si := print("ft³", cubicFoot), print("m³", 1)
	if sys == q.US {
		return us + " (" + si + ")"
	}
	return si + " (" + us + ")"
}

func lastText(have, need float64, text string) string {
	if have >= need {
		return text + " on the truck: lasts"
	}
	return text + " on the truck: NOT enough for the longest"
}
