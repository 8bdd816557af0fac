package calc_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"soundmetal/calc"
	"soundmetal/source"
)

// Every method's own example applies and gives a finite figure with its basis.
func TestExamplesApply(t *testing.T) {
	for _, m := range calc.List() {
		t.Run(m.ID, func(t *testing.T) {
			if len(m.Example) == 0 || m.Limits == "" {
				t.Fatalf("no example or no limits: add %s to calc/examples.go", m.ID)
			}
			o, err := calc.Run(m.ID, m.Example)
			if err != nil {
				t.Fatal(err)
			}
			if !o.Applies || o.Result == nil || o.Result.Value == nil {
				t.Fatalf("does not apply: %+v", o)
			}
			if v := *o.Result.Value; math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("value %g", v)
			}
			if o.Source == "" || o.Status == "" || o.Why == "" || o.Skip == "" || o.Result.Text == "" || len(o.Inputs) == 0 || len(o.Steps) == 0 {
				t.Errorf("the basis has a hole: %+v", o)
			}
		})
	}
}

// beyond is one call of each method outside its range. Methods that are missing
// here have none, for the reason given.
var beyond = map[string]struct{ call, names string }{
	"ms":                   {"C=.7 Mn=.8", "C 0.7 %"},
	"hardness-strength":    {"HB=620", "hardness 620 HB"},
	"preheat-cet":          {"CET=0.56 d=50mm HD=5 Q=2.0", "CET 0.56 %"},
	"preheat-si":           {"Pcm=.50 H=30 d=20 restraint=low", "susceptibility index 7.5"},
	"preheat-prequalified": {"category=B d=2", "thickness 2 mm"},
	"preheat-ms":           {"C=.20 Mn=1 H=4", "carbon 0.2 %"},
	"preheat-ito":          {"Pcm=.25 H=3 d=10 hydrogen_by=glycerine", "thickness 10 mm"},
	"cooling-time":         {"T0=500 Q=1 d=10", "temperature 500 °C"},
	"haz-hardness":         {"C=.9 Mn=1 t85=10", "carbon 0.9 %"},
	"heat-input":           {"V=24 I=160 v=150 k=.3", "efficiency 0.3"},
	"hydrogen-left":        {"T=500 t=2 L=25", "temperature 500 °C"},
	"gouge-current":        {"D=30", "carbon diameter 30 mm"},
	"groove-area":          {"shape=single-v angle=190 root_opening=2 d=12", "included angle 190 °"},
	"run-out":              {"D=20 L=410 F=.0408 E=1.3", "core diameter 20 mm"},
	"exposure":             {"class=E6010", "E6010 has no exposure time"},
	"duty":                 {"I1=400 D1=25 D2=150", "duty cycle 1.5"},
	"lead-drop":            {"A_mm2=1 L=60m I=225", "cable section 1 mm²"},
	"lpg-rate":             {"T=-40F full=100lb left=100", "bottle temperature -40 °C"},
	"fuel-rate":            {"V=29 I=9000", "current 9000 A"},
	"fatigue-life":         {"FAT=20 range=100", "FAT 20 MPa"},
	"stress-from-life":     {"FAT=80 cycles=1e9 m_knee=en", "life 1e+09 cycles"},
	"crack-growth":         {"geometry=through a1=5 a2=90 W=200 range=80", "crack length a 90 mm"},
	"sif-surface":          {"a=19 c=20 t=20 b=100 sigma_m=100", "a/t 0.95"},
	"fad":                  {"Lr=1.3 Re=355 Rm=490", "Lr 1.3"},
	"stop-hole":            {"range=200 crack=200 yield=355", "hole radius needed 600 mm"},
	"weld-time":            {"mass=1 deposition=2 OF=150", "operating factor 1.5"},
	"deposit-cost":         {"rate=45 deposition=5.4lb/h OF=30 price=0.85 DE=5", "deposition efficiency 0.05"},
	"travel-cost":          {"distance=20000mi each=1.40", "distance 20000 mi"},
	"network":              {"edges=a-b:0.5mohm source=a sink=b I=9000", "current 9000 A"},
}

var withoutRange = map[string]string{
	"ce-iiw":           "a sum, given for any composition with a note",
	"ce-aws":           "a sum, given for any composition",
	"cet":              "a sum, given for any composition with a note",
	"pcm":              "a sum, given for any composition with a note",
	"cen":              "a sum, given for any composition with a note",
	"preheat-seferian": "no published limits",
	"measure-distance": "a rule for any thickness",
	"hold-time":        "a table without an end",
	"gouge-groove":     "geometry",
	"cap-area":         "geometry",
	"fillet-area":      "geometry",
	"section":          "geometry",
	"rainflow":         "a count, for any history",
}

var rangeText = regexp.MustCompile(`range (\S+ to [^\s;]+)`)

// Out of its range a method gives no value, names the quantity, the value and
// the limit, and the limit is the one that Limits tells.
func TestOutOfRange(t *testing.T) {
	for _, m := range calc.List() {
		t.Run(m.ID, func(t *testing.T) {
			c, ok := beyond[m.ID]
			if !ok {
				if withoutRange[m.ID] == "" {
					t.Fatal("no call outside its range and no reason why not")
				}
				return
			}
			o, err := calc.Run(m.ID, strings.Fields(c.call))
			if err != nil {
				t.Fatal(err)
			}
			if o.Applies || o.Result != nil {
				t.Fatalf("applies: %+v", o.Result)
			}
			if !strings.Contains(o.Limit, c.names) {
				t.Errorf("%q does not name %q", o.Limit, c.names)
			}
			if o.Source == "" || o.Why == "" || o.Status == "" {
				t.Errorf("a refusal without source or reason: %+v", o)
			}
			if r := rangeText.FindStringSubmatch(o.Limit); r != nil && !strings.Contains(m.Limits, r[1]) {
				t.Errorf("the refusal says %q, Limits does not: %q", r[1], m.Limits)
			} else if r == nil && m.ID != "exposure" {
				t.Errorf("%q names no range", o.Limit)
			}
		})
	}
}

// A carbon equivalent beyond the composition it was made for is still a sum,
// and says what lies outside.
func TestEquivalentOutsideSaysSo(t *testing.T) {
	for id, names := range map[string]string{"ce-iiw": "C 0.45 %", "cet": "C 0.45 %", "pcm": "C 0.45 %", "cen": "C 0.45 %"} {
		o, err := calc.Run(id, []string{"C=.45", "Si=.25", "Mn=.75"})
		if err != nil || !o.Applies {
			t.Fatalf("%s: %v, applies %v", id, err, o.Applies)
		}
		if !strings.Contains(strings.Join(o.Notes, "\n"), names+" is outside") {
			t.Errorf("%s: notes %q do not name what lies outside", id, o.Notes)
		}
	}
}

// Limits tells every limit of the tables it is made from.
func TestLimitsAgreeWithTables(t *testing.T) {
	limits := map[string]string{}
	for _, m := range calc.List() {
		limits[m.ID] = m.Limits
	}
	for _, file := range []string{"material", "filler", "power"} {
		data, err := os.ReadFile("../" + file + "/limits.csv")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range source.Table(file+"/limits.csv", string(data)) {
			text, ok := limits[r.Text("method")]
			if !ok || (r.Has("quantity") && r.Text("quantity") == "run-out length") { // a limit of run-out's inverse
				continue
			}
			if want := r.Text("low") + " to " + trimZeros(r.Text("high")); !strings.Contains(text, trimZeros(r.Text("low"))+" to "+trimZeros(r.Text("high"))) {
				t.Errorf("%s:%d: %s: Limits does not say %q", r.File, r.Line, r.Text("method"), want)
			}
		}
	}
}

// trimZeros writes a number of a table as a refusal prints it: 0.20 as 0.2.
func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// The JSON form has the promised keys.
func TestOutcomeJSON(t *testing.T) {
	keys := func(args ...string) map[string]json.RawMessage {
		o, err := calc.Run("preheat-cet", args)
		if err != nil {
			t.Fatal(err)
		}
		data, err := o.JSON()
		if err != nil {
			t.Fatal(err)
		}
		var all map[string]json.RawMessage
		if err := json.Unmarshal(data, &all); err != nil {
			t.Fatal(err)
		}
		for _, k := range []string{"method", "steps", "source", "status", "applies", "why"} {
			if _, ok := all[k]; !ok {
				t.Errorf("no key %q in %s", k, data)
			}
		}
		return all
	}
	in := keys("CET=0.40", "d=50mm", "HD=5", "Q=2.0")
	var result struct {
		Value *float64
		Unit  string
	}
	if err := json.Unmarshal(in["result"], &result); err != nil || result.Value == nil || math.Round(*result.Value) != 181 || result.Unit != "°C" {
		t.Errorf("result %s: %v", in["result"], err)
	}
	if string(in["applies"]) != "true" || string(in["method"]) != `"preheat-cet"` || string(in["status"]) != `"read"` {
		t.Errorf("applies %s, method %s, status %s", in["applies"], in["method"], in["status"])
	}
	var steps []map[string]any
	if err := json.Unmarshal(in["steps"], &steps); err != nil || len(steps) != 5 || steps[0]["name"] != "steel" || steps[0]["value"] == nil {
		t.Errorf("steps %s: %v", in["steps"], err)
	}
	out := keys("CET=0.56", "d=50mm", "HD=5", "Q=2.0")
	if _, ok := out["result"]; ok || string(out["applies"]) != "false" || !strings.Contains(string(out["limit"]), "0.2 to 0.5") {
		t.Errorf("out of range: result %s, applies %s, limit %s", out["result"], out["applies"], out["limit"])
	}
}

// A call that cannot be understood is a *UsageError that says what would be.
func TestUsage(t *testing.T) {
	for name, c := range map[string]struct{ id, call, says string }{
		"unknown method":     {"preheat-cett", "", `the nearest is "preheat-cet"`},
		"unknown value":      {"preheat-cet", "CET=.4 dd=50mm", `did you mean "d"?`},
		"missing":            {"preheat-cet", "CET=.4 d=50mm", "missing HD, Q"},
		"missing carbon":     {"cet", "Mn=1.4", "missing C"},
		"not name=value":     {"preheat-cet", "CET", "name=value"},
		"twice":              {"preheat-cet", "CET=.4 CET=.3", "twice"},
		"wrong kind of unit": {"preheat-cet", "CET=.4 d=50F HD=5 Q=2", "d"},
		"not a number":       {"heat-input", "V=24 I=160 v=150 k=much", `"much" is not a number`},
		"not a word":         {"preheat-si", "Pcm=.28 H=10 d=2in restraint=huge", "low, medium, high"},
		"impossible share":   {"cet", "C=120", "C"},
		"nothing":            {"preheat-cet", "CET=.4 d=0 HD=5 Q=2", "greater than 0"},
		"not a rod":          {"exposure", "class=banana", "not a rod"},
		"not a steel":        {"hold-time", "steel=cheese size=10 Q=1", "cheese"},
		"price in words":     {"deposit-cost", "rate=much deposition=5.4lb/h", `"much" is not a plain number`},
		"two readings":       {"deposit-cost", "rate=1,250 deposition=5.4lb/h", "may mean 1250 or 1.250"},
		"not a currency":     {"deposit-cost", "rate=45 deposition=5.4lb/h currency=dollars", "three letters"},
		"no efficiency":      {"deposit-cost", "rate=45 deposition=5.4lb/h price=0.85", "needs its deposition efficiency"},
		"no price":           {"travel-cost", "distance=32mi", "give a price"},
		"no distance":        {"travel-cost", "each=1.40", "needs the distance"},
		"half a visit":       {"travel-cost", "distance=32mi each=1.40 visits=1.5", "not a whole number"},
		"case where two":     {"hydrogen-left", "T=250 t=2 l=25 L=25", "twice"},
	} {
		_, err := calc.Run(c.id, strings.Fields(c.call))
		var usage *calc.UsageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: got %v, want one sentence that says %q", name, err, c.says)
		}
	}
}

// A value is read as people write it; each of these is the same call.
func TestWaysToWrite(t *testing.T) {
	want := run(t, "preheat-cet", "CET=0.40 d=50.8 HD=5 Q=2.0")
	for _, call := range []string{"CET=0.40% d=2in HD=5 Q=2.0", `CET=.40 d=2" HD=5 Q=50.8kJ/in`, "cet=0,40 D=50,8mm hd=5ml/100g q=2kJ/mm", "CET=.4 d=2” HD=5 Q=2"} {
		if got := run(t, "preheat-cet", call); math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: got %v, want %v", call, got, want)
		}
	}
	f, c := run(t, "cooling-time", "T0=300F Q=1 d=1/2in"), run(t, "cooling-time", "T0=148.889C Q=1 d=12.7")
	if math.Abs(f-c) > 1e-4 {
		t.Errorf("300F, 1/2in: got %v, want %v", f, c)
	}
}

func run(t *testing.T, id, call string) float64 {
	t.Helper()
	o, err := calc.Run(id, strings.Fields(call))
	if err != nil || o.Result == nil {
		t.Fatalf("%s %s: %v, %s", id, call, err, o.Limit)
	}
	return *o.Result.Value
}

func TestListJSON(t *testing.T) {
	data, err := calc.ListJSON()
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Method, Title string
		Values        []struct {
			Name, Doc, Unit string
			Needed          bool
		}
	}
	if err := json.Unmarshal(data, &all); err != nil || len(all) != len(calc.List()) {
		t.Fatalf("%d entries, %v", len(all), err)
	}
	for i, m := range calc.List() {
		if all[i].Method != m.ID || len(all[i].Values) != len(m.AllParams()) {
			t.Errorf("entry %d is %s with %d values, want %s", i, all[i].Method, len(all[i].Values), m.ID)
		}
	}
}
