package heat

import (
	"testing"

	"soundmetal/material"
	q "soundmetal/quantity"
)

// Two rooms hold ceilings: this one by group and martensite start, the steel's
// by family. A plan takes the lower. Where the chemistry is not known they agree,
// but for manganese steel (here beside the weld too) and 4340 (its usual analysis
// gives the family Ms + 50 °C, here nobody knows it).
func TestCeilingsAgreeWithTheFamilies(t *testing.T) {
	for family, group := range map[string]Group{"s235": Mild, "a36": Mild, "s355": S355, "a572-50": S355, "s690ql": S690,
		"a514-b": A514, "a514-f": A514, "a514-q": A514, "ar400": AR400, "ar450": AR450, "ar500": AR500, "ar600": AR600,
		"cast-a27": CastCarbon, "cast-a148": CastAlloy, "1045": MediumCarbon, "4140": CrMo, "4340": NiCrMo,
		"mn-steel": Manganese, "stainless-304": Stainless, "unlisted": Unlisted} {
		f, ok := material.Lookup(family)
		if !ok {
			t.Fatalf("no family %s", family)
		}
		for _, thick := range []float64{5, 20, 38, 38.1, 38.2, 60} {
			theirs, err := f.MaxInterpass(q.Known(mm(thick)))
			if err != nil || !theirs.Value.Known {
				t.Fatalf("%s: no ceiling: %v", family, err)
			}
			ours, err := MaximumInterpass(CeilingInput{Group: group, Steel: Steel{Unknown: true}, Thickness: mm(thick)})
			if err != nil {
				t.Fatal(err)
			}
			want := theirs.Value.V.C()
			switch group {
			case Manganese:
				want = 250
			case NiCrMo:
				want = 370
			}
			near(t, family+" °C", ours.Value.Maximum.C(), want, 0)
		}
	}
}
