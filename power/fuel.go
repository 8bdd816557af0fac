package power

import (
	_ "embed"
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Engine fuel and compressor power.
//
// Fuel (derived)
//
//	P_shaft = V·I/η + P_aux      η 0.55 to 0.65, P_aux 1 to 2 kW
//	fuel    = P_shaft · BSFC     g/kWh by engine_fuels.csv, ÷ density for litres
//
// and never less than the idle figure: at idle the engine burns far more than
// the formula says. Part load adds up to 40 % at the upper end (from memory).
//
// Compressor (adiabatic, one stage)
//
//	P = 3.5 · p1 · Q · [(p2/p1)^0.2857 − 1] / η    p1 101.3 kPa, Q free air, η 0.6 to 0.7

//go:embed engine_fuels.csv
var engineFuelsCSV string

type engineFuel struct {
	low, usual, high float64 // g/kWh
	density          float64 // kg/L
	idle             q.Of[float64]
	ref              source.Ref
}

var engineFuels = mustEngineFuels(engineFuelsCSV)

func mustEngineFuels(text string) map[job.Fuel]engineFuel {
	all := map[job.Fuel]engineFuel{}
	for _, r := range source.Table("engine_fuels.csv", text) {
		all[job.Fuel(r.Text("fuel"))] = engineFuel{r.Num("low_g_kwh"), r.Num("usual_g_kwh"), r.Num("high_g_kwh"), r.Num("density_kg_l"),
			q.Of[float64]{Low: r.Num("idle_low_l_h"), High: r.Num("idle_high_l_h")}, r.Ref()}
	}
	return all
}

// FuelRate is what the engine burns in an hour at one load.
type FuelRate struct {
	Shaft  q.Power    // usual figures
	Mass   q.MassRate // usual figures
	Likely q.Flow     // volume
	Range  q.Of[q.Flow]
}

// EngineFuel gives the fuel an engine-driven machine burns at a load; amps of
// nothing is idling. Method id: fuel-rate (V I fuel).
func EngineFuel(v q.Voltage, i q.Current, fuel job.Fuel) (source.Result[FuelRate], error) {
	var none source.Result[FuelRate]
	f, ok := engineFuels[fuel]
	if !ok {
		return none, fmt.Errorf("fuel %q burns nothing here: give diesel or petrol", string(fuel))
	}
	if err := within("fuel-rate", "arc voltage", float64(v)); err != nil {
		return none, err
	}
	if err := within("fuel-rate", "current", float64(i)); err != nil {
		return none, err
	}
	eta, aux, part := fig("shaft-efficiency"), fig("shaft-aux"), fig("part-load")
	arc := float64(v) * float64(i) / 1000 // kW
	shaft := func(eta, aux float64) float64 { return arc/eta + aux }
	litres := func(kW, gPerKWh float64) float64 { return kW * gPerKWh / 1000 / f.density } // L/h
	usual := shaft(eta.Likely, aux.Likely)
	low := max(litres(shaft(eta.High, aux.Low), f.low), f.idle.Low)
	high := max(litres(shaft(eta.Low, aux.High), f.high*part.High), f.idle.High)
	likely := max(litres(usual, f.usual), f.idle.Mid())
	perHour := func(l float64) q.Flow { return q.Flow(l / 1000 / 3600) }
	r := FuelRate{q.Power(usual) * q.Kilowatt, q.MassRate(likely*f.density) * q.KilogramPerHour, perHour(likely), q.Of[q.Flow]{Low: perHour(low), High: perHour(high)}}
	b := source.Basis{
		Method: "fuel-rate", Title: "Fuel in an hour", Formula: "fuel = (V·I/η + P_aux) · BSFC / density",
		Inputs: []source.Input{{Name: "arc", Text: voltText(v) + ", " + ampText(i)}, {Name: "fuel", Text: string(fuel)}},
		Steps: []source.Step{
			{Name: "arc power", Formula: "V · I", Value: arc, Unit: "kW"},
			{Name: "shaft power", Formula: "V·I/η + P_aux", With: short(arc) + " / " + short(eta.Likely) + " + " + short(aux.Likely), Value: usual, Unit: "kW"},
			{Name: "fuel", With: short(usual) + " kW × " + short(f.usual) + " g/kWh", Value: likely * f.density, Unit: "kg/h"},
			{Name: "fuel", Value: likely, Unit: "L/h", Text: fuelText(r.Range)},
		},
		Ref: f.ref, Also: []source.Ref{eta.Ref, aux.Ref, part.Ref},
		Notes: []string{"Not less than idling. Part load at the upper end of the range; a compressor or a grinder on the machine's socket comes on top."},
		Why:   "The tank is part of the load list.",
		Skip:  "The engine stops with the joint half full and hot.",
	}
	return source.Result[FuelRate]{Value: r, Basis: b}, nil
}

// fuelText prints litres and US gallons in an hour.
func fuelText(r q.Of[q.Flow]) string {
	const litresInUSGallon = 3.785411784 // exact
	l := func(f q.Flow) float64 { return float64(f) * 1000 * 3600 }
	return fmt.Sprintf("%.1f to %.1f L/h (%.1f to %.1f US gal/h)", l(r.Low), l(r.High), l(r.Low)/litresInUSGallon, l(r.High)/litresInUSGallon)
}

// Load is one part of the day at one load.
type Load struct {
	Time    q.Time
	Voltage q.Voltage
	Current q.Current // nothing: idling
}

// FuelUse is the fuel of a day.
type FuelUse struct {
	Likely q.Volume
	Range  q.Of[q.Volume]
}

// FuelFor adds the fuel of a load profile up. Method id: fuel-use.
func FuelFor(profile []Load, fuel job.Fuel) (source.Result[FuelUse], error) {
	var none source.Result[FuelUse]
	var v FuelUse
	b := source.Basis{Method: "fuel-use", Title: "Fuel for the job", Formula: "Σ time · fuel in an hour",
		Why: "The tank is part of the load list.", Skip: "The engine stops with the joint half full and hot."}
	for n, l := range profile {
		if l.Time < 0 || math.IsNaN(float64(l.Time)) {
			return none, fmt.Errorf("part %d of the day lasts %v s: give a time of 0 or more", n+1, float64(l.Time))
		}
		r, err := EngineFuel(l.Voltage, l.Current, fuel)
		if err != nil {
			return none, err
		}
		t := float64(l.Time)
		v.Likely += q.Volume(float64(r.Value.Likely) * t)
		v.Range.Low += q.Volume(float64(r.Value.Range.Low) * t)
		v.Range.High += q.Volume(float64(r.Value.Range.High) * t)
		b.Ref, b.Also, b.Notes = r.Basis.Ref, r.Basis.Also, r.Basis.Notes
		name := ampText(l.Current)
		if l.Current == 0 {
			name = "idling"
		}
		b.Steps = append(b.Steps, source.Step{Name: short(t/60) + " min at " + name, Value: float64(r.Value.Likely) * t * 1000, Unit: "L"})
	}
	if len(profile) == 0 {
		return none, fmt.Errorf("no load profile: give at least one time with its volts and amps")
	}
	b.Inputs = []source.Input{{Name: "fuel", Text: string(fuel)}}
	b.Steps = append(b.Steps, source.Step{Name: "all together", Value: float64(v.Likely) * 1000, Unit: "L"})
	return source.Result[FuelUse]{Value: v, Basis: b}, nil
}

// CompressorPower gives the shaft power for free air at a gauge pressure. Method id: compressor-power (Q p eta).
func CompressorPower(air q.Flow, gauge q.Pressure, efficiency q.Ratio) (source.Result[q.Power], error) {
	var none source.Result[q.Power]
	for _, c := range []struct {
		name string
		v    float64
	}{{"gauge pressure", float64(gauge / q.Kilopascal)}, {"free air", float64(air) * 60}, {"efficiency", float64(efficiency)}} {
		if err := within("compressor-power", c.name, c.v); err != nil {
			return none, err
		}
	}
	const n = 3.5 // κ/(κ−1) of air, κ = 1.4; its inverse is the exponent
	inlet := fig("air-inlet")
	p1 := inlet.Likely * float64(q.Kilopascal)
	ratio := (p1 + float64(gauge)) / p1
	ideal := n * p1 * float64(air) * (math.Pow(ratio, 1/n) - 1)
	p := q.Power(ideal / float64(efficiency))
	return source.Result[q.Power]{Value: p, Basis: source.Basis{
		Method: "compressor-power", Title: "Power for the air", Formula: "P = 3.5 · p1 · Q · [(p2/p1)^0.2857 − 1] / η",
		Inputs: []source.Input{{Name: "free air Q", Text: airText(air)}, {Name: "gauge pressure", Text: pressureText(gauge)}, {Name: "efficiency η", Text: short(float64(efficiency))}},
		Steps: []source.Step{
			{Name: "pressure ratio", Formula: "p2/p1", Value: ratio},
			{Name: "ideal power", Value: ideal / 1000, Unit: "kW"},
			{Name: "power", With: short(ideal/1000) + " / " + short(float64(efficiency)), Value: float64(p / q.Kilowatt), Unit: "kW", Text: short(float64(p/q.Kilowatt)) + " kW (" + short(float64(p/q.Horsepower)) + " hp)"},
		},
		Ref: inlet.Ref, Also: []source.Ref{fig("air-efficiency").Ref},
		Notes: []string{"Rule of thumb: 4 to 5 cfm of free air from each horsepower at 100 psi. 2 psi more take 1 % more power."},
		Why:   "A compressor too small lets the pressure fall while you gouge.",
		Skip:  "The melt is not blown out and freezes back, full of carbon.",
	}}, nil
}
