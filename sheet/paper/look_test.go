package paper

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

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
