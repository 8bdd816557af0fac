package paper

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/pdf"
)

// -paper writes the sheets of the demo jobs into a folder, to be looked at.
var paperInto = flag.String("paper", "", "folder to write the sheets to")

func TestLook(t *testing.T) {
	if *paperInto == "" {
		t.Skip("-paper DIR writes the sheets to look at")
	}
	for _, name := range demoJobs {
		sys := q.US
		if name == "blade-arm" {
			sys = q.SI
		}
		src := demoSource(t, name, sys)
		for kind, make := range kinds {
			d, err := make(src, Options{Date: day, URL: "https://192.168.1.20:8443/j/7f3a"})
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range d.Pages {
				for _, x := range draw.Apart(p).Paths {
					for _, q := range x.Pts {
						if q.X != q.X || q.Y != q.Y {
							t.Errorf("%s page %d: NaN in %q %v", name, i, x.Group, x.Pts)
							break
						}
					}
				}
			}
			write(t, filepath.Join(*paperInto, name+"-"+kind+".pdf"), d)
		}
	}
}

func write(t testing.TB, path string, d draw.Doc) []byte {
	t.Helper()
	data, err := pdf.Bytes(d)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return data
}

// kinds are the sheets made of a plan.
var kinds = map[string]func(Source, Options) (draw.Doc, error){"repair": Repair, "procedure": Procedure, "safe": MakeSafe, "teach": Teaching,
	"quote": QuoteForm, "change": ChangeForm, "invoice": InvoiceForm, "record": RecordForm}

var update = flag.Bool("update", false, "write the golden files again")

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("differs from %s; look at it and run with -update if it is right", file)
	}
}

// TestLookHard writes the repair sheet of a thick and a thin plate.
func TestLookHard(t *testing.T) {
	if *paperInto == "" {
		t.Skip("-paper DIR writes the sheets to look at")
	}
	for name, thick := range map[string]q.Length{"6mm": 6 * q.Millimetre, "60mm": 60 * q.Millimetre} {
		for _, access := range []job.Access{"one", job.BothSides} {
			src := demoSource(t, "quarry-screen", q.SI, func(j *job.Job) {
				j.Items = j.Items[:1]
				j.Items[0].Thickness, j.Items[0].Access = q.Known(thick), access
			})
			d, err := Repair(src, Options{Date: day})
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(*paperInto, "hard-"+name+"-"+string(access)+".pdf"), d)
		}
	}
	d, err := RecordPaper(sampleRecord(t), Options{Date: day, Units: q.US})
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(*paperInto, "hard-record.pdf"), d)
	src := demoSource(t, "quarry-screen", q.US, func(j *job.Job) {
		j.Name, j.Customer.Name, j.Site.Where, j.Items[0].Name = hebrew, arabic, hebrew+", "+arabic, endless
	})
	if d, err = Repair(src, Options{Date: day}); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(*paperInto, "hard-names.pdf"), d)
}
