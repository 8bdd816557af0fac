package schema_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	q "soundmetal/quantity"
	"soundmetal/schema"
)

var demoJobs = []string{"quarry-screen", "blade-arm", "tipper", "fork"}

// compile makes a validator of one of the schemas; strict forbids what the
// schema of the plan lets through for later builds.
func compile(t *testing.T, name string, strict bool) *jsonschema.Schema {
	t.Helper()
	data, err := schema.For(name)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if strict {
		closeObjects(doc)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(name+".json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func closeObjects(v any) {
	switch v := v.(type) {
	case map[string]any:
		if _, has := v["properties"].(map[string]any); has && v["type"] == "object" {
			v["additionalProperties"] = false
		}
		for _, e := range v {
			closeObjects(e)
		}
	case []any:
		for _, e := range v {
			closeObjects(e)
		}
	}
}

// instance turns a file, YAML or JSON, into what the validator takes.
func instance(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return parse(t, data)
}

func parse(t *testing.T, data []byte) any {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func demoFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := demo.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestDemosValidate(t *testing.T) {
	jobs, shop := compile(t, "job", false), compile(t, "shop", false)
	for _, name := range demoJobs {
		if err := jobs.Validate(instance(t, demoFile(t, name+".yaml"))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := shop.Validate(instance(t, demoFile(t, "shop.yaml"))); err != nil {
		t.Error(err)
	}
}

// The plan of every demo, with and without the shop and in both systems, has
// the fields of the schema and no other.
func TestPlansValidate(t *testing.T) {
	plans := compile(t, "plan", true)
	shop, err := job.ReadShop("shop.yaml", demoFile(t, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range demoJobs {
		j, err := job.Read(name, demoFile(t, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for label, c := range map[string]struct {
			shop *job.Shop
			sys  q.System
		}{"with shop": {&shop, q.US}, "without shop": {nil, q.SI}} {
			p, err := plan.Make(j, c.shop, c.sys)
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(p)
			if err != nil {
				t.Fatal(err)
			}
			if err := plans.Validate(parse(t, data)); err != nil {
				t.Errorf("%s %s: %v", name, label, err)
			}
		}
	}
}

// The answer of rig has the fields of its schema and no other.
func TestRigsValidate(t *testing.T) {
	rigs := compile(t, "rig", true)
	for _, shop := range []string{"shop.yaml", "small-shop.yaml", ""} {
		var kit *job.Shop
		if shop != "" {
			s, err := job.ReadShop(shop, demoFile(t, shop))
			if err != nil {
				t.Fatal(err)
			}
			kit = &s
		}
		for _, name := range append(demoJobs, "dumper") {
			j, err := job.Read(name, demoFile(t, name+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			a, err := plan.Rig(j, kit, q.SI, plan.RigAsk{})
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(a)
			if err != nil {
				t.Fatal(err)
			}
			if err := rigs.Validate(parse(t, data)); err != nil {
				t.Errorf("%s with %q: %v", name, shop, err)
			}
		}
	}
}

// The answer of hold has the fields of its schema and no other, whatever it is.
func TestHoldsValidate(t *testing.T) {
	holds := compile(t, "hold", true)
	for _, name := range demoJobs {
		j, err := job.Read(name, demoFile(t, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		j.Made = "2026-05-04"
		for _, ends := range []job.Ends{"both", "none"} {
			for i := range j.Items {
				j.Items[i].Crack.Ends = ends
			}
			r, err := plan.WillHold(j, nil, q.US)
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(r)
			if err != nil {
				t.Fatal(err)
			}
			if err := holds.Validate(parse(t, data)); err != nil {
				t.Errorf("%s, ends %s: %v", name, ends, err)
			}
		}
	}
}

// What the reader takes the schema takes too: short forms and unknowns.
func TestAcceptedForms(t *testing.T) {
	jobs, shops := compile(t, "job", false), compile(t, "shop", false)
	for name, text := range map[string]string{
		"five lines":      "units: us\nmachine: tipper\npart: cross member\nthickness: 3/8\ncrack: 6\n",
		"unknown values":  "part: beam\nthickness: unknown\ncrack: unknown\nsteel: unknown\naccess: ?\nbehind: unknown\n",
		"unknown groups":  "customer: unknown\nsite:\nhistory: unknown\ncause: ?\nwanted:\nmachine: {kind: crane, year: unknown}\npart: beam\n",
		"words for lists": "part: beam\nbehind: oil, hose\n",
		"plain yes":       "part: beam\nhistory: {welded: yes}\n",
		"analysis":        "part: beam\nsteel: {analysis: {C: 0.2, Mn: unknown}}\n",
		"JSON":            `{"machine":"tipper","items":[{"part":"beam","thickness":"12 mm","history":{"welded":true}}]}`,
	} {
		if _, err := job.Read(name, []byte(text)); err != nil {
			t.Errorf("%s: the reader refuses it: %v", name, err)
		}
		if err := jobs.Validate(instance(t, []byte(text))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, text := range map[string]string{
		"little":  "units: si\nrods:\n  - {class: E7018, size: 3.2 mm}\n",
		"unknown": "power: unknown\nleads: unknown\nair: ?\nrods:\nprices: unknown\n",
	} {
		if _, err := job.ReadShop(name, []byte(text)); err != nil {
			t.Errorf("%s: the reader refuses it: %v", name, err)
		}
		if err := shops.Validate(instance(t, []byte(text))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is broken is refused, by the schema as by the reader.
func TestBroken(t *testing.T) {
	for name, c := range map[string]struct{ schema, text string }{
		"unknown key":        {"job", "part: beam\nthicknes: 12 mm\n"},
		"unknown key inside": {"job", "items: [{part: beam, crack: {lenght: 5 mm}}]\n"},
		"list for a value":   {"job", "part: beam\nthickness: [3 mm, 4 mm]\n"},
		"word for a list":    {"job", "items: beam\n"},
		"group for a value":  {"job", "part: {name: beam}\n"},
		"not a group":        {"job", "site: 4\npart: beam\nhistory: 3\n"},
		"rods as words":      {"shop", "rods: E7018\n"},
		"unknown kit":        {"shop", "shop: x\npowr: []\n"},
		"duty as a number":   {"shop", "power: [{duty: [250]}]\n"},
	} {
		if compile(t, c.schema, false).Validate(instance(t, []byte(c.text))) == nil {
			t.Errorf("%s: the schema lets it through", name)
		}
		var err error
		if c.schema == "job" {
			_, err = job.Read(name, []byte(c.text))
		} else {
			_, err = job.ReadShop(name, []byte(c.text))
		}
		if err == nil {
			t.Errorf("%s: the reader lets it through", name)
		}
	}
}

// A plan with a hole or a wrong type is refused; an added field is not.
func TestBrokenPlans(t *testing.T) {
	plans := compile(t, "plan", false)
	j, err := job.Read("fork", demoFile(t, "fork.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Make(j, nil, q.SI)
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		change func(map[string]any)
		valid  bool
	}{
		"as made":          {func(map[string]any) {}, true},
		"added field":      {func(m map[string]any) { m["mood"] = "calm" }, true},
		"no version":       {func(m map[string]any) { delete(m, "version") }, false},
		"version in words": {func(m map[string]any) { m["version"] = "one" }, false},
		"items not a list": {func(m map[string]any) { m["items"] = "one" }, false},
		"no verdict":       {func(m map[string]any) { delete(m["items"].([]any)[0].(map[string]any), "touch") }, false},
		"planned in words": {func(m map[string]any) { m["items"].([]any)[0].(map[string]any)["planned"] = "no" }, false},
	} {
		m := parse(t, data).(map[string]any)
		c.change(m)
		if err := plans.Validate(m); (err == nil) != c.valid {
			t.Errorf("%s: got %v, want valid %v", name, err, c.valid)
		}
	}
}

func TestUnknownSchema(t *testing.T) {
	if _, err := schema.For("plann"); err == nil || !strings.Contains(err.Error(), "job, shop, plan, rig, hold") {
		t.Errorf("got %v, want the list of schemas", err)
	}
}

// The answer of price of every demo, with and without the shop, has the fields of
// its schema and no other.
func TestPricesValidate(t *testing.T) {
	prices := compile(t, "price", true)
	shop, err := job.ReadShop("shop.yaml", demoFile(t, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range demoJobs {
		j, err := job.Read(name, demoFile(t, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for label, s := range map[string]*job.Shop{"with shop": &shop, "without shop": nil} {
			a, err := plan.Price(j, s, q.US, plan.PriceAsk{Samples: 100})
			if err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(a)
			if err != nil {
				t.Fatal(err)
			}
			if err := prices.Validate(parse(t, data)); err != nil {
				t.Errorf("%s %s: %v", name, label, err)
			}
		}
	}
}

// A file of finished jobs and what is learned of it validate.
func TestLearnedValidates(t *testing.T) {
	const text = "units: si\njobs:\n  - {job: one, day: 2026-05-04, rods: {planned: 40, used: 44}, bead: {planned: 12 min, used: 700 s}}\n"
	if err := compile(t, "actuals", false).Validate(instance(t, []byte(text))); err != nil {
		t.Error(err)
	}
	all, err := job.ReadActuals("actuals.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	one, err := plan.ActualOf(all.Jobs[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	a, err := plan.Learn([]price.Actual{one}, nil, q.SI)
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	if err := compile(t, "learn", true).Validate(parse(t, data)); err != nil {
		t.Error(err)
	}
}
