package job_test

import (
	"strings"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
)

func TestDemoFilesRead(t *testing.T) {
	entries, err := demo.Files.ReadDir(".")
	if err != nil || len(entries) < 5 {
		t.Fatalf("demo files: %d, %v", len(entries), err)
	}
	for _, e := range entries {
		data, err := demo.Files.ReadFile(e.Name())
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(e.Name(), "shop.yaml") {
			_, err = job.ReadShop(e.Name(), data)
		} else {
			_, err = job.Read(e.Name(), data)
		}
		if err != nil {
			t.Error(err)
		}
	}
}
