package strength

// Method:   a reinforcing plate drawn to size, and where its ends must sit
// Formula:  ends pay only where Δσ_end ≤ Δσ_crack·(class_end/class_weld);
//           each end: throat·length·shear ≥ force in the plate, both sides; nose 2.5 × the width it
//           loses; beyond the theoretical cut-off one plate width with a full end weld, 1.5 else
// Validity: flat plate on a flange or plate, along the stress; the crack is out and welded through
// Source:   IIW 711 and 712 (classes), AISC 360 F13.3 (cut-off), EN 1993-1-9 table 8.5 (300 mm,
//           10 mm), AWS D1.1 (fillets, gap), trade practice (nose, stops); plate_rules.csv
//
// A plate lowers the stress in its middle, but its end sees the stress of the
// part without plate. A plate wrongly ended makes it worse.

import (
	_ "embed"
	"errors"
	"fmt"
	"math"

	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed plate_rules.csv
var plateRulesCSV string

var plateRuleRows = source.Table("plate_rules.csv", plateRulesCSV)

//go:embed stock.csv
var stockCSV string

var stockRows = source.Table("stock.csv", stockCSV)

// Rule is one rule of the trade with its source.
type Rule struct {
	ID   string     `json:"id"`
	Text string     `json:"text"`
	Ref  source.Ref `json:"source"`
}

// PlateRules gives the rules for plates and their welds.
func PlateRules() []Rule {
	var all []Rule
	for _, r := range plateRuleRows {
		all = append(all, Rule{r.Text("id"), r.Text("text"), r.Ref()})
	}
	return all
}

// PlateEndLimit gives the highest stress range at a plate's end over that at the
// crack's line at which the plate is no worse than the weld alone.
func PlateEndLimit(weld, end q.Stress) (source.Result[q.Ratio], error) {
	const method = "plate-end"
	if err := positive(method, "class of the weld", weld.MPa(), "class of the plate's end", end.MPa()); err != nil {
		return source.Result[q.Ratio]{}, err
	}
	w := begin(method, "Where a plate's end must sit", "Δσ_end ≤ Δσ_crack·(class_end/class_weld)", source.At("derived", "equal lives on one curve", source.Derived))
	r := float64(end / weld)
	w.in("class of the weld at the crack", "FAT "+num(weld.MPa()), "")
	w.in("class of the plate's end", "FAT "+num(end.MPa()), "")
	w.step("share of the stress at the crack", "class_end/class_weld", fmt.Sprintf("%s / %s", num(end.MPa()), num(weld.MPa())), r, "1")
	if r >= 1 {
		w.note("the end is no worse than the weld wherever it sits")
	}
	w.why("The end of a plate is a hard spot; the next crack starts there unless the stress there is low.", "The crack moves to the plate's end and comes back sooner.")
	return result(w, q.Ratio(r)), nil
}

// PlateInput is what DesignPlate needs.
type PlateInput struct {
	CrackRemoved bool              // taken out, welded through and tested; without it there is no plate
	Thickness    q.Length          // of the part under the plate
	Width        q.Length          // of the flange or plate it lies on
	Crack        q.Maybe[q.Length] // length that was taken out, across the stress; a wide part gets a plate no wider than it needs
	Plate        q.Maybe[q.Length] // thickness of the plate at hand
	Stock        q.System          // which plate sizes are at hand
	LowHydrogen  bool              // rods
	Weld         q.Stress          // class of the weld under it
	Peak         q.Maybe[q.Stress] // highest stress in the part
	Yield        q.Stress          // for Peak where that is not known; zero where unknown
	FadesIn      q.Maybe[q.Length] // distance along the part from the crack to where the stress fades to nothing, if it falls off evenly
	Relief       q.Maybe[q.Ratio]  // stress with plate over stress without
	Room         q.Maybe[q.Length] // free length to each side of the crack
}

// PlateDesign is a plate to size. The outline starts at the nose on the right and
// runs around; x along the stress, y across, the origin over the crack's line.
type PlateDesign struct {
	Thickness  q.Length `json:"thickness"`
	Width      q.Length `json:"width"`
	Length     q.Length `json:"length"`
	Nose       q.Length `json:"nose"`   // radius
	Taper      q.Length `json:"taper"`  // length of each tapered end
	Corner     q.Length `json:"corner"` // radius where taper meets side
	Leg        q.Length `json:"leg"`    // of the fillet
	LeastLeg   q.Length `json:"least_leg"`
	MostLeg    q.Length `json:"most_leg"`
	Edge       q.Length `json:"edge"`        // flange left free on each side
	Stop       q.Length `json:"stop"`        // starts and stops at least this far back from the nose
	Force      q.Force  `json:"force"`       // each end delivers
	WeldNeeded q.Length `json:"weld_needed"` // of each side weld, from the nose back
	WeldThere  q.Length `json:"weld_there"`  // of each side weld, up to where the plate has its full share
	EndClass   q.Stress `json:"end_class"`
	EndLimit   q.Ratio  `json:"end_limit"` // stress at the end over stress at the crack, at most
	EndAt      q.Length `json:"end_at"`    // distance of each end from the crack's line
	EndShare   q.Ratio  `json:"end_share"` // stress there over stress at the crack; 1 where not known
	EndGround  bool     `json:"end_ground"`
	Worse      bool     `json:"worse"` // the plate's end governs: worse than the weld alone
	Outline    []Point  `json:"outline"`
	Rules      []Rule   `json:"rules"`
}

// ErrCrackLeftIn refuses a plate over a crack that was not taken out.
var ErrCrackLeftIn = errors.New("plate: no plate over a crack that is left in: it hides the crack, the crack keeps growing into plate and weld, and the plate's end starts a second one; only as a logged temporary with limited hours (see hidden-crack)")

// DesignPlate draws a plate to size.
func DesignPlate(in PlateInput) (source.Result[PlateDesign], error) {
	const method = "plate"
	none := source.Result[PlateDesign]{}
	if !in.CrackRemoved {
		return none, ErrCrackLeftIn
	}
	if err := positive(method, "thickness", in.Thickness.MM(), "width", in.Width.MM(), "class of the weld", in.Weld.MPa()); err != nil {
		return none, err
	}
	w := begin(method, "Reinforcing plate to size", "ends: Δσ_end ≤ Δσ_crack·class_end/class_weld; 2·a·Lw·τ ≥ F", source.At("practice", "plates", source.Practice))
	w.length("part under the plate", in.Thickness, "")
	w.length("width of the part", in.Width, "")
	d := PlateDesign{Rules: PlateRules(), Stop: millis(fig("plate_stop"))}
	tp, err := in.thickness()
	if err != nil {
		return none, err
	}
	d.Thickness = tp
	t := in.Thickness.MM()
	if err := source.InRange(method, "plate thickness over part thickness", tp.MM()/t, fig("plate_low"), fig("plate_high"), "",
		"a thin plate takes no load and a thick one makes a harder end"); err != nil {
		return none, err
	}
	legs, err := FilletLimits(tp, in.Thickness, in.LowHydrogen)
	if err != nil {
		return none, err
	}
	d.LeastLeg, d.MostLeg = legs.Value.Least, legs.Value.Most
	d.Leg = min(d.MostLeg, max(d.LeastLeg, q.Length(math.Ceil(fig("end_full")*tp.MM()))*q.Millimetre))
	w.step("thickness of the plate", "0.5 to 1.0 of the part", "", tp.MM(), "mm")
	w.step("leg of the fillet", "least to largest; ¾ of the plate where it fits", fmt.Sprintf("%s to %s", num(d.LeastLeg.MM()), num(d.MostLeg.MM())), d.Leg.MM(), "mm")

	d.Edge = d.Leg + millis(fig("plate_edge"))
	width := in.Width - 2*d.Edge
	if err := source.InRange(method, "width left for the plate", width.MM(), 2*fig("plate_nose_least"), math.MaxFloat64, "mm",
		"the part is too narrow for a plate with free edges: weld without a plate"); err != nil {
		return none, err
	}
	d.Width = q.Length(math.Floor(width.MM())) * q.Millimetre
	if over := in.Crack.V + 2*millis(fig("plate_over")); in.Crack.Known && over < d.Width {
		d.Width, d.Edge = q.Length(math.Ceil(over.MM()))*q.Millimetre, (in.Width-over)/2
	}
	d.Nose = millis(math.Min(fig("plate_nose_most"), math.Max(fig("plate_nose_least"), fig("plate_nose_share")*d.Width.MM())))
	d.Corner = d.Nose
	d.Taper = q.Length(fig("plate_taper")) * (d.Width - 2*d.Nose)
	w.step("width", "W - 2(leg + 10), no more than the crack + 2 × 75", fmt.Sprintf("%s - 2(%s + %s)", num(in.Width.MM()), num(d.Leg.MM()), num(fig("plate_edge"))), d.Width.MM(), "mm")
	w.step("nose", "radius", "", d.Nose.MM(), "mm")
	w.step("taper", "2.5 × the width it loses", fmt.Sprintf("2.5(%s - 2 × %s)", num(d.Width.MM()), num(d.Nose.MM())), d.Taper.MM(), "mm")
	in.place(w, &d)
	d.Outline = d.outline()
	if in.Room.Known && d.EndAt > in.Room.V {
		return none, &source.OutOfRange{Method: method, Quantity: "room beside the crack", Value: in.Room.V.MM(), Low: d.EndAt.MM(), High: math.MaxFloat64,
			Unit: "mm", Instead: "no room for a plate that ends well: weld without a plate"}
	}
	w.also(figRef("plate_total_least"), figRef("end_strong"), figRef("plate_gap"))
	w.note("gap under the plate at most %s; above %s add it to the leg; reject %s", millis(fig("plate_gap")).Text(q.SI), millis(fig("plate_gap_add")).Text(q.SI), millis(fig("plate_gap_reject")).Text(q.SI))
	w.why("A plate only helps if its force gets in softly and its end sits where the stress is low.", "The plate's end cracks, and now there are two cracks.")
	return result(w, d), nil
}

// thickness picks the plate: the one at hand, or the thickest stock size up to ¾ of the part.
func (in PlateInput) thickness() (q.Length, error) {
	if in.Plate.Known {
		return in.Plate.V, positive("plate", "plate thickness", in.Plate.V.MM())
	}
	var best float64
	for _, r := range stockRows {
		t := r.Num("thickness_mm")
		if r.Text("system") == in.Stock.String() && t <= fig("plate_stock")*in.Thickness.MM() {
			best = math.Max(best, t)
		}
	}
	if best < fig("plate_low")*in.Thickness.MM() { // thin parts: no stock size in the band
		best = in.Thickness.MM()
	}
	return millis(best), nil
}

// place works out force, weld and where the ends sit.
func (in PlateInput) place(w *work, d *PlateDesign) {
	peak, from := in.Peak.V.MPa(), "given"
	if !in.Peak.Known {
		yield := fig("unknown_yield")
		if in.Yield > 0 {
			yield = in.Yield.MPa()
		}
		peak, from = fig("plate_peak_share")*yield, "not known: 0.6 × yield"
		w.also(figRef("plate_peak_share"))
	}
	relief := float64(in.Relief.Or(q.Ratio(fig("plate_relief"))))
	w.stress("highest stress in the part", mpa(peak), from)
	force := relief * peak * d.Width.MM() * d.Thickness.MM()
	d.Force = q.Force(force)
	throat := d.Leg.MM() / math.Sqrt2
	need := force / (2 * throat * fig("plate_shear"))
	w.step("force at each end", "relief × peak × width × thickness", fmt.Sprintf("%s × %s × %s × %s", num(relief), num(peak), num(d.Width.MM()), num(d.Thickness.MM())), force, "N")
	w.step("weld needed by the force, each side", "F/(2·a·τ)", fmt.Sprintf("%s / (2 × %s × %s)", num(force), num(throat), num(fig("plate_shear"))), need, "mm")
	beyond := fig("end_weak")
	if d.Leg.MM() >= fig("end_full")*d.Thickness.MM() {
		beyond = fig("end_strong")
	}
	cutoff := beyond * d.Width.MM()
	w.step("weld needed beyond the cut-off", "1 plate width with a full end weld, 1.5 else", "", cutoff, "mm")
	need = math.Max(need, cutoff)
	d.WeldNeeded = millis(need)

	ratio := d.Thickness.MM() / in.Thickness.MM()
	end := mustClass("doubler-end", IIW, ratio).FAT
	d.EndClass = end
	limit := math.Min(1, float64(end/in.Weld))
	half := math.Max(fig("plate_total_least")/2, need+fig("plate_fade")*d.Width.MM())
	half = math.Max(half, d.Taper.MM()+d.Nose.MM()+fig("plate_fade")*d.Width.MM())
	share := 1.0
	if in.FadesIn.Known {
		half = math.Max(half, (1-limit)*in.FadesIn.V.MM())
		share = math.Max(0, 1-half/in.FadesIn.V.MM())
		w.length("stress fades to nothing in", in.FadesIn.V, "")
	} else {
		w.note("how the stress falls off along the part is not known: the ends are counted as under the full stress")
	}
	if share > limit { // an end that is built up and ground stands more
		ground := mustClass("doubler-end-ground", IIW, ratio).FAT
		d.EndGround, d.EndClass = true, ground
		limit = math.Min(1, float64(ground/in.Weld))
	}
	half = math.Ceil(half/5) * 5
	d.WeldThere = millis(half - fig("plate_fade")*d.Width.MM())
	d.EndAt, d.Length, d.EndShare, d.EndLimit = millis(half), millis(2*half), q.Ratio(share), q.Ratio(limit)
	d.Worse = share > limit
	w.step("stress at the end over stress at the crack, at most", "class_end/class_weld", fmt.Sprintf("%s / %s", num(d.EndClass.MPa()), num(in.Weld.MPa())), limit, "1")
	w.step("stress at the end over stress at the crack", "", "", share, "1")
	w.step("each end from the crack", "the longest of: 150 mm, weld + half a width, taper + half a width, end rule", "", half, "mm")
	if d.Worse {
		w.note("the plate's end governs and the plate is worse than the weld alone: weld without a plate, or end it where the stress is no more than %s of that at the crack", percent(limit))
	}
	if d.EndGround {
		w.note("build up and grind the end welds with a taper")
	}
}

// outline is the plate's edge, clockwise from the right nose.
func (d PlateDesign) outline() []Point {
	half, r, y := d.Length/2, d.Nose, d.Width/2
	const arc = 8 // chords of a quarter circle
	var quarter []Point
	for i := 0; i <= arc; i++ { // from the tip of the nose to its side
		s, c := math.Sincos(math.Pi / 2 * float64(i) / arc)
		quarter = append(quarter, Point{half - r + r*q.Length(c), -r * q.Length(s)})
	}
	quarter = append(quarter, Point{half - r - d.Taper, -y})
	var all []Point
	all = append(all, quarter...)
	mirror := func(sx, sy q.Length, back bool) {
		for i := range quarter {
			p := quarter[i]
			if back {
				p = quarter[len(quarter)-1-i]
			}
			all = append(all, Point{sx * p.X, sy * p.Y})
		}
	}
	mirror(-1, 1, true)
	mirror(-1, -1, false)
	mirror(1, -1, true)
	return all
}
