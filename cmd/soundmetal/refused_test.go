package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
)

// What a technical figure is, for text that must not hold one: a number, in
// digits or as a fraction, followed by a unit of length, area, volume, mass,
// temperature, time, speed, current, voltage, power, heat input, pressure,
// stress, hardness, hydrogen, angle or share. "29 CFR 1910", "ISO 5057" and a
// date are none. What the job file itself says may be repeated, in the job's
// own words.
var figure = regexp.MustCompile(`(?i)(?:^|[^\pL\d.,/\-])([0-9¼½¾⅛⅜⅝⅞](?:[0-9.,/\-]*[0-9¼½¾⅛⅜⅝⅞])?\s*(?:` + strings.Join([]string{
	`°\s*[CFK]?`, `[CF]`, `mm[²³]?`, `cm[²³]?`, `km`, `m[²³]?`, `µm`, `in[²³]?`, `inch(?:es)?`, `["”″]`, `['’′]`, `ft[²³]?`, `feet`, `mi`, `miles?`,
	`kg`, `g`, `lbs?`, `t`, `L`, `ml`, `gal`, `litres?`, `h`, `hours?`, `min`, `minutes?`, `s`, `seconds?`, `days?`,
	`mph`, `km/h`, `m/s`, `A`, `amps?`, `V`, `volts?`, `k?W`, `hp`, `k?J(?:/\w+)?`, `BTU\S*`, `bar`, `k?Pa`, `MPa`, `[kp]si`, `N/mm²`,
	`HB`, `HV(?:10)?`, `HRC`, `cfm`, `L/min`, `%`, `per cent`, `rad`, `degrees?`, `passes`, `beads?`, `rods?`, `pcs`, `pieces`,
}, "|") + `))(?:[^\pL\d]|$)`)

// technicalFigures finds the technical figures of a text, or of the strings of a
// JSON text, that the job file does not hold word for word.
func technicalFigures(text, jobFile string) []string {
	var found []string
	texts := []string{text}
	if v := any(nil); json.Unmarshal([]byte(text), &v) == nil {
		texts = stringsOf(v)
	}
	for _, text := range texts {
		text = strings.Join(strings.Fields(text), " ") // a line may break within a figure
		for _, m := range figure.FindAllStringSubmatch(text, -1) {
			if !strings.Contains(jobFile, m[1]) {
				found = append(found, m[1])
			}
		}
	}
	return found
}

// stringsOf gives all strings of a JSON value.
func stringsOf(v any) []string {
	var all []string
	switch v := v.(type) {
	case string:
		all = append(all, v)
	case []any:
		for _, e := range v {
			all = append(all, stringsOf(e)...)
		}
	case map[string]any:
		for _, e := range v {
			all = append(all, stringsOf(e)...)
		}
	}
	return all
}

func TestFigureRegexp(t *testing.T) {
	jobFile := "thickness: 50 mm\n"
	for text, want := range map[string]int{
		"heat to 150 °C (300 °F)": 2, "3/16 in rod": 1, "a 2\" groove": 1, "200 to 250 A": 1, "48 h": 1, "1.2 kJ/mm": 1, "½ in": 1, "350 HV10": 1,
		"20 % more": 1, "12\nmm": 1, "5 passes": 1, "29 CFR 1910.177": 0, "ISO 5057, 4.2": 0, "Table 5.1 (2015)": 0, "thickness 50 mm": 0, "NFPA 51B": 0,
		"version 1": 0, "part 56 covers mines": 0, "failure modes W1-W15": 0, "WAC 296-155-55800, table": 0, `{"key": "iso5057", "text": "to 150 °C"}`: 1,
	} {
		if got := technicalFigures(text, jobFile); len(got) != want {
			t.Errorf("%q: found %q, want %d", text, got, want)
		}
	}
}

// Each demo, with each role that must not be touched, gives no technical figure
// in any form of output.
func TestRefusedPlansHoldNoFigure(t *testing.T) {
	dir := t.TempDir()
	refused := 0
	for _, name := range []string{"quarry-screen", "blade-arm", "tipper", "fork"} {
		data, err := demo.Files.ReadFile(name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range job.Role("").Words() {
			text := regexp.MustCompile(`(?m)^    role: .*\n`).ReplaceAllString(string(data), "")
			text = regexp.MustCompile(`(?m)^  - name: (.*)$`).ReplaceAllString(text, "  - name: $1\n    role: "+w.Value)
			path := filepath.Join(dir, name+"-"+w.Value+".yaml")
			if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			var plan struct {
				Verdict string
				Items   []struct{ Planned bool }
			}
			out := output(t, "plan", path, "--json")
			if err := json.Unmarshal([]byte(out), &plan); err != nil {
				t.Fatal(err)
			}
			open := false
			for _, it := range plan.Items {
				open = open || it.Planned
			}
			if open {
				continue
			}
			refused++
			if n := jsonNumbers(t, out); len(n) != 1 || n[0] != "version" {
				t.Errorf("%s: numbers at %q, want the version only", filepath.Base(path), n)
			}
			for _, text := range []string{out, output(t, "plan", path), output(t, "plan", path, "--units", "us"), output(t, "plan", path, "--figures")} {
				if found := technicalFigures(text, string(data)); len(found) > 0 {
					t.Errorf("%s: technical figures %q", filepath.Base(path), found)
				}
			}
			var console, sorry bytes.Buffer
			if run([]string{"plan", path, "--why", "heat.preheat"}, &console, &sorry) != statusBadInput || console.Len() > 0 {
				t.Errorf("%s: --why answers %q", filepath.Base(path), console.String())
			}
		}
	}
	if refused < 20 {
		t.Errorf("only %d jobs were refused: the test tests little", refused)
	}
}

// In a job with a place that may not be touched beside one that may, nothing
// technical is said of the first: not even its own measures come back.
func TestRefusedItemInAMixedJob(t *testing.T) {
	const text = `units: si
machine: loader
items:
  - {name: side plate, part: side plate, role: structure, shape: plate, thickness: 20 mm, crack: {length: 80 mm, through: yes}, access: both, steel: {grade: S355, grade_by: certificate, magnet: strong}, history: {welded: no}}
  - {name: left rim, part: wheel rim, role: wheel, thickness: 13 mm, crack: {length: 47 mm}}
`
	path := filepath.Join(t.TempDir(), "mixed.yaml")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	var plan struct {
		Verdict string
		Read    []struct{ Field string }
		Items   []map[string]json.RawMessage
	}
	if err := json.Unmarshal([]byte(output(t, "plan", path, "--json")), &plan); err != nil {
		t.Fatal(err)
	}
	if plan.Verdict != "refuse" || string(plan.Items[0]["planned"]) != "true" || string(plan.Items[1]["planned"]) != "false" {
		t.Fatalf("verdict %s, planned %s and %s", plan.Verdict, plan.Items[0]["planned"], plan.Items[1]["planned"])
	}
	for key := range plan.Items[1] {
		switch key {
		case "name", "part", "touch", "planned":
		default:
			t.Errorf("the refused item has %q", key)
		}
	}
	if n := jsonNumbers(t, string(plan.Items[1]["touch"])); len(n) > 0 {
		t.Errorf("numbers in the verdict at %q", n)
	}
	if found := technicalFigures(string(plan.Items[1]["touch"]), ""); len(found) > 0 {
		t.Errorf("technical figures in the verdict: %q", found)
	}
	for _, e := range plan.Read {
		if strings.HasPrefix(e.Field, "items[2]") {
			t.Errorf("%s of the refused item is repeated", e.Field)
		}
	}
	plain := output(t, "plan", path)
	for _, s := range []string{"13 mm", "47 mm"} {
		if strings.Contains(plain, s) {
			t.Errorf("the text repeats %s of the refused item", s)
		}
	}
}

// output runs the program, which must succeed.
func output(t *testing.T, args ...string) string {
	t.Helper()
	var out, errOut bytes.Buffer
	if status := run(args, &out, &errOut); status != statusOK {
		t.Fatalf("%q: status %d, %s", args, status, errOut.String())
	}
	return out.String()
}

// jsonNumbers gives the places of all numbers of a JSON text.
func jsonNumbers(t *testing.T, text string) []string {
	t.Helper()
	var v any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	var places []string
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch v := v.(type) {
		case float64:
			places = append(places, at)
		case []any:
			for _, e := range v {
				walk(at+"[]", e)
			}
		case map[string]any:
			for k, e := range v {
				walk(strings.TrimPrefix(at+"."+k, "."), e)
			}
		}
	}
	walk("", v)
	return places
}
