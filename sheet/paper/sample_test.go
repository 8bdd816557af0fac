package paper

import (
	"testing"
	"time"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// day is the date on the sheets of the tests.
var day = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

// demoSource plans a demo job with the demo shop; change may alter the job.
func demoSource(t testing.TB, name string, sys q.System, change ...func(*job.Job)) Source {
	t.Helper()
	data, err := demo.Files.ReadFile("shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	shop, err := job.ReadShop("shop.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	if data, err = demo.Files.ReadFile(name + ".yaml"); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(name+".yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range change {
		c(&j)
	}
	p, err := plan.Make(j, &shop, sys)
	if err != nil {
		t.Fatal(err)
	}
	return Source{p, j, &shop}
}

var demoJobs = []string{"quarry-screen", "blade-arm", "tipper", "dumper", "fork"}
