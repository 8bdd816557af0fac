package strength

// Method:   toughness from Charpy energy
// Formula:  lower bound: Kmat = (12√Cv - 20)(25/B)^¼ + 20
//           master curve: Kmat = 20 + {11 + 77·exp[0.019(T - T27J - δ)]}(25/B)^¼·[ln(1/(1-Pf))]^¼
//           δ = -18 mean; +3 cautious; +7 BS 7910:2013 (-18 + 25)
// Validity: ferritic steel, lower shelf and transition; Kmat in MPa√m, Cv in J, B in mm
// Source:   BS 7910 annex J family (form read); δ of +3 and +7 from memory

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// CharpyToughness gives the lower-bound toughness of a Charpy energy at service
// temperature, for a thickness.
func CharpyToughness(charpy q.Energy, thickness q.Length) (source.Result[q.StressIntensity], error) {
	const method = "toughness-charpy"
	none := source.Result[q.StressIntensity]{}
	cv, b := float64(charpy), thickness.MM()
	if err := positive(method, "thickness", b); err != nil {
		return none, err
	}
	// below (20/12)² the bracket is negative and means nothing
	if err := source.InRange(method, "Charpy energy", cv, 3, 300, "J", "take 20 MPa√m, the floor of the correlation"); err != nil {
		return none, err
	}
	w := begin(method, "Toughness from Charpy energy, lower bound", "Kmat = (12√Cv - 20)(25/B)^¼ + 20", figRef("charpy_reference"))
	k := (12*math.Sqrt(cv)-20)*thin(b) + 20
	w.in("Charpy energy at service temperature", charpy.Text(q.SI), "")
	w.length("thickness", thickness, "")
	w.step("toughness", "(12√Cv - 20)(25/B)^¼ + 20", fmt.Sprintf("(12√%s - 20)(25/%s)^¼ + 20", num(cv), num(b)), k, "MPa√m")
	w.why("How hard a crack's tip may be pulled before the steel splits.", "A tough-looking old plate splits like glass on a cold morning.")
	return result(w, q.StressIntensity(k)*q.MPaRootMetre), nil
}

// thin is the thickness term of the correlations.
func thin(b float64) float64 { return math.Pow(fig("charpy_reference")/b, 0.25) }

// MasterInput is what MasterCurve needs.
type MasterInput struct {
	Temperature q.Temperature // of the steel in service, the lowest
	T27J        q.Temperature // at which the steel has 27 J
	Thickness   q.Length
	Probability float64    // that the toughness is lower: 0.05 cautious, 0.5 median
	Shift       q.TempDiff // δ: -18 K mean, +3 K cautious
}

// MasterCurve gives the toughness at a temperature from the temperature of 27 J.
func MasterCurve(in MasterInput) (source.Result[q.StressIntensity], error) {
	const method = "toughness-master"
	none := source.Result[q.StressIntensity]{}
	if err := positive(method, "thickness", in.Thickness.MM()); err != nil {
		return none, err
	}
	if err := source.InRange(method, "probability", in.Probability, 0.001, 0.95, "", "0.05 is cautious, 0.5 the median"); err != nil {
		return none, err
	}
	// above the transition the part tears instead of splitting and the curve climbs without end
	above := in.Temperature.C() - in.T27J.C() - float64(in.Shift)
	if err := source.InRange(method, "temperature above the reference", above, -100, 80, "K",
		"above it count on no more than at 80 K: the steel tears by then"); err != nil {
		return none, err
	}
	w := begin(method, "Toughness by the master curve", "Kmat = 20 + {11 + 77·exp[0.019(T - T27J - δ)]}(25/B)^¼·[ln(1/(1-Pf))]^¼", figRef("charpy_reference"))
	k := masterCurve(above, in.Thickness.MM(), in.Probability)
	w.in("lowest service temperature", in.Temperature.Text(q.SI), "")
	w.in("temperature of 27 J", in.T27J.Text(q.SI), "")
	w.length("thickness", in.Thickness, "")
	w.in("probability of less", num(in.Probability), "")
	w.in("shift δ", num(float64(in.Shift))+" K", "")
	w.step("toughness", "Kmat", fmt.Sprintf("20 + {11 + 77·exp[0.019 × %s]} × %s × %s", num(above), num(thin(in.Thickness.MM())), num(weakest(in.Probability))), k, "MPa√m")
	w.why("Steel gets brittle in the cold; this says how much is left at the lowest temperature it works in.",
		"A part that held all summer breaks on the first cold morning.")
	return result(w, q.StressIntensity(k)*q.MPaRootMetre), nil
}

// weakest is the probability term: one weak spot along the front is enough.
func weakest(p float64) float64 { return math.Pow(-math.Log1p(-p), 0.25) }

// masterCurve in MPa√m; above is T - T27J - δ.
func masterCurve(above, b, p float64) float64 {
	return 20 + (11+77*math.Exp(0.019*above))*thin(b)*weakest(p)
}

// ToughnessRange is the range of toughness to reckon with: from the cautious
// master curve (5 %, δ = +3) to its median (δ = -18). Unknown T27J is that of an
// unknown old plate.
func ToughnessRange(lowest q.Temperature, t27 q.Maybe[q.Temperature], thickness q.Length) (source.Result[q.Of[q.StressIntensity]], error) {
	const method = "toughness-range"
	none := source.Result[q.Of[q.StressIntensity]]{}
	from := ""
	t := t27.Or(q.Temperature(fig("plate_t27")))
	if !t27.Known {
		from = "assumed: unknown old plate"
	}
	cap80 := func(shift float64) q.Temperature {
		return q.Temperature(math.Min(lowest.C(), t.C()+shift+80))
	}
	low, err := MasterCurve(MasterInput{cap80(3), t, thickness, 0.05, 3})
	if err != nil {
		return none, err
	}
	high, err := MasterCurve(MasterInput{cap80(-18), t, thickness, 0.5, -18})
	if err != nil {
		return none, err
	}
	w := begin(method, "Toughness to reckon with", low.Basis.Formula, low.Basis.Ref)
	w.in("lowest service temperature", lowest.Text(q.SI), "")
	w.in("temperature of 27 J", t.Text(q.SI), from)
	w.length("thickness", thickness, "")
	w.step("cautious (5 %, δ = 3)", "Kmat", "", float64(low.Value/q.MPaRootMetre), "MPa√m")
	w.step("median (δ = -18)", "Kmat", "", float64(high.Value/q.MPaRootMetre), "MPa√m")
	if !t27.Known {
		w.also(figRef("plate_t27"))
		w.note("toughness unknown: the plate is taken as one that has 27 J only at %s", t.Text(q.SI))
	}
	w.why("Nobody knows the toughness of an old plate; the answer must hold for a poor one.",
		"The answer holds for good steel only, and nobody knows which this is.")
	return result(w, q.Span(low.Value, high.Value)), nil
}
