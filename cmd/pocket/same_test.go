package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"soundmetal/demo"
	"soundmetal/heat/conduct"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// sameEnv names a folder. There this test writes the answers of the computer and,
// run in wasm, holds its own against them; `make phone-check` does both.
const sameEnv = "SOUNDMETAL_SAME"

// sameWithin is how far a figure may differ. On amd64 exp, log and hypot are
// machine code, in wasm they are Go: their last digits differ, and a root that
// is searched for carries that on.
const sameWithin = 1e-9

// The phone must come to the same answers as the computer: every text the same,
// every figure but for its last digits.
func TestSameOnThePhone(t *testing.T) {
	dir := os.Getenv(sameEnv)
	if dir == "" {
		t.Skip("run by make phone-check")
	}
	for _, name := range []string{"fork", "tipper", "quarry-screen", "blade-arm"} {
		j, shop := read(t, name)
		p, err := plan.Make(j, shop, q.SI)
		if err != nil {
			t.Fatal(err)
		}
		same(t, dir, "plan-"+name, p)
		if name == "quarry-screen" {
			a, err := plan.Thermal(context.Background(), j, shop, q.SI, plan.ThermalAsk{Level: conduct.Coarse, Item: 1})
			if err != nil {
				t.Fatal(err)
			}
			same(t, dir, "heat-"+name, a)
		}
	}
}

func read(t *testing.T, name string) (job.Job, *job.Shop) {
	t.Helper()
	data, err := demo.Files.ReadFile(name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	if data, err = demo.Files.ReadFile("shop.yaml"); err != nil {
		t.Fatal(err)
	}
	shop, err := job.ReadShop("shop", data)
	if err != nil {
		t.Fatal(err)
	}
	return j, &shop
}

func same(t *testing.T, dir, name string, v any) {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, name+".json")
	if runtime.GOARCH != "wasm" {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	there, err := os.ReadFile(path)
	if err != nil {
		t.Fatal("the computer's answer is missing: ", err)
	}
	var got, want any
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(there, &want); err != nil {
		t.Fatal(err)
	}
	c := comparison{}
	c.compare(name, got, want)
	for _, d := range c.differ {
		t.Error(d)
	}
	t.Logf("%s: %d figures, the worst differs by %.1e of itself (%s); %d texts, %d differ", name, c.figures, c.worst, c.at, c.texts, len(c.differ))
}

// comparison goes through two JSON values side by side.
type comparison struct {
	figures, texts int
	worst          float64
	at             string
	differ         []string
}

func (c *comparison) compare(at string, got, want any) {
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok || len(g) != len(w) {
			c.differ = append(c.differ, fmt.Sprintf("%s: got %v, want %v", at, got, want))
			return
		}
		for k := range w {
			c.compare(at+"."+k, g[k], w[k])
		}
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			c.differ = append(c.differ, fmt.Sprintf("%s: got %v, want %v", at, got, want))
			return
		}
		for i := range w {
			c.compare(fmt.Sprintf("%s[%d]", at, i), g[i], w[i])
		}
	case float64:
		g, ok := got.(float64)
		c.figures++
		d := math.Abs(g-w) / max(math.Abs(w), 1e-12)
		if d > c.worst {
			c.worst, c.at = d, at
		}
		if !ok || d > sameWithin {
			c.differ = append(c.differ, fmt.Sprintf("%s: got %v, want %v", at, got, want))
		}
	default:
		c.texts++
		if got != want {
			c.differ = append(c.differ, fmt.Sprintf("%s: got %v, want %v", at, got, want))
		}
	}
}
