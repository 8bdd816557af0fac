package conduct

// Thermal properties of carbon steel.
//
// EN 1993-1-2 3.4.1, θ in °C:
//
//	c = 425 + 0.773θ − 1.69e-3θ² + 2.22e-6θ³      J/kgK   20 to 600
//	    666 + 13002/(738−θ)                               600 to 735
//	    545 + 17820/(θ−731)                               735 to 900
//	    650                                               900 to 1200
//	k = 54 − 3.33e-2θ                             W/mK    20 to 800
//	    27.3                                              800 to 1200
//
// The rows are in properties.csv. Beyond 20 to 1200 °C the simulation holds the
// end values and adds the heat of melting; Properties refuses.

import (
	_ "embed"
	"fmt"
	"sync"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed properties.csv
var propertiesCSV string

// carbonCurves are the pieces of properties.csv by property.
var carbonCurves = mustReadCurves(propertiesCSV)

func mustReadCurves(text string) map[string]curve {
	all := map[string]curve{}
	for _, r := range source.Table("conduct/properties.csv", text) {
		r.Ref() // known source and status
		p := r.Text("property")
		all[p] = append(all[p], piece{from: r.Num("from"), to: r.Num("to"), a0: r.Num("a0"), a1: r.Num("a1"), a2: r.Num("a2"), a3: r.Num("a3"), r: r.Num("r"), p: r.Num("p")})
	}
	return all
}

var carbon = sync.OnceValue(func() *Material {
	c, k := carbonCurves["c"], carbonCurves["k"]
	fusion := carbonCurves["fusion"][0]
	melt := func(t float64) float64 { // heat of fusion taken up at t, J/kg
		return fusion.a0 * min(max((t-fusion.from)/(fusion.to-fusion.from), 0), 1)
	}
	heat := func(t float64) float64 { return c.integral(t) + melt(t) }
	cp := func(t float64) float64 {
		v := c.at(t)
		if t > fusion.from && t < fusion.to {
			v += fusion.a0 / (fusion.to - fusion.from)
		}
		return v
	}
	rho := carbonCurves["density"][0].a0
	return newMaterial("carbon steel, EN 1993-1-2", rho, cp, k.at, heat, k.integral)
})

// Carbon is carbon steel of EN 1993-1-2, with its 735 °C peak and the heat of
// melting. Low-alloy steels conduct a little less below 600 °C; the standard
// gives one curve for structural steel and so do we.
func Carbon() *Material { return carbon() }

// Thermal are the properties of carbon steel at one temperature.
type Thermal struct {
	K           Conductivity
	C           SpecificHeat
	Density     Density
	Diffusivity q.Diffusivity
	Enthalpy    SpecificEnthalpy // from 20 °C
	Strain      q.Ratio          // thermal elongation from 20 °C
}

// Properties gives the thermal properties of carbon steel, EN 1993-1-2 3.4.1,
// for 20 to 1200 °C.
func Properties(t q.Temperature) (source.Result[Thermal], error) {
	const id = "steel-thermal"
	if err := source.InRange(id, "temperature", t.C(), 20, 1200, "°C", "the simulation, which holds the end values"); err != nil {
		return source.Result[Thermal]{}, err
	}
	c, k, e := carbonCurves["c"].at(t.C()), carbonCurves["k"].at(t.C()), carbonCurves["strain"].at(t.C())
	rho := carbonCurves["density"][0].a0
	h := carbonCurves["c"].integral(t.C())
	v := Thermal{Conductivity(k), SpecificHeat(c), Density(rho), q.Diffusivity(k / rho / c), SpecificEnthalpy(h), q.Ratio(e)}
	ref := source.At("en1993-1-2", "3.4.1", source.Read)
	return source.Result[Thermal]{Value: v, Basis: source.Basis{
		Method:  id,
		Title:   "Thermal properties of carbon steel",
		Formula: "c(θ), k(θ), ΔL/L(θ) in pieces; α = k/(ρ·c); H = ∫c dθ from 20 °C",
		Inputs:  []source.Input{{Name: "θ", Text: fmt.Sprintf("%.4g °C", t.C())}},
		Steps: []source.Step{
			{Name: "specific heat", Formula: "c(θ)", Value: c, Unit: "J/kgK"},
			{Name: "conductivity", Formula: "k(θ)", Value: k, Unit: "W/mK"},
			{Name: "diffusivity", Formula: "k/(ρ·c)", With: fmt.Sprintf("%.4g/(%.4g × %.5g)", k, rho, c), Value: k / rho / c * 1e6, Unit: "mm²/s"},
			{Name: "heat from 20 °C", Formula: "∫c dθ", Value: h / 1000, Unit: "kJ/kg"},
			{Name: "elongation", Formula: "ΔL/L(θ)", Value: e, Unit: "1"},
		},
		Ref:   ref,
		Notes: []string{"structural carbon steel on heating; the slope of k, 0.0333 W/mK per K, is from memory", "at 735 °C the value of the upper piece, 5000 J/kgK"},
		Why:   "how fast heat runs in and how much of it the steel takes up decide how long you heat and wait",
		Skip:  "with one handbook value for all temperatures the times come out wrong by up to a third",
	}}, nil
}
