// Hardness beside the weld (coarse-grained zone of a single run, HV10) from the
// composition and the cooling time, by three models that are shown as a band.
// log is base 10, t is t8/5 in s, composition in %.
//
// Yurioka 1987 (Metal Construction 19, 217R), C ≤ .8, N ≤ .01:
//
//	Cp = C (C ≤ .3), else C/6 + .25; fN = (.02 − N)/.02, N .004 where unknown
//	ΔH = 0 (B ≤ 1 ppm), .03 fN (2), .06 fN (3), .09 fN (4 ppm and more)
//	CEI = Cp + Si/24 + Mn/6 + Cu/15 + Ni/12 + Cr(1 − .16√Cr)/8 + Mo/4 + ΔH
//	CEII = C + Si/24 + Mn/5 + Cu/10 + Ni/18 + Cr/5 + Mo/2.5 + V/5 + Nb/3
//	CEIII = Cp + Mn/3.6 + Cu/20 + Ni/9 + Cr/5 + Mo/4
//	HM = 884 C (1 − .3 C²) + 294; HB = 145 + 130 tanh(2.65 CEII − .69)
//	tM = exp(10.6 CEI − 4.8); tB = exp(6.2 CEIII + .74)
//	X = 4 log(t/tM)/log(tB/tM) − 2; HV = (HM + HB)/2 − (HM − HB) atan(X)/2.2
//
// The arctangent overshoots by a few per cent beyond |X| ≈ 1.96: held to HB..HM.
//
// Düren, C ≤ .22 (limit from memory), held between its own bainite and
// martensite hardness:
//
//	r = Si/11 + Mn/8 + Cu/9 + Cr/5 + Ni/17 + Mo/6 + V/3
//	HV = 2019 [C (1 − .5 log t) + .3 r] + 66 (1 − .8 log t)
//	bounds: martensite 802 C + 305, bainite 350 (C + r) + 101
//
// Suzuki BL70S, C .017-.33:
//
//	K = 237 + 1633 C − 1157 Pcm; aK = 566 + 5532 C − 2880 Pcm
//	Y5 = −.03 − 6.00 C + 7.77 Pcm; H∞ = 884 C + 287 − K
//	HV = H∞ + K/(1 + exp[(aK/K)(log t − Y5)])
//
// Sources: forms read, coefficients from memory.

package heat

import (
	"math"

	"soundmetal/material"
	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idHardness     = "haz-hardness"
	yuriokaMaxC    = 0.8
	yuriokaMaxN    = 0.01
	yuriokaUsualN  = 0.004
	durenMaxC      = 0.22
	bl70MinC       = 0.017
	bl70MaxC       = 0.33
	modelSpread    = 40.0 // HV, the lesser of the ±40-60 by which the models differ on mild steel
	boronStep      = 1e-4 // % of boron in 1 ppm
	boronHardens   = 0.03 // ΔH for each ppm of boron above 1, to 3
	boronFullSteps = 3.0
	cpKnee         = 0.3 // % C at which Cp bends
)

type yurioka struct{ cei, ceii, ceiii, hm, hb, tm, tb, x, raw, hv float64 }

// yuriokaHardness works the Yurioka model; ok is false where the martensite and
// bainite times change places, which the model does not mean.
func yuriokaHardness(s *Steel, n, t float64) (y yurioka, ok bool) {
	c, si, mn, cr, mo := float64(s.C), float64(s.Si), float64(s.Mn), float64(s.Cr), float64(s.Mo)
	v, ni, cu, nb, b := float64(s.V), float64(s.Ni), float64(s.Cu), float64(s.Nb), float64(s.B)
	cp := c
	if c > cpKnee {
		cp = c/6 + 0.25
	}
	dh := boronHardens * min(max(b/boronStep-1, 0), boronFullSteps) * (0.02 - n) / 0.02
	y.cei = cp + si/24 + mn/6 + cu/15 + ni/12 + cr*(1-0.16*math.Sqrt(cr))/8 + mo/4 + dh
	y.ceii = c + si/24 + mn/5 + cu/10 + ni/18 + cr/5 + mo/2.5 + v/5 + nb/3
	y.ceiii = cp + mn/3.6 + cu/20 + ni/9 + cr/5 + mo/4
	y.hm = float64(material.Martensite(s.C))
	y.hb = 145 + 130*math.Tanh(2.65*y.ceii-0.69)
	y.tm, y.tb = math.Exp(10.6*y.cei-4.8), math.Exp(6.2*y.ceiii+0.74)
	if y.tb <= y.tm {
		return y, false
	}
	y.x = 4*math.Log10(t/y.tm)/math.Log10(y.tb/y.tm) - 2
	y.raw = (y.hm+y.hb)/2 - (y.hm-y.hb)*math.Atan(y.x)/2.2
	y.hv = min(max(y.raw, y.hb), y.hm)
	return y, true
}

// durenHardness gives the raw figure, its bounds and the figure between them.
func durenHardness(s *Steel, t float64) (raw, bainite, martensite, hv float64) {
	c := float64(s.C)
	r := float64(s.Si/11 + s.Mn/8 + s.Cu/9 + s.Cr/5 + s.Ni/17 + s.Mo/6 + s.V/3)
	raw = 2019*(c*(1-0.5*math.Log10(t))+0.3*r) + 66*(1-0.8*math.Log10(t))
	martensite, bainite = 802*c+305, 350*(c+r)+101
	return raw, bainite, martensite, min(max(raw, min(bainite, martensite)), martensite)
}

// bl70Hardness works BL70S; ok is false where its K is not positive.
func bl70Hardness(s *Steel, t float64) (hv float64, ok bool) {
	c, pcm := float64(s.C), float64(s.Pcm)
	k := 237 + 1633*c - 1157*pcm
	if k <= 0 {
		return 0, false
	}
	ak, y5 := 566+5532*c-2880*pcm, -0.03-6.00*c+7.77*pcm
	return 884*c + 287 - k + k/(1+math.Exp(ak/k*(math.Log10(t)-y5))), true
}

// Hardness is the hardness expected beside the weld. HV is Yurioka's figure,
// held between its own bainite and martensite hardness; Low and High are the
// band of all models that hold for the steel, at least 40 HV to each side.
type Hardness struct {
	HV   q.Vickers `json:"hv"`
	Low  q.Vickers `json:"low"`
	High q.Vickers `json:"high"`
}

// HardnessInput is what the hardness models take. BL70S needs Steel.Pcm.
type HardnessInput struct {
	Steel   Steel
	N       q.Maybe[q.Percent] // .004 where unknown
	Cooling q.Time             // t8/5
}

// HAZHardness gives the hardness expected beside the weld as a band.
func HAZHardness(in HardnessInput) (source.Result[Hardness], error) {
	var none source.Result[Hardness]
	t, c, n := float64(in.Cooling), float64(in.Steel.C), float64(in.N.Or(yuriokaUsualN))
	if err := positive(idHardness, "cooling time", t, "s"); err != nil {
		return none, err
	}
	if err := positive(idHardness, "carbon", c, "%"); err != nil {
		return none, err
	}
	if err := source.InRange(idHardness, "carbon", c, 0, yuriokaMaxC, "%", "no model holds: measure the hardness"); err != nil {
		return none, err
	}
	if err := source.InRange(idHardness, "nitrogen", n, 0, yuriokaMaxN, "%", "no model holds: measure the hardness"); err != nil {
		return none, err
	}
	y, ok := yuriokaHardness(&in.Steel, n, t)
	if !ok {
		return none, &source.OutOfRange{Method: idHardness, Quantity: "bainite time tB over martensite time tM", Value: y.tb / y.tm, Low: 1, High: math.Inf(1),
			Instead: "the steel is too highly alloyed for the model: measure the hardness"}
	}
	v := Hardness{HV: q.Vickers(y.hv)}
	low, high := y.hv-modelSpread, y.hv+modelSpread
	steps, notes := yuriokaSteps(&y, t), []string(nil)
	if y.hv != y.raw {
		notes = append(notes, "Yurioka's arctangent overshoots here: held to the model's own bainite and martensite hardness")
	}
	if c <= durenMaxC {
		raw, b, m, d := durenHardness(&in.Steel, t)
		low, high = min(low, d), max(high, d)
		steps = append(steps, durenStep(raw, b, m, d))
	} else {
		notes = append(notes, "Düren left out: made for steel to .22 % carbon (limit from memory)")
	}
	switch bl, ok := bl70Hardness(&in.Steel, t); {
	case c < bl70MinC || c > bl70MaxC:
		notes = append(notes, "BL70S left out: fitted for .017 to .33 % carbon")
	case in.Steel.Pcm <= 0:
		notes = append(notes, "BL70S left out: Pcm is not given")
	case !ok:
		notes = append(notes, "BL70S left out: its K is not positive for this steel")
	default:
		low, high = min(low, bl), max(high, bl)
		steps = append(steps, source.Step{Name: "BL70S", Value: bl, Unit: "HV10"})
	}
	v.Low, v.High = q.Vickers(low), q.Vickers(high)
	return source.Result[Hardness]{Value: v, Basis: hardnessBasis(&in, n, v, steps, notes)}, nil
}
