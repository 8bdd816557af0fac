package plan_test

import (
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// threeItems is a job with three places of unknown steel, each of which can
// still be more than twelve steels.
const threeItems = `
units: us
job: three places
machine: {kind: vibrating screen, lifts_people: no, hangs_load: no, on_road: no, blocked: yes}
site: {air: 58F, steel: 55F, wind: 6 mph, wet: dry, fire_ban: no}
items:
  - {name: side plate, part: side plate, thickness: 1 in, crack: {length: 9 in, through: yes, ends: both}, access: both, position: vertical}
  - {name: cross member, part: cross beam, thickness: 3/8, crack: 6, access: one, position: overhead, steel: {magnet: strong}}
  - {name: hinge ear, part: hinge ear, thickness: 1-1/2, crack: 3 in, steel: {magnet: strong, file: bites}}
`

func readJob(tb testing.TB, name, text string) job.Job {
	tb.Helper()
	j, err := job.Read(name, []byte(text))
	if err != nil {
		tb.Fatal(err)
	}
	return j
}

func demoFile(tb testing.TB, name string) string {
	tb.Helper()
	data, err := demo.Files.ReadFile(name)
	if err != nil {
		tb.Fatal(err)
	}
	return string(data)
}

func demoShop(tb testing.TB) *job.Shop {
	tb.Helper()
	s, err := job.ReadShop("shop.yaml", []byte(demoFile(tb, "shop.yaml")))
	if err != nil {
		tb.Fatal(err)
	}
	return &s
}

// BenchmarkPlan is the target of the main job: a job of three items, each with
// twelve credible steels or more, in less than 20 ms.
func BenchmarkPlan(b *testing.B) {
	j, shop := readJob(b, "three.yaml", threeItems), demoShop(b)
	p, err := plan.Make(j, shop, q.US)
	if err != nil {
		b.Fatal(err)
	}
	for _, it := range p.Items {
		if !it.Planned || len(it.Steels) < 12 {
			b.Fatalf("%s: planned %v with %d credible steels; the benchmark needs 12 or more", it.Name, it.Planned, len(it.Steels))
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := plan.Make(j, shop, q.US); err != nil {
			b.Fatal(err)
		}
	}
}
