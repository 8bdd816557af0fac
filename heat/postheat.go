// Post-heat: keeping the joint warm after the last run so that hydrogen leaves
// (postheat.csv). Practice, by family; hours grow with the thickness in inches.
// It starts before the joint falls below the preheat and stays under 427 °C
// (800 °F); AWS D10.10:2021 5.3.

package heat

import (
	"fmt"
	"strings"

	q "soundmetal/quantity"
	"soundmetal/source"
)

const (
	idPostHeat      = "post-heat"
	postHeatFromCE  = 0.50 // % CE(IIW) from which a fabricator's rule asks for it
	postHeatHottest = 427  // °C, AWS D10.10
)

// PostHeating is what the practice asks for.
type PostHeating struct {
	Wanted      bool                `json:"wanted"`
	Temperature q.Of[q.Temperature] `json:"temperature"`
	Time        q.Time              `json:"time"`
	// CoolPerHour is the fastest cooling after it, unknown where no rule is given.
	CoolPerHour q.Maybe[q.TempDiff] `json:"cool_per_hour"`
}

type postHeatRow struct {
	byCE    bool // only from .50 % CE(IIW)
	unknown bool // and where the CE is not known
	t       q.Of[q.Temperature]
	perInch float64 // h
	least   float64 // h
	cool    q.Maybe[q.TempDiff]
	text    string
	ref     source.Ref
}

var postHeatTable = loadPostHeat()

func loadPostHeat() map[Group]postHeatRow {
	all := map[Group]postHeatRow{}
	for _, r := range load("postheat.csv") {
		row := postHeatRow{byCE: r.Text("when") != "", unknown: r.Text("when") == "ce-or-unknown", t: q.Span(q.Temperature(r.Num("low_c")), q.Temperature(r.Num("high_c"))),
			perInch: r.Num("hours_per_inch"), least: r.Num("min_h"), text: r.Text("text"), ref: r.Ref()}
		if r.Text("max_cool_k_h") != "" {
			row.cool = q.Known(q.TempDiff(r.Num("max_cool_k_h")))
		}
		for _, g := range strings.Fields(r.Text("groups")) {
			all[Group(g)] = row
		}
	}
	return all
}

// PostHeat gives the post-heat by practice. ce is CE(IIW); ordinary steel is
// post-heated from .50 % only. Where ce is not known, steel to 420 MPa yield is
// taken to lie below (its standards allow .47 at most), a casting to lie above.
func PostHeat(group Group, ce q.Maybe[q.Percent], thickness q.Length) (source.Result[PostHeating], error) {
	var none source.Result[PostHeating]
	if err := group.valid(); err != nil {
		return none, err
	}
	if err := positive(idPostHeat, "thickness", thickness.MM(), "mm"); err != nil {
		return none, err
	}
	b := source.Basis{
		Method: idPostHeat, Title: "Post-heat to let the hydrogen out",
		Inputs: []source.Input{input("steel", group.Title()), input("thickness", millimetres(thickness))},
		Also:   []source.Ref{source.At("aws-d10.10", "5.3", source.Read)},
		Why:    "The joint is full of hydrogen when the last rod is out; warmth lets it out before the steel is brittle.",
		Skip:   "A late crack in hard or thick steel, up to two days after.",
	}
	if ce.Known {
		b.Inputs = append(b.Inputs, input("CE(IIW)", percent(ce.V)))
	}
	row, ok := postHeatTable[group.orUnlisted()]
	if !ok {
		b.Ref = source.At("practice", "austenitic steel", source.Practice)
		b.Steps = []source.Step{{Name: "post-heat", Text: "none: heat harms this steel"}}
		return source.Result[PostHeating]{Basis: b}, nil
	}
	b.Ref = row.ref
	if row.byCE && (ce.Known && float64(ce.V) < postHeatFromCE || !ce.Known && !row.unknown) {
		b.Steps = []source.Step{{Name: "post-heat", Formula: fmt.Sprintf("from CE(IIW) %.2f", postHeatFromCE), Text: "none asked for: let it cool slowly under a blanket"}}
		return source.Result[PostHeating]{Basis: b}, nil
	}
	h := max(row.least, row.perInch*thickness.Inches())
	v := PostHeating{true, row.t, q.Time(h) * q.Hour, row.cool}
	b.Formula = "hours = thickness in inches × rule, at least the least"
	b.Steps = []source.Step{
		{Name: "temperature", Text: degrees(row.t.Low) + " to " + degrees(row.t.High), Value: row.t.Low.C(), Unit: "°C"},
		{Name: "time", With: fmt.Sprintf("%.3g in × %.3g h/in, at least %.3g h", thickness.Inches(), row.perInch, row.least), Value: h, Unit: "h"},
	}
	if row.cool.Known {
		b.Steps = append(b.Steps, source.Step{Name: "cooling after it, at most", Value: float64(row.cool.V), Unit: "K/h"})
	}
	b.Notes = []string{row.text, "start it before the joint falls below the preheat",
		fmt.Sprintf("below %d °C (800 °F), and not above the ceiling of the steel", postHeatHottest),
		"the rule by the inch works because weld hydrogen is local; it does not bake out a section that is charged right through"}
	return source.Result[PostHeating]{Value: v, Basis: b}, nil
}
