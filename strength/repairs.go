package strength

// Method:   repairs compared at the range that the crack tells of
// Formula:  life of each place that may crack, by its class and its share of the range (lives.go);
//           the first to crack counts; what is left in is worked out as growth (friday.go)
// Validity: as its parts; lives are for the same work as before
// Source:   classes IIW (repairs.csv); plate and hole as their own methods

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed repairs.csv
var repairsCSV string

var repairRows = source.Table("repairs.csv", repairsCSV)

// RepairsInput is what CompareRepairs needs.
type RepairsInput struct {
	Withheld  string // why the gate gives no figure; empty where it lets the item pass
	Load      Load
	Access    job.Access
	Thickness q.Length
	Width     q.Maybe[q.Length]
	Yield     q.Stress
	Stock     q.System          // which plate sizes are at hand
	Relief    q.Maybe[q.Ratio]  // stress with a plate over stress without, from the section
	FadesIn   q.Maybe[q.Length] // where the stress along the part fades to nothing
	EndShare  q.Maybe[q.Ratio]  // stress at the moved end of a plate over that at the crack; unknown is half
	Crack     *FridayInput      // the crack as it is; nil where its size is not known
	Left      *FridayAnswer     // the answer to it, where it is worked out already
	Costs     map[string]q.Of[q.Time]
}

// Option is one way to repair.
type Option struct {
	ID        string                `json:"id"`
	Title     string                `json:"title"`
	Text      string                `json:"text"`
	Possible  bool                  `json:"possible"`
	WhyNot    string                `json:"why_not,omitempty"`
	Temporary bool                  `json:"temporary"`
	Plate     bool                  `json:"plate"`
	Life      Life                  `json:"life"`
	Governs   string                `json:"governs,omitempty"` // the place that cracks first
	Worse     bool                  `json:"worse"`             // a plate that lasts less than its weld alone
	EndLimit  q.Ratio               `json:"end_limit,omitempty"`
	Cost      q.Maybe[q.Of[q.Time]] `json:"-"`
	Status    source.Status         `json:"status"`
}

// CompareRepairs gives every option, the longest life at 5 % risk first; what is
// refused or cannot be worked out comes last.
func CompareRepairs(in RepairsInput) (source.Result[[]Option], error) {
	const method = "compare-repairs"
	w := begin(method, "Ways to repair, compared", "life of the first place to crack, at the range that the crack tells of", source.At("iiw-fatigue", "catalogue of details", source.Memory))
	w.why("The strongest-looking repair is often not the one that lasts; the weld's class and where a plate ends decide.",
		"A plate is put on because a plate was always put on.")
	if in.Withheld != "" {
		w.note("the gate refuses this item or hands it on: no figure is given")
		return result(w, []Option(nil)), nil
	}
	if err := positive(method, "thickness", in.Thickness.MM(), "share of the stress at the plate's end", float64(in.EndShare.Or(1))); err != nil {
		return source.Result[[]Option]{}, err
	}
	if in.Load.models == nil {
		return source.Result[[]Option]{}, fmt.Errorf("%s: the load must come from LoadFromCrack or LoadOf", method)
	}
	w.length("thickness", in.Thickness, "")
	if in.Load.Known {
		w.in("stress range", fmt.Sprintf("%s (%s to %s)", in.Load.Median.Text(q.SI), in.Load.Range.Low.In(q.SI), in.Load.Range.High.In(q.SI)), "")
		w.in("cycles in an hour", num(float64(in.Load.Rate)), "")
	} else {
		w.note("the load is not known in MPa: lives are given as times the life the part had")
	}
	var all []Option
	for _, r := range repairRows {
		o := Option{ID: r.Text("id"), Title: r.Text("title"), Text: r.Text("text"), Possible: true, Status: r.Ref().Status}
		if c, ok := in.Costs[o.ID]; ok {
			o.Cost = q.Known(c)
		}
		if r.Text("access") == "both" && in.Access == job.OneSide {
			o.Possible, o.WhyNot = false, "only one side can be reached: cut a window first"
		}
		switch r.Text("kind") {
		case "weld":
			in.weld(r, &o)
		case "plate":
			in.plate(r, &o, w)
		case "hole":
			in.hole(&o)
		case "none":
			in.nothing(&o)
		default:
			o.Possible, o.WhyNot = false, ErrCrackLeftIn.Error()
		}
		all = append(all, o)
	}
	order := func(o Option) float64 {
		v := math.Max(o.Life.Risk5.Hours(), o.Life.Times5)
		if !in.Load.Known {
			v = o.Life.Times5
		}
		if !o.Possible {
			v -= 1e12
		}
		return v
	}
	slices.SortStableFunc(all, func(a, b Option) int {
		if order(a) > order(b) {
			return -1
		}
		if order(a) < order(b) {
			return 1
		}
		return 0
	})
	for _, o := range all {
		switch {
		case o.Governs == "":
			w.say(o.Title, o.WhyNot)
		case in.Load.Known:
			w.step(o.Title, "life at 5 % risk", "governs: "+o.Governs, o.Life.Risk5.Hours(), "h")
		default:
			w.step(o.Title, "median over the life it had", "governs: "+o.Governs, o.Life.Times, "times")
		}
	}
	w.note("lives hold for the same work as before; the cause must be put right as well")
	return result(w, all), nil
}

// thick is a class with its thickness factor.
func (in RepairsInput) thick(d Detail, fat float64) float64 {
	return fat * thicknessFactor(in.Thickness.MM(), d.Thick)
}

// weld fills a weld without a plate.
func (in RepairsInput) weld(r source.Row, o *Option) {
	o.Life, o.Governs = in.Load.life([]place{in.weldPlace(r.Text("detail"), r.Text("treatment"), 1)})
}

// weldPlace is a weld under a share of the range.
func (in RepairsInput) weldPlace(detail, treatment string, share float64) place {
	d, _ := DetailByID(detail)
	fat := mustClass(detail, IIW, 0).FAT
	if treatment != "" {
		yield := in.Yield
		if yield <= 0 {
			yield = mpa(fig("unknown_yield"))
		}
		better, err := Improve(ImproveInput{detail, fat, treatment, yield})
		if err != nil {
			panic("strength: repairs.csv: " + err.Error()) // the rows are ours
		}
		fat = better.Value
	}
	return place{name: d.Text, fat: in.thick(d, fat.MPa()), ratio: share}
}

// under is the best weld that access allows, for under a plate.
func (in RepairsInput) under() string {
	if in.Access == job.OneSide {
		return "butt-one-backing"
	}
	return "butt-both-flush"
}

// plate fills a plate over a weld.
func (in RepairsInput) plate(r source.Row, o *Option, w *work) {
	o.Plate = true
	relief := float64(in.Relief.Or(q.Ratio(fig("plate_relief"))))
	if !in.Relief.Known {
		w.note("stress with a plate over stress without: %s assumed, because the section is not known", num(relief))
	}
	share := r.Num("end_share")
	if share < 1 {
		share = float64(in.EndShare.Or(q.Ratio(share)))
		if in.FadesIn.Known {
			o.Text += fmt.Sprintf("; that is %s from the crack", (q.Length(1-share) * in.FadesIn.V).Text(q.SI))
		} else {
			o.Text += "; only where the stress does fall that far within reach"
		}
	}
	alone := in.weldPlace(in.under(), "", 1)
	ratio := fig("plate_ratio")
	var throat float64 // stress in the throat of the plate's welds over that at the crack
	if in.Width.Known {
		d, err := DesignPlate(PlateInput{CrackRemoved: true, Thickness: in.Thickness, Width: in.Width.V, Stock: in.Stock, LowHydrogen: true,
			Crack: in.removed(), Weld: mpa(alone.fat), Yield: in.Yield, Relief: q.Known(q.Ratio(relief))})
		if err != nil {
			o.Possible, o.WhyNot = false, err.Error()
			return
		}
		p := d.Value
		ratio = float64(p.Thickness / in.Thickness)
		throat = relief * p.Width.MM() * p.Thickness.MM() / (2 * p.Leg.MM() / math.Sqrt2 * p.WeldThere.MM())
	} else {
		w.note("width not known: the welds of a plate were not worked out, and its thickness is taken as %s of the part's", num(ratio))
	}
	end, _ := DetailByID(r.Text("detail"))
	side, _ := DetailByID("long-manual")
	toe := place{name: "plate's end: " + end.Text, fat: in.thick(end, mustClass(end.ID, IIW, ratio).FAT.MPa()), ratio: share}
	o.EndLimit = q.Ratio(math.Min(1, toe.fat/alone.fat))
	places := []place{in.weldPlace(in.under(), "", relief), toe,
		{name: "side weld of the plate", fat: in.thick(side, mustClass(side.ID, IIW, 0).FAT.MPa()), ratio: relief}}
	if throat > 0 {
		places = append(places, place{name: "root of the plate's welds", fat: mustClass("fillet-root", IIW, 1).FAT.MPa(), ratio: throat},
			place{name: "shear in the plate's side welds", fat: mustClass("fillet-shear", EN, 0).FAT.MPa(), ratio: throat, shear: true})
	}
	o.Life, o.Governs = in.Load.life(places)
	bare, _ := in.Load.life([]place{alone})
	o.Worse = o.Life.Times5 < bare.Times5 || o.Life.Risk5 < bare.Risk5
	if o.Worse {
		o.Text += fmt.Sprintf("; lasts less than the weld alone: its ends must sit where the stress is no more than %s of that at the crack", percent(float64(o.EndLimit)))
	}
}

// removed is the length of the crack that a plate would have to cover.
func (in RepairsInput) removed() q.Maybe[q.Length] {
	if in.Crack == nil {
		return q.Maybe[q.Length]{}
	}
	return q.Known(in.Crack.Crack.length())
}

// nothing fills the crack left as it is.
func (in RepairsInput) nothing(o *Option) {
	o.Temporary = true
	life, why := in.growth()
	if why != "" {
		o.WhyNot = why
		return
	}
	if in.Load.had > 0 {
		life.Times, life.Times5 = life.Median.Hours()/in.Load.had, life.Risk5.Hours()/in.Load.had
	}
	o.Life, o.Governs = life, "growth of the crack to breaking"
}

// growth is the life of the crack as it is.
func (in RepairsInput) growth() (Life, string) {
	switch {
	case in.Crack == nil:
		return Life{}, "the crack's size is not known"
	case in.Crack.EndsUnseen:
		return Life{}, "an end of the crack was not found"
	case !in.Load.Known:
		return Life{}, "the load is not known in MPa"
	}
	if in.Left != nil && in.Left.Rows != nil {
		return in.Left.Life, ""
	}
	f, err := newFriday("compare-repairs", *in.Crack)
	if err != nil {
		return Life{}, err.Error()
	}
	life, _ := f.drawLives()
	return life, ""
}

// hole fills the stop hole, at the upper end of the range.
func (in RepairsInput) hole(o *Option) {
	o.Temporary = true
	switch {
	case in.Crack == nil:
		o.Possible, o.WhyNot = false, "the crack's size is not known"
		return
	case in.Crack.EndsUnseen:
		o.Possible, o.WhyNot = false, "an end of the crack was not found: a hole must hold the tip"
		return
	case !in.Load.Known:
		o.Possible, o.WhyNot = false, "the load is not known in MPa"
		return
	}
	c := in.Crack.Crack
	s := StopHoleInput{Range: in.Load.Range.High, Length: 2 * c.A, Width: c.Width, Yield: in.Yield}
	switch c.Geometry {
	case Through:
	case Edge, EdgeBending:
		s.Length, s.Edge = c.A, true
	default:
		o.Possible, o.WhyNot = false, "a hole is no use on this crack"
		return
	}
	if s.Yield <= 0 {
		s.Yield = mpa(fig("unknown_yield"))
	}
	size, err := StopHole(s)
	if err != nil {
		o.Possible, o.WhyNot = false, err.Error()
		return
	}
	d, err := CategoryByName("D")
	if err != nil {
		panic("strength: " + err.Error()) // the row is ours
	}
	drill := size.Value.Diameter
	if in.Stock == q.US { // the next drill by inches
		drill = q.RoundUp(drill, q.Inch/8)
	}
	o.Text = fmt.Sprintf("%s; drill %s at each tip", o.Text, drill.Text(in.Stock))
	o.Life, o.Governs = in.Load.life([]place{{name: "edge of the hole at net stress", fat: d.FAT().MPa(), ratio: float64(size.Value.Net)}})
}
