package view

import (
	"os"
	"path/filepath"
	"testing"

	"soundmetal/demo"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/sketch"
)

func TestDump(t *testing.T) {
	out := os.Getenv("DUMP")
	if out == "" {
		t.Skip()
	}
	shopData, _ := demo.Files.ReadFile("shop.yaml")
	shop, err := job.ReadShop("shop.yaml", shopData)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"quarry-screen", "blade-arm", "tipper"} {
		data, _ := demo.Files.ReadFile(name + ".yaml")
		j, err := job.Read(name, data)
		if err != nil {
			t.Fatal(err)
		}
		sys := q.SI
		if j.Units == job.US {
			sys = q.US
		}
		p, err := plan.Make(j, &shop, sys)
		if err != nil {
			t.Fatal(err)
		}
		items, _ := Items(p, j)
		for _, it := range items {
			for w, tag := range map[float64]string{sketch.PageWidth: "page", sketch.PhoneWidth: "phone"} {
				d, err := it.Draw(sketch.Frame{Width: w, High: w * 0.8})
				if err != nil {
					t.Fatal(err)
				}
				for n, x := range map[string]*draw.Drawing{"part": d.Part, "end": d.End, "joint": d.Joint, "weld": d.Weld, "order": d.Order} {
					if x != nil {
						os.WriteFile(filepath.Join(out, name+"-"+string(rune('0'+it.Number))+"-"+n+"-"+tag+".svg"), []byte(draw.SVG(x, "a")), 0o644)
					}
				}
			}
		}
	}
}
