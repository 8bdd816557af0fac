package heat

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// Result is the floor with its working: one step for each method.
func (f Floor) Result() source.Result[q.Temperature] {
	in := &f.In
	b := source.Basis{
		Method: idFloor, Title: "Minimum preheat and interpass temperature", Formula: "the highest of the methods that count",
		Inputs: []source.Input{input("steel", in.Group.Title()), input("thickness", millimetres(in.Thickness)),
			input("hydrogen", hydrogenText(in.Hydrogen)), input("heat input", kilojoules(in.HeatInput)), input("restraint", restraintWord(in.Restraint))},
		Why: "Each method guards against one way to crack; the warmest covers them all.", Skip: skipCrackBesideWeld,
	}
	if in.WeldMetalCET.Known && in.cet() > in.Steel.CET {
		b.Notes = append(b.Notes, "the weld metal governs the CET method, not the steel")
	}
	if in.StrongFiller {
		b.Inputs = append(b.Inputs, input("filler", "low-alloy filler of the highest strength"))
	}
	for i, r := range f.Rows {
		s := source.Step{Name: r.Method, With: string(r.Role), Value: r.Value.C(), Unit: "°C", Text: degrees(r.Value)}
		switch {
		case r.Role == Silent:
			s.Value, s.Unit, s.Text = 0, "", "does not speak: "+r.Reason
		case r.Reason != "":
			s.Text += "; " + r.Reason
		}
		b.Steps = append(b.Steps, s)
		if r.Role == Silent {
			continue
		}
		ref := f.explain(i).Basis.Ref
		if r.Method == f.By {
			b.Ref = ref
			if ref.Status.Weak() {
				b.Notes = append(b.Notes, "the governing figure is of status \""+string(ref.Status)+"\": it may raise the preheat, check it before relying on it alone")
			}
		} else {
			b.Also = append(b.Also, ref)
		}
	}
	b.Steps = append(b.Steps, source.Step{Name: "minimum", With: "by " + f.By, Value: f.Minimum.C(), Unit: "°C", Text: degrees(f.Minimum)})
	return source.Result[q.Temperature]{Value: f.Minimum, Basis: b}
}

// Explain gives the full working of each method that has a value, in the order
// of the rows.
func (f Floor) Explain() []source.Result[q.Temperature] {
	var all []source.Result[q.Temperature]
	for i, r := range f.Rows {
		if r.Role != Silent {
			all = append(all, f.explain(i))
		}
	}
	return all
}

// explain works one row with the method's own function. A row at a limit is
// worked with the figures brought into the range, and says so.
func (f Floor) explain(i int) source.Result[q.Temperature] {
	r, err := f.work(i)
	if err != nil {
		panic(fmt.Sprintf("heat: %s refuses what the floor took: %v", floorIDs[i], err))
	}
	if row := f.Rows[i]; row.Role == AtLimit || row.Reason != "" {
		r.Basis.Notes = append([]string{row.Reason}, r.Basis.Notes...)
	}
	return r
}

func (f Floor) work(i int) (source.Result[q.Temperature], error) {
	in := f.In
	switch i {
	case rowCET:
		return PreheatCET(CETInput{min(max(in.cet(), cetLow), cetHigh), in.Thickness, min(max(in.Hydrogen, cetDry), cetWet),
			min(max(in.HeatInput, cetCold*q.KilojoulePerMillimetre), cetHot*q.KilojoulePerMillimetre)})
	case rowSI:
		return f.workSI()
	case rowPrequalified:
		r, err := PreheatPrequalified(in.column(), max(in.Thickness, prequalifiedMin))
		return source.Result[q.Temperature]{Value: r.Value.Minimum, Basis: r.Basis}, err
	case rowSpecial:
		return MinimumBySpecialRule(in.special())
	case rowMs:
		ms := MsInput{in.Steel, in.Group, in.Hydrogen, in.Restraint}
		ms.Steel.C = min(ms.Steel.C, highCarbonMaxChart)
		r, err := PreheatMs(ms)
		return source.Result[q.Temperature]{Value: r.Value.Minimum, Basis: r.Basis}, err
	case rowCold:
		r, err := ColdWeather(in.Air, in.Base, true)
		return source.Result[q.Temperature]{Value: r.Value.WarmTo, Basis: r.Basis}, err
	case rowIto:
		return PreheatItoBessyo(ItoInput{Pcm: in.Steel.Pcm, Hydrogen: in.Hydrogen, Thickness: in.Thickness, Restraint: q.Known(in.restraintIntensity())})
	default:
		return PreheatSeferian(in.Steel, in.Thickness)
	}
}

// workSI works the susceptibility index; an index above 7.0 is explained at the
// Pcm that gives 7.0.
func (f Floor) workSI() (source.Result[q.Temperature], error) {
	in := f.In
	pcm, usual := in.pcm()
	s := SIInput{pcm, min(max(in.Hydrogen, siDry), siWet), in.Thickness, in.restraint()}
	if siIndex(float64(s.Pcm), float64(s.Hydrogen)) > siMax {
		s.Pcm = pcmAtLimit(s.Hydrogen)
	}
	r, err := PreheatSI(s)
	if usual {
		r.Basis.Notes = append(r.Basis.Notes, "Pcm of a usual composition of the grade: for a grade that it lists the code gives its table, and this method for a known composition; an analysis may ask for more or for less")
	}
	return source.Result[q.Temperature]{Value: r.Value.Minimum, Basis: r.Basis}, err
}
