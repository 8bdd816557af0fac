package strength

// Method:   the stress range that a crack tells of
// Symbols:  FAT class of the detail that cracked, H hours it lasted, r cycles in an hour, SD scatter of the curve
// Formula:  Δσ = FAT·10^(2SD/m)·(2e6/(H·r))^(1/m), m = 3: the range at which half of such details last H·r cycles
//           ln Δσ is normal: s² = s_FAT² + (s_N² + s_H² + s_r²)/m²
//           a measured range y joins by its weight: ln Δσ and ln r are updated together
// Validity: the crack came from fatigue, at the place the class is of; the work stays as it was
// Source:   derived from the S-N curve turned round; scatter BS 7608 and JCSS; classes and duty
//           by starts.csv and duty.csv
//
// A life in hours at the same duty hardly feels the cycles in an hour: more of
// them mean a smaller range, and the two cancel. That link is kept (Load.Link).

import (
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// LoadInput is what LoadFromCrack needs.
type LoadInput struct {
	Origin   Origin           // class of the detail that cracked
	Hours    q.Maybe[q.Time]  // how long it lasted
	From     string           // where the hours come from
	Doubtful bool             // the hours are an upper bound or hearsay: twice the scatter
	Duty     DutyCycle        // cycles in an hour
	Counted  q.Maybe[PerHour] // cycles in an hour as he counted them
	Measured q.Maybe[q.Stress]
	Yield    q.Stress // lowest yield of the credible steels; zero where unknown

	Thickness q.Length // of the part; above 25 mm the class falls; zero where unknown
}

// Load is the load on a place: equivalent stress range and cycles in an hour, as
// linked lognormal quantities.
type Load struct {
	Known       bool           `json:"known"` // false: hours and range unknown; lives are then shares of the life it had
	Median      q.Stress       `json:"median"`
	Range       q.Of[q.Stress] `json:"range"` // 5 to 95 %
	Scatter     Spread         `json:"scatter"`
	Rate        PerHour        `json:"rate"`
	RateScatter Spread         `json:"rate_scatter"`
	Link        float64        `json:"link"` // correlation of the two, -1 to 0
	Measured    bool           `json:"measured"`
	Plausible   bool           `json:"plausible"` // the range stays below 1.5 × yield
	had         float64        // hours the part lasted; 1 where they are unknown and a life is a share of it; 0 where there is none
	models      []loadModel
}

// loadModel is the load under one slope of the S-N curve: ln Δσ and ln r.
type loadModel struct {
	m, ref, factor float64 // N = ref·(FAT·factor/Δσ)^m is the median life
	x, r           float64 // means
	vx, vr, cov    float64
}

// LoadInputOf takes from a job what tells of the load.
func LoadInputOf(m job.Machine, it job.Item, yield q.Stress) LoadInput {
	in := LoadInput{Origin: OriginOf(it.Crack.Starts), Duty: DutyOf(m.Kind), Yield: yield, Thickness: it.Thickness.V}
	if c := it.Cause.CyclesPerHour; c.Known && c.V > 0 {
		in.Counted = q.Known(PerHour(c.V))
	}
	if r := it.Cause.Range; r.Known && r.V > 0 {
		in.Measured = r
	}
	switch {
	case it.History.Held.Known:
		in.Hours, in.From = it.History.Held, "hours the last repair held"
	case it.History.Welded == job.No && m.Hours.Known:
		in.Hours, in.From = m.Hours, "hours on the meter"
	case it.History.Welded != job.Yes && m.Hours.Known:
		in.Hours, in.From, in.Doubtful = m.Hours, "hours on the meter; whether it was repaired before is not known", true
	}
	if in.Hours.V <= 0 {
		in.Hours.Known = false
	}
	return in
}

// LoadFromCrack gives the load that a fatigue crack tells of. Without hours and
// without a measured range the load is not known in MPa; lives can then still be
// compared as shares of the life the part had.
func LoadFromCrack(in LoadInput) (source.Result[Load], error) {
	const method = "load-from-crack"
	none := source.Result[Load]{}
	if in.Hours.Known {
		if err := positive(method, "hours", in.Hours.V.Hours()); err != nil {
			return none, err
		}
	}
	if in.Measured.Known {
		if err := positive(method, "measured range", in.Measured.V.MPa()); err != nil {
			return none, err
		}
	}
	if err := positive(method, "class", in.Origin.Mid.MPa(), "cycles in an hour", float64(in.Duty.Main.Low)); err != nil {
		return none, err
	}
	w := begin(method, "Stress range that the crack tells of", "Δσ = FAT·10^(2SD/3)·(2e6/(H·r))^⅓", source.At("derived", "S-N curve turned round", source.Derived))
	w.also(in.Origin.Ref, in.Duty.Ref, figRef("sn_sd"))
	w.in("class of the detail that cracked", fmt.Sprintf("FAT %s (%s to %s)", num(in.Origin.Mid.MPa()), num(in.Origin.FAT.Low.MPa()), num(in.Origin.FAT.High.MPa())), in.Origin.Note)
	rate, rateScatter := middle(in.Duty.Main)
	if in.Counted.Known {
		if err := positive(method, "cycles in an hour", float64(in.Counted.V)); err != nil {
			return none, err
		}
		rate, rateScatter = float64(in.Counted.V), fig("rate_scatter")
		w.in("cycles in an hour", num(rate), "counted")
	} else {
		w.in("cycles in an hour", in.Duty.text(), "usual for the machine")
	}
	if in.Hours.Known {
		w.in("it lasted", in.Hours.V.Text(q.SI), in.From)
	}
	l := in.infer(rate, rateScatter)
	limit := fig("nominal_limit") * in.yield()
	if in.Hours.Known && !in.Measured.Known && l.Median.MPa() > limit && in.Duty.Minor.High > 0 {
		w.note("at %s cycles an hour the range would be %s, above 1.5 × yield: the small ranges in between must count; %s to %s an hour taken",
			num(rate), l.Median.Text(q.SI), num(float64(in.Duty.Minor.Low)), num(float64(in.Duty.Minor.High)))
		l = in.infer(middle(in.Duty.Minor))
	}
	l.Plausible = l.Median.MPa() <= limit
	if n := in.Hours.V.Hours() * float64(l.Rate); in.Hours.Known && n < fig("sn_shortest") {
		w.note("%s cycles are fewer than the curves cover: an overload, or a fault from the start, is more likely than fatigue, and the range is only an order of size", num(n))
	}
	switch {
	case !l.Known:
		w.say("stress range", "not known: neither the hours it lasted nor a measured range is given")
		w.note("lives can still be compared as shares of the life the part had")
	default:
		w.step("cycles it lasted", "H·r", "", in.Hours.V.Hours()*float64(l.Rate), "cycles")
		w.step("range, median", "Δσ", "", l.Median.MPa(), "MPa")
		w.step("range, 5 %", "", "", l.Range.Low.MPa(), "MPa")
		w.step("range, 95 %", "", "", l.Range.High.MPa(), "MPa")
		w.step("scatter of ln Δσ", "√(s_FAT² + (s_N² + s_H² + s_r²)/m²)", "", float64(l.Scatter), "1")
		if len(l.models) > 1 {
			w.note("it lasted more than ten million cycles, beyond the knee of the curve: lives are worked out with slope 3 and with slope 5, and the shorter counts")
		}
		if !l.Plausible {
			w.note("the range is above 1.5 × yield: more cycles than counted must have acted, or the crack did not come from fatigue")
		}
	}
	if l.Measured {
		w.stress("measured range", in.Measured.V, "measured")
		w.also(figRef("stress_measured"))
	}
	w.note("holds while the machine does the same work as before")
	w.why("The crack is the best strain gauge on the machine: it has counted every load since the weld was new.",
		"A repair is chosen without knowing the load, and the next crack tells it again.")
	return result(w, l), nil
}

func (in LoadInput) yield() float64 {
	if in.Yield > 0 {
		return in.Yield.MPa()
	}
	return fig("unknown_yield")
}

// thick is the thickness factor of the detail that cracked.
func (in LoadInput) thick() float64 {
	d, ok := DetailByID(in.Origin.Detail)
	if !ok || in.Thickness <= 0 {
		return 1
	}
	return thicknessFactor(in.Thickness.MM(), d.Thick)
}

// middle reads a span as 5 to 95 % of a lognormal quantity: median and scatter.
func middle(s q.Of[PerHour]) (median, scatter float64) {
	return math.Sqrt(float64(s.Low * s.High)), math.Log(float64(s.High/s.Low)) / (2 * z95)
}

// z95 and z99 are points of the normal distribution: 95 and 99 of 100 lie below.
const (
	z95 = 1.6448536269514722
	z99 = 2.3263478740408408
)

// infer works out the load for a rate of cycles.
func (in LoadInput) infer(rate, rateScatter float64) Load {
	l := Load{Known: in.Hours.Known || in.Measured.Known, Measured: in.Measured.Known, Rate: PerHour(rate)}
	hours := 1.0 // the life it had is the unit where the hours are unknown
	if in.Hours.Known {
		hours = in.Hours.V.Hours()
	}
	if in.Hours.Known || !in.Measured.Known {
		l.had = hours
	}
	straight := in.model(3, fig("sn_reference"), 1, rate, rateScatter, hours)
	l.models = []loadModel{straight}
	knee := curves["iiw"]
	if in.Hours.Known && hours*rate > knee.knee {
		bent := in.model(knee.m2, knee.knee, knee.atKnee(1), rate, rateScatter, hours)
		l.models = append(l.models, bent)
	}
	show := l.models[len(l.models)-1]
	l.Median, l.Scatter = mpa(math.Exp(show.x)), Spread(math.Sqrt(show.vx))
	l.Range = q.Span(mpa(math.Exp(show.x-z95*math.Sqrt(show.vx))), mpa(math.Exp(show.x+z95*math.Sqrt(show.vx))))
	l.Rate, l.RateScatter = PerHour(math.Exp(show.r)), Spread(math.Sqrt(show.vr))
	if show.vx > 0 && show.vr > 0 {
		l.Link = show.cov / math.Sqrt(show.vx*show.vr)
	}
	return l
}

// model works out ln Δσ and ln r for one slope: N = ref·(FAT·factor/Δσ)^m is the
// design life, 10^(2SD) more the median.
func (in LoadInput) model(m, ref, factor, rate, rateScatter, hours float64) loadModel {
	o := loadModel{m: m, ref: ref, factor: factor * math.Pow(10, 2*fig("sn_sd")/m), r: math.Log(rate), vr: rateScatter * rateScatter}
	class := math.Log(float64(in.Origin.FAT.High/in.Origin.FAT.Low)) / (2 * z95)
	life := fig("sn_sd") * math.Ln10
	h := fig("hours_scatter")
	if in.Doubtful {
		h *= 2
	}
	if !in.Hours.Known {
		h = 0
	}
	if in.Hours.Known || !in.Measured.Known {
		o.x = math.Log(in.Origin.Mid.MPa()*in.thick()*o.factor) + (math.Log(ref)-o.r-math.Log(hours))/m
		o.vx = class*class + (life*life+h*h+o.vr)/(m*m)
		o.cov = -o.vr / m
	}
	if !in.Measured.Known {
		return o
	}
	y, vy := math.Log(in.Measured.V.MPa()), math.Pow(fig("stress_measured"), 2)
	if !in.Hours.Known {
		o.x, o.vx, o.cov = y, vy, 0
		return o
	}
	gain, gainR := o.vx/(o.vx+vy), o.cov/(o.vx+vy)
	o.x, o.r = o.x+gain*(y-o.x), o.r+gainR*(y-o.x)
	o.vr -= gainR * o.cov
	o.cov -= gain * o.cov
	o.vx -= gain * o.vx
	return o
}

// LoadOf makes a load from a range and a rate that are given, each with its scatter.
func LoadOf(median q.Stress, scatter Spread, rate PerHour, rateScatter Spread, measured bool) Load {
	m := loadModel{m: 3, ref: fig("sn_reference"), factor: math.Pow(10, 2*fig("sn_sd")/3), x: math.Log(median.MPa()), r: math.Log(float64(rate)),
		vx: float64(scatter * scatter), vr: float64(rateScatter * rateScatter)}
	half := q.Stress(math.Exp(z95 * float64(scatter)))
	return Load{Known: true, Median: median, Range: q.Span(median/half, median*half), Scatter: scatter, Rate: rate, RateScatter: rateScatter,
		Measured: measured, Plausible: true, models: []loadModel{m}}
}

// StressScatter is the scatter of a stress range that was worked out, not
// measured: load on the part and local stress.
func StressScatter() Spread {
	return Spread(math.Hypot(fig("stress_global_cov"), fig("stress_local_cov")))
}
