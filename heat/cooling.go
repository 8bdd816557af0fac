// Cooling time t8/5: the time the weld takes from 800 to 500 °C.
//
//	thick (3D): t = (6700 − 5·T0)·Q·[1/(500−T0) − 1/(800−T0)]·F3
//	thin (2D):  t = (4300 − 4.3·T0)·10⁵·(Q²/d²)·[1/(500−T0)² − 1/(800−T0)²]·F2
//	transition: dt = √{(4300−4.3·T0)·10⁵/(6700−5·T0)·Q·[1/(500−T0)+1/(800−T0)]·F2/F3}
//
// t s; T0 preheat or interpass °C; Q heat input with the thermal efficiency in
// kJ/mm; d thickness mm; F2, F3 shape factors (shape_factors.csv). Thinner than
// dt the 2D form holds, else the 3D form; that is the larger of the two times.
// T0 below 500; in practice to 300.
//
// Source: EN 1011-2 Annex D (one secondary copy; dt and shape factors from memory).

package heat

import (
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idCooling               = "cooling-time"
	coolingColdest          = -40.0 // °C
	coolingHottest          = 500.0 // °C, not reached
	coolingPractical        = 300.0 // °C
	transitionNeedsMoreHeat = "the time to fall from 800 °C to 500 °C means nothing in steel held at 500 °C: take a lower interpass temperature"
)

// CoolingInput is what the cooling time formulas take. The shape factors are
// those of ShapeFactors.
type CoolingInput struct {
	Start     q.Temperature // preheat or interpass temperature T0
	HeatInput q.HeatInput   // with the thermal efficiency
	Thickness q.Length
	F2, F3    q.Ratio
}

// Cooling is the outcome of the cooling time formulas.
type Cooling struct {
	Time       q.Time   `json:"time"`
	Thick      bool     `json:"thick"`      // three-dimensional heat flow
	Transition q.Length `json:"transition"` // thickness between thin and thick
}

func cooling3D(t0, kj, f3 float64) float64 {
	return (6700 - 5*t0) * kj * (1/(500-t0) - 1/(800-t0)) * f3
}

func cooling2D(t0, kj, mm, f2 float64) float64 {
	a, b := 1/(500-t0), 1/(800-t0)
	return (4300 - 4.3*t0) * 1e5 * (kj * kj / (mm * mm)) * (a*a - b*b) * f2
}

func transitionMM(t0, kj, f2, f3 float64) float64 {
	return math.Sqrt((4300 - 4.3*t0) * 1e5 / (6700 - 5*t0) * kj * (1/(500-t0) + 1/(800-t0)) * f2 / f3)
}

// checkCooling checks all but the heat input.
func checkCooling(start q.Temperature, thickness q.Length, f2, f3 q.Ratio) error {
	if t0 := start.C(); !(t0 >= coolingColdest && t0 < coolingHottest) {
		return &source.OutOfRange{Method: idCooling, Quantity: "preheat or interpass temperature", Value: t0, Low: coolingColdest, High: coolingHottest,
			Unit: "°C", Instead: transitionNeedsMoreHeat}
	}
	if err := positive(idCooling, "thickness", thickness.MM(), "mm"); err != nil {
		return err
	}
	for _, f := range []struct {
		name string
		v    q.Ratio
	}{{"shape factor F2", f2}, {"shape factor F3", f3}} {
		if err := source.InRange(idCooling, f.name, float64(f.v), 0.4, 1, "", "take 1 for a bead on plate, 0.9 for filler runs in a butt weld, 0.67 for a fillet"); err != nil {
			return err
		}
	}
	return nil
}

// coolingNotes are the notes that depend on the start temperature.
func coolingNotes(start q.Temperature) []string {
	notes := []string{"for a single run on steel that is at one temperature throughout; heat left from the run before counts as interpass temperature"}
	if start.C() > coolingPractical {
		notes = append(notes, "above 300 °C the formula is seldom checked: take it as a rough figure")
	}
	return notes
}

// CoolingTime gives the time from 800 to 500 °C.
func CoolingTime(in CoolingInput) (source.Result[Cooling], error) {
	var none source.Result[Cooling]
	if err := checkCooling(in.Start, in.Thickness, in.F2, in.F3); err != nil {
		return none, err
	}
	t0, kj, mm, f2, f3 := in.Start.C(), in.HeatInput.KJPerMM(), in.Thickness.MM(), float64(in.F2), float64(in.F3)
	if err := positive(idCooling, "heat input", kj, "kJ/mm"); err != nil {
		return none, err
	}
	t3, t2, dt := cooling3D(t0, kj, f3), cooling2D(t0, kj, mm, f2), transitionMM(t0, kj, f2, f3)
	v := Cooling{Time: q.Time(t3), Thick: mm >= dt, Transition: q.Length(dt) * q.Millimetre}
	regime := "thick (3D): heat flows away in all directions"
	if !v.Thick {
		v.Time, regime = q.Time(t2), "thin (2D): heat flows away along the plate"
	}
	return source.Result[Cooling]{Value: v, Basis: source.Basis{
		Method: idCooling, Title: "Cooling time from 800 to 500 °C",
		Formula: "3D: (6700 − 5·T0)·Q·[1/(500−T0) − 1/(800−T0)]·F3; 2D: (4300 − 4.3·T0)·10⁵·Q²/d²·[1/(500−T0)² − 1/(800−T0)²]·F2",
		Inputs: []source.Input{input("preheat or interpass T0", degrees(in.Start)), input("heat input Q", kilojoules(in.HeatInput)),
			input("thickness d", millimetres(in.Thickness)), input("shape factors F2, F3", fmt.Sprintf("%.3g, %.3g", f2, f3))},
		Steps: []source.Step{
			{Name: "thick plate (3D)", With: fmt.Sprintf("(6700 − 5 × %.4g) × %.4g × [1/%.4g − 1/%.4g] × %.3g", t0, kj, 500-t0, 800-t0, f3), Value: t3, Unit: "s"},
			{Name: "thin plate (2D)", With: fmt.Sprintf("(4300 − 4.3 × %.4g) × 10⁵ × %.4g²/%.4g² × [1/%.4g² − 1/%.4g²] × %.3g", t0, kj, mm, 500-t0, 800-t0, f2), Value: t2, Unit: "s"},
			{Name: "transition thickness", Formula: "√{(4300−4.3·T0)·10⁵/(6700−5·T0)·Q·[1/(500−T0)+1/(800−T0)]·F2/F3}", Value: dt, Unit: "mm"},
			{Name: "cooling time", With: fmt.Sprintf("%.4g mm against %.4g mm", mm, dt), Value: float64(v.Time), Unit: "s", Text: regime},
		},
		Ref:   source.At("en1011-2", "Annex D", source.Read),
		Also:  []source.Ref{source.At("en1011-2", "Annex D, transition thickness and shape factors", source.Memory)},
		Notes: coolingNotes(in.Start),
		Why:   "Cooled too fast the steel beside the weld turns hard; cooled too slowly a hardened plate goes soft.",
		Skip:  "The bead is too small or too hot for this steel and nobody notices until it cracks or bends.",
	}}, nil
}

// HeatInputForCoolingTime gives the heat inputs, with the thermal efficiency,
// that keep the cooling time inside a window. The low end of the window may be 0.
func HeatInputForCoolingTime(window q.Of[q.Time], start q.Temperature, thickness q.Length, f2, f3 q.Ratio) (source.Result[q.Of[q.HeatInput]], error) {
	const id = "heat-input-for-cooling-time"
	var none source.Result[q.Of[q.HeatInput]]
	if err := checkCooling(start, thickness, f2, f3); err != nil {
		return none, err
	}
	if !(window.Low >= 0 && window.Low <= window.High) {
		return none, fmt.Errorf("%s: the window %.3g to %.3g s makes no sense; give the shorter time first", id, window.Low, window.High)
	}
	if err := positive(id, "longest cooling time", float64(window.High), "s"); err != nil {
		return none, err
	}
	t0, mm := start.C(), thickness.MM()
	// The time is the larger of the two forms, so the heat input is the smaller.
	perKJ, perKJ2 := cooling3D(t0, 1, float64(f3)), cooling2D(t0, 1, mm, float64(f2))
	heat := func(t q.Time) (thick, thin, q1 q.HeatInput) {
		thick = q.HeatInput(float64(t)/perKJ) * q.KilojoulePerMillimetre
		thin = q.HeatInput(math.Sqrt(float64(t)/perKJ2)) * q.KilojoulePerMillimetre
		return thick, thin, min(thick, thin)
	}
	var steps []source.Step
	ends := [2]q.HeatInput{}
	for i, t := range []q.Time{window.Low, window.High} {
		thick, thin, h := heat(t)
		ends[i] = h
		steps = append(steps, source.Step{Name: fmt.Sprintf("heat input for %.3g s", float64(t)),
			Formula: "smaller of t/(3D time for 1 kJ/mm) and √(t/(2D time for 1 kJ/mm))",
			With:    fmt.Sprintf("thick %.3g, thin %.3g kJ/mm", thick.KJPerMM(), thin.KJPerMM()), Value: h.KJPerMM(), Unit: "kJ/mm", Text: kilojoules(h)})
	}
	return source.Result[q.Of[q.HeatInput]]{Value: q.Of[q.HeatInput]{Low: ends[0], High: ends[1]}, Basis: source.Basis{
		Method: id, Title: "Heat input for a cooling time", Formula: "the cooling time formulas solved for Q",
		Inputs: []source.Input{input("cooling time", fmt.Sprintf("%.3g to %.3g s", window.Low, window.High)), input("preheat or interpass T0", degrees(start)),
			input("thickness d", millimetres(thickness)), input("shape factors F2, F3", fmt.Sprintf("%.3g, %.3g", f2, f3))},
		Steps: steps, Ref: source.At("en1011-2", "Annex D, solved for Q", source.Derived),
		Notes: append(coolingNotes(start), "this Q includes the thermal efficiency: volts × amps / speed may be larger by 1/k"),
		Why:   "It says how long a bead one rod must give: longer is too cold, shorter is too hot.",
		Skip:  "A wide, slow weave overheats hardened plate; a fast stringer leaves a brittle edge.",
	}}, nil
}
