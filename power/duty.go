package power

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Duty cycle of a welding machine, in periods of 10 minutes.
//
// Law: the windings warm with the square of the current, so
//
//	I2 = I1 · √(D1/D2)      D duty cycle, 0 to 1
//
// (machine manuals, duty-cycle formula; read). Against nameplates the law is now
// too high and now too low (325 A at 60 % gives 251.7 A at 100 %, plate 250;
// 350 A gives 271, plate 300), so the plate goes first: its own points as they
// stand, the lower of the two laws between them. Beyond the last point the law
// runs from it with a note, never above the machine's highest current, and never
// above the highest point where no highest current is given.

func dutyRange(i q.Current, ds ...q.Ratio) error {
	if err := within("duty", "current", float64(i)); err != nil {
		return err
	}
	for _, d := range ds {
		if err := within("duty", "duty cycle", float64(d)); err != nil {
			return err
		}
	}
	return nil
}

func dutyLaw(i1 q.Current, d1, d2 q.Ratio) q.Current {
	return i1 * q.Current(math.Sqrt(float64(d1/d2)))
}

func dutyBasis(title string) source.Basis {
	return source.Basis{
		Method: "duty", Title: title, Formula: "I2 = I1 · √(D1/D2)",
		Ref:   source.At("cable-manuals", "duty cycle formula", source.Read),
		Notes: []string{"Duty cycle counts in 10 minutes: 60 % is 6 minutes of arc and 4 of rest. In heat above 40 °C it is less."},
		Why:   "A machine run past its duty cycle cooks its windings long before anything smokes.",
		Skip:  "It trips in the middle of a gouge, and the joint goes cold.",
	}
}

// Duty applies the square law from one point. Method id: duty (I1 D1 D2).
func Duty(i1 q.Current, d1, d2 q.Ratio) (source.Result[q.Current], error) {
	if err := dutyRange(i1, d1, d2); err != nil {
		return source.Result[q.Current]{}, err
	}
	i2 := dutyLaw(i1, d1, d2)
	b := dutyBasis("Current at another duty cycle")
	b.Inputs = []source.Input{{Name: "I1", Text: ampText(i1)}, {Name: "D1", Text: percentText(d1)}, {Name: "D2", Text: percentText(d2)}}
	b.Steps = []source.Step{{Name: "I2", Formula: b.Formula, With: fmt.Sprintf("%s × √(%s / %s)", short(float64(i1)), percentText(d1), percentText(d2)), Value: float64(i2), Unit: "A"}}
	b.Notes = append(b.Notes, "The plate's own points go before this law.")
	return source.Result[q.Current]{Value: i2, Basis: b}, nil
}

// plate gives the points by rising duty cycle, checked.
func plate(s job.Source) ([]job.DutyPoint, error) {
	name := s.Name
	if name == "" {
		name = "the power source"
	}
	if len(s.Points) == 0 {
		return nil, fmt.Errorf("%s: no duty points: give at least one line of the nameplate, such as 300 A at 60 %%", name)
	}
	points := slices.Clone(s.Points)
	slices.SortFunc(points, func(a, b job.DutyPoint) int { return cmp.Compare(a.Duty, b.Duty) })
	for i, p := range points {
		if err := dutyRange(p.Amps, p.Duty); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if i > 0 && p.Duty == points[i-1].Duty {
			return nil, fmt.Errorf("%s: the plate says %s and %s at one duty cycle, %s; read the plate again", name, ampText(points[i-1].Amps), ampText(p.Amps), percentText(p.Duty))
		}
		if i > 0 && p.Amps > points[i-1].Amps {
			return nil, fmt.Errorf("%s: the plate says %s at %s and %s at %s: more current cannot hold for longer; read the plate again",
				name, ampText(points[i-1].Amps), percentText(points[i-1].Duty), ampText(p.Amps), percentText(p.Duty))
		}
		if s.Max.Known && p.Amps > s.Max.V {
			return nil, fmt.Errorf("%s: the plate says %s at %s, above its highest output %s; read the plate again", name, ampText(p.Amps), percentText(p.Duty), ampText(s.Max.V))
		}
	}
	return points, nil
}

// Continuous gives the current that the machine holds at a duty cycle, the plate first. Method id: duty-plate.
func Continuous(s job.Source, duty q.Ratio) (source.Result[q.Current], error) {
	var none source.Result[q.Current]
	points, err := plate(s)
	if err != nil {
		return none, err
	}
	if err := within("duty", "duty cycle", float64(duty)); err != nil {
		return none, err
	}
	b := dutyBasis("What the machine holds at a duty cycle")
	b.Method = "duty-plate"
	b.Formula = "the plate's points; between two, the lower square law"
	for _, p := range points {
		b.Inputs = append(b.Inputs, source.Input{Name: "plate", Text: ampText(p.Amps) + " at " + percentText(p.Duty), From: "nameplate"})
	}
	b.Inputs = append(b.Inputs, source.Input{Name: "duty wanted", Text: percentText(duty)})
	i, how, note := held(s, points, duty)
	if note != "" {
		b.Notes = append(b.Notes, note)
	}
	b.Steps = []source.Step{{Name: "holds", With: how, Value: float64(i), Unit: "A", Text: ampText(i) + " at " + percentText(duty)}}
	return source.Result[q.Current]{Value: i, Basis: b}, nil
}

// held is the current at a duty cycle, how it came about, and what to note.
func held(s job.Source, points []job.DutyPoint, duty q.Ratio) (i q.Current, how, note string) {
	first, last := points[0], points[len(points)-1]
	switch {
	case duty > last.Duty:
		return dutyLaw(last.Amps, last.Duty, duty), "square law from " + ampText(last.Amps) + " at " + percentText(last.Duty),
			"Above the last duty point of the plate the law is a guess: one machine's plate lay 1 % under it, another's 10 % over."
	case duty < first.Duty && s.Max.Known:
		return min(dutyLaw(first.Amps, first.Duty, duty), s.Max.V), "square law from " + ampText(first.Amps) + " at " + percentText(first.Duty) + ", at most " + ampText(s.Max.V),
			"Above the highest current of the plate the law is a guess, and the machine gives no more than its highest output."
	case duty < first.Duty:
		return first.Amps, "highest current on the plate", "No highest output is given, so the highest current on the plate stands."
	}
	for k, p := range points {
		if p.Duty == duty {
			return p.Amps, "plate", ""
		}
		if p.Duty > duty {
			low := points[k-1]
			a, c := dutyLaw(low.Amps, low.Duty, duty), dutyLaw(p.Amps, p.Duty, duty)
			return max(min(a, c), p.Amps), "lower of the square laws from " + percentText(low.Duty) + " (" + ampText(a) + ") and " + percentText(p.Duty) + " (" + ampText(c) + ")", ""
		}
	}
	panic("power: duty " + percentText(duty) + " lies nowhere among the points") // excluded by the first cases
}

// DutyAt gives the duty cycle that the machine may be run at with a current; an
// answer above 1 does not exist. Method id: duty-at.
func DutyAt(s job.Source, i q.Current) (source.Result[q.Ratio], error) {
	var none source.Result[q.Ratio]
	points, err := plate(s)
	if err != nil {
		return none, err
	}
	top := s.Max.Or(points[0].Amps)
	if err := source.InRange("duty-at", "current", float64(i), 1, float64(top), "A", "the machine does not give more"); err != nil {
		return none, err
	}
	d := dutyFor(points, i)
	b := dutyBasis("Duty cycle at a current")
	b.Method = "duty-at"
	b.Inputs = []source.Input{{Name: "machine", Text: s.Name}, {Name: "current", Text: ampText(i)}}
	b.Steps = []source.Step{{Name: "duty cycle", Value: float64(d), Text: fmt.Sprintf("%s: %s minutes of arc in 10", percentText(d), short(10*float64(d)))}}
	return source.Result[q.Ratio]{Value: d, Basis: b}, nil
}

// dutyFor is the longest duty cycle at which held is not below i.
func dutyFor(points []job.DutyPoint, i q.Current) q.Ratio {
	law := func(p job.DutyPoint) q.Ratio { return p.Duty * q.Ratio((p.Amps/i)*(p.Amps/i)) }
	last := points[len(points)-1]
	if i <= last.Amps {
		return max(last.Duty, min(1, law(last)))
	}
	for k := len(points) - 1; k > 0; k-- {
		if low, high := points[k-1], points[k]; i <= low.Amps {
			return max(low.Duty, min(high.Duty, law(low), law(high)))
		}
	}
	return law(points[0])
}
