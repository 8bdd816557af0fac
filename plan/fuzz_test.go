package plan_test

import (
	"testing"

	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet"
)

// FuzzPlan: whatever the reader accepts is planned and printed without a panic.
func FuzzPlan(f *testing.F) {
	for _, name := range []string{"quarry-screen.yaml", "blade-arm.yaml", "tipper.yaml", "fork.yaml"} {
		f.Add([]byte(demoFile(f, name)))
	}
	f.Add([]byte("units: us\nmachine: tipper\npart: cross member\nthickness: 3/8\ncrack: 6\n"))
	f.Add([]byte(threeItems))
	f.Add([]byte(calmJob + "part: x\nthickness: 0.8 mm\nthickness2: 300 mm\ncrack: {length: 20 m, depth: 0.1 mm}\nsteel: {analysis: {C: 40, B: 40}}\n"))
	shop := demoShop(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := job.Read("fuzz.yaml", data)
		if err != nil {
			return
		}
		if len(j.Items) > 5 { // time is not what is tested here
			j.Items = j.Items[:5]
		}
		for _, s := range []*job.Shop{nil, shop} {
			p, err := plan.Make(j, s, q.US)
			if err != nil {
				t.Fatalf("no plan: %v", err)
			}
			sheet.PlanText(p)
		}
	})
}
