package gate

import (
	"math"
	"slices"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Figures that this room shows or compares with, against the text they are from.
func TestPublishedFigures(t *testing.T) {
	step := func(id string, i int) float64 { return limit(id, i) }
	row := func(rows []conditionRow, id string, i int) float64 {
		return rows[slices.IndexFunc(rows, func(r conditionRow) bool { return r.id == id })].values[i].value
	}
	weather := func(id string, i int) float64 { return row(weatherRows, id, i) }
	inspect := func(id string, i int) float64 { return row(inspectRows, id, i) }
	for _, c := range []struct {
		name      string
		got, want float64 // SI
		tolerance float64 // from the digits printed in both systems
	}{
		// 30 CFR 57.6802: hole in a sealed hollow shaft, 1/2 in
		{"vent hole", step("vent", 0), 0.5 * 0.0254, 1e-9},
		// 29 CFR 1926.354(c)(1): 4 in
		{"coating", step("strip-coating", 0), 4 * 0.0254, 0.002},
		// 29 CFR 1910.252(a)(2)(vii): 35 ft
		{"combustibles", step("combustibles", 0), 35 * 0.3048, 0.4},
		// 29 CFR 1926.350(a)(10): 20 ft, or 5 ft high
		{"oxygen and fuel gas", step("bottles", 0), 20 * 0.3048, 0.01},
		{"wall between bottles", step("bottles", 1), 5 * 0.3048, 0.03},
		// IEC 60974-1, place of higher risk: 113 V DC, 68 V AC peak
		{"open circuit DC", step("shock-wet", 0), 113, 0},
		{"open circuit AC", step("shock-wet", 1), 68, 0},
		// 29 CFR 1926.1408: 10 ft up to 50 kV (from memory)
		{"power line", step("power-lines", 0), 10 * 0.3048, 0.01},
		// AWS D1.1 7.11.2: 0 °F (−20 °C); the stricter of the two is used
		{"air at the weld", weather("cold-air", 0), (0.0 - 32) / 1.8, 1e-9},
		{"air in the steps", step("weather-stop", 0), (0.0 - 32) / 1.8, 1e-9},
		// AWS D1.1 preheat table: below 0 °C (32 °F) to 20 °C (70 °F)
		{"frozen steel", weather("cold-steel", 0), 0, 0},
		{"frozen steel, to", weather("cold-steel", 1), 20, 0},
		// AWS D1.1 7.11.1: 8 km/h (5 mph)
		{"wind for gas", weather("wind-gas", 0), 8 / 3.6, 1e-9},
		// shop rule, common practice, no source: 30 to 40 km/h
		{"wind for rods", weather("wind-rod", 0), 30 / 3.6, 1e-9},
		{"wind for rods, stop", weather("wind-rod-stop", 0), 40 / 3.6, 1e-9},
		// ASTM E165 as summarised: 40 to 125 °F (4 to 52 °C)
		{"dye, low", inspect("pt-cold", 0), (40.0 - 32) / 1.8, 1e-9},
		{"dye, high", inspect("pt-hot", 0), (125.0 - 32) / 1.8, 1e-9},
		// ISO 3452-1 (from memory): 10 to 50 °C
		{"ISO dye, low", inspect("pt-iso", 0), 10, 0},
		{"ISO dye, high", inspect("pt-iso", 1), 50, 0},
		// ASME V article 7 (from memory): 135 °F wet, 600 °F dry
		{"ink, high", inspect("mt-hot-ink", 0), (135.0 - 32) / 1.8, 1e-9},
		{"powder, high", inspect("mt-hot", 0), (600.0 - 32) / 1.8, 1e-9},
	} {
		if d := math.Abs(c.got - c.want); d > c.tolerance {
			t.Errorf("%s: got %.6g, want %.6g, difference %.3g (SI)", c.name, c.got, c.want, d)
		}
	}
}

// Dye penetrant holds from 40 to 125 °F (4 to 52 °C): ASTM E165 as summarised.
// The magnet and the yoke: ISO 17638 (from memory).
func TestPublishedRangeOfDye(t *testing.T) {
	clean := Surface{Coating: "bare", Skin: "rolled", Wet: job.Dry, Magnet: "strong"}
	for _, c := range []struct {
		f    float64
		want Class
	}{
		{39, Refuse}, {40, Condition}, {49, Condition}, {51, Go}, {70, Go}, {121, Go}, {124, Condition}, {126, Refuse}, {-4, Refuse},
	} {
		steel := q.Known(q.Fahrenheit(c.f))
		got := method(t, InspectionMethods(steel, clean, job.TestKit{PT: job.Yes}, q.US), "pt")
		if got.Class != c.want {
			t.Errorf("%v °F: got %s, want %s", c.f, got.Class, c.want)
		}
		if got.Have != job.Yes {
			t.Errorf("%v °F: dye is on the truck", c.f)
		}
	}
}

func method(t *testing.T, all []Method, id string) Method {
	t.Helper()
	i := slices.IndexFunc(all, func(m Method) bool { return m.ID == id })
	if i < 0 {
		t.Fatalf("no method %s", id)
	}
	return all[i]
}
