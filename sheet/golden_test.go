package sheet_test

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet"
)

// The demo plans as they are printed. These files pin the wording, not the
// truth: what a figure has to be stands in the published checks of its room. A
// change of words is looked at in the diff and then taken over with
//
//	go test ./sheet -run TestDemoPlans -update
var update = flag.Bool("update", false, "write the golden files again")

func TestDemoPlans(t *testing.T) {
	shop, err := job.ReadShop("shop.yaml", demoFile(t, "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"quarry-screen", "blade-arm", "tipper", "fork"} {
		j, err := job.Read(name+".yaml", demoFile(t, name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for _, sys := range []q.System{q.US, q.SI} {
			t.Run(name+" "+sys.String(), func(t *testing.T) {
				p, err := plan.Make(j, &shop, sys)
				if err != nil {
					t.Fatal(err)
				}
				golden(t, name+"."+sys.String(), sheet.PlanText(p))
			})
		}
	}
}

func demoFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := demo.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", "plans", name+".golden")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; write it with -update", err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("the plan reads otherwise (-want +got); if that is meant, run with -update:\n%s", diff)
	}
}
