// Cold steel and cold air (cold.csv): AWS D1.1 warms steel below 0 °C (32 °F)
// to 20 °C (70 °F) and holds it there, and stops welding where the air at the
// weld is below -20 °C (0 °F), unless a heated enclosure keeps it warmer.

package heat

import (
	q "soundmetal/quantity"
	"soundmetal/source"
)

const idCold = "cold-steel"

// Cold is what the cold rules ask for.
type Cold struct {
	WarmTo  q.Temperature `json:"warm_to"` // 0 °C where nothing is asked for
	TooCold bool          `json:"too_cold,omitempty"`
}

type coldRow struct {
	limit, warmTo q.Temperature
	text          string
	ref           source.Ref
}

var (
	coldRows    = loadCold()
	frozenSteel = coldRows["cold-steel"]
	arcticAir   = coldRows["too-cold"]
)

func loadCold() map[string]coldRow {
	all := map[string]coldRow{}
	for _, r := range load("cold.csv") {
		all[r.Text("rule")] = coldRow{q.Temperature(r.Num("limit_c")), q.Temperature(r.Or("heat_to_c", 0)), r.Text("text"), r.Ref()}
	}
	return all
}

// ColdWeather gives what steel and air temperature ask for. Unknown steel is
// taken as cold as the air; sheltered means a heated enclosure at the weld.
func ColdWeather(air, steel q.Maybe[q.Temperature], sheltered bool) (source.Result[Cold], error) {
	t := steel
	if !t.Known {
		t = air
	}
	b := source.Basis{
		Method: idCold, Title: "Cold steel and cold air", Ref: frozenSteel.ref, Also: []source.Ref{arcticAir.ref},
		Notes: []string{"cold steel is often wet: dry the joint in any case"},
		Why:   "Frost and dew are water, and water gives hydrogen to the weld.",
		Skip:  "The first run picks up hydrogen and is chilled at once: it cracks.",
	}
	v := Cold{}
	if air.Known {
		b.Inputs = append(b.Inputs, input("air", degrees(air.V)))
	}
	if t.Known {
		if t.V < frozenSteel.limit {
			v.WarmTo = frozenSteel.warmTo
		}
		b.Inputs = append(b.Inputs, input("steel", degrees(t.V)))
		b.Steps = append(b.Steps, source.Step{Name: "steel", Text: frozenSteel.text, Value: v.WarmTo.C(), Unit: "°C"})
	} else {
		b.Notes = append(b.Notes, "neither the steel nor the air temperature is known: read it before you start")
	}
	if air.Known {
		v.TooCold = air.V < arcticAir.limit && !sheltered
		text := arcticAir.text
		if !v.TooCold {
			text = "air at the weld: welding may go on"
		}
		b.Steps = append(b.Steps, source.Step{Name: "air", Text: text, Value: air.V.C(), Unit: "°C"})
	}
	return source.Result[Cold]{Value: v, Basis: b}, nil
}
