package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"reflect"
	"regexp"
	"strings"
	"testing"

	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/words"
)

// The papers for the customer have no field for cost or margin, and the forms do
// not print what the shop file says of them.
func TestNoMargin(t *testing.T) {
	bad := regexp.MustCompile(`(?i)margin|mark-?up|cost|profit`)
	var look func(reflect.Type, map[reflect.Type]bool)
	look = func(typ reflect.Type, seen map[reflect.Type]bool) {
		for typ.Kind() == reflect.Slice || typ.Kind() == reflect.Pointer {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || seen[typ] || !strings.HasSuffix(typ.PkgPath(), "sheet/paper") {
			return
		}
		seen[typ] = true
		for i := range typ.NumField() {
			if bad.MatchString(typ.Field(i).Name) {
				t.Errorf("%s has a field %s", typ, typ.Field(i).Name)
			}
			look(typ.Field(i).Type, seen)
		}
	}
	for _, v := range []any{Quote{}, Change{}, Invoice{}, Record{}} {
		look(reflect.TypeOf(v), map[reflect.Type]bool{})
	}
	src := demoSource(t, "quarry-screen", q.US)
	for _, make := range []func(Source, Options) (draw.Doc, error){QuoteForm, ChangeForm, InvoiceForm, RecordForm} {
		d, err := make(src, Options{Date: day})
		if err != nil {
			t.Fatal(err)
		}
		if text := all(d); bad.MatchString(text) || strings.Contains(text, "125.00") {
			t.Errorf("the paper says %q", bad.FindString(text))
		}
	}
}

func photo(t testing.TB, w, h int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * 7)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sampleHeads are invented parties.
func sampleHeads(form bool) Heads {
	return Heads{Number: "2026-041", From: Party{"Plain Bench Mobile Welding", "4 Mill Lane", "555-0100"}, To: Party{"Hollow Ridge Aggregates", "Quarry Road 1\nHollow Ridge", "555-0142"},
		Job: "Quarry screen, left side plate", Machine: "vibrating screen", Place: "secondary plant", Form: form}
}

func sampleQuote() Quote {
	return Quote{Heads: sampleHeads(false), Valid: "14 days", Scope: []string{"Take the crack out, weld it up, grind flush, test."},
		Lines: []MoneyLine{{"Travel and set up", "1", "$ 310.00"}, {"Repair of the side plate", "14 to 22 h", "$ 2,400.00"}, {"Rods, carbons, gas, discs", "", "$ 480.00"}},
		Sums:  []MoneyLine{{What: "sum", Amount: "$ 3,190.00"}, {What: "sales tax 7.25 %", Amount: "$ 231.28"}, {What: "total", Amount: "$ 3,421.28"}},
		Range: "Between $ 2,900 and $ 4,600; it depends on what is found under the paint.", Excluded: []string{"hidden damage"}, Terms: []string{"A change order before more work."}}
}

func sampleRecord(t testing.TB) Record {
	return Record{Heads: sampleHeads(false), Serial: "4711", Hours: "14,200 h", Signed: "J. Miller, Nov 25, 2026, 16:40", Items: []RecordItem{{
		Name: "left side plate", Rows: []RecordRow{{"gouge at full depth over", "13 in (330 mm)", "14 in (356 mm)"}, {"before every bead, at least", "285 °F (145 °C)", "290 to 340 °F"}},
		Readings:    []Reading{{"Nov 25, 11:02", "1", "A, near side", "290 °F (143 °C)", "yes"}, {"Nov 25, 11:40", "4", "B, far side", "260 °F (127 °C)", "NO: heated again"}},
		Deviations:  []Deviation{{What: "1 in longer at the lower end", Why: "the crack ran on under the paint", Agreed: "owner, by phone"}},
		Tests:       []Test{{"magnetic yoke", "Nov 26, 09:00", "J. Miller", "no indication"}},
		Photos:      []Photo{{photo(t, 400, 300), "before, with tape"}, {photo(t, 300, 400), "groove, proven gone, after the second millimetre was taken off along the whole length"}, {photo(t, 800, 200), "finished"}},
		NotExamined: []string{"inside of the box", "bearings"}, NextLook: []string{"after 50 h"},
	}}}
}

// TestMoneyGolden pins the words of the customer's papers.
func TestMoneyGolden(t *testing.T) {
	change := Change{Heads: sampleHeads(false), Quote: "2026-041", Found: "A second crack under the old plate, 4 in (102 mm) long.", Why: "It lies in the heat of the first repair.",
		Work: []string{"Gouge and weld the second crack."}, Before: MoneyLine{Amount: "$ 3,421.28"}, More: MoneyLine{Amount: "$ 1,120.00"}, Now: MoneyLine{Amount: "$ 4,541.28"},
		Else: []string{"Leave it: the screen stays out of use."}, Photos: []Photo{{photo(t, 200, 150), "second crack"}}}
	invoice := Invoice{Heads: sampleHeads(false), Quote: "2026-041", Due: "Dec 25, 2026", Lines: sampleQuote().Lines, Sums: sampleQuote().Sums, PayTo: []string{"account 000 111 222"}, Record: "R-2026-041"}
	o := Options{Date: day, Units: q.US}
	for name, make := range map[string]func() (draw.Doc, error){
		"quote":   func() (draw.Doc, error) { return QuotePaper(sampleQuote(), o) },
		"change":  func() (draw.Doc, error) { return ChangePaper(change, o) },
		"invoice": func() (draw.Doc, error) { return InvoicePaper(invoice, o) },
		"record":  func() (draw.Doc, error) { return RecordPaper(sampleRecord(t), o) },
	} {
		t.Run(name, func(t *testing.T) {
			d, err := make()
			if err != nil {
				t.Fatal(err)
			}
			tidy(t, name, d)
			golden(t, name+".txt", all(d)+"\n")
		})
	}
}

// Amounts and names of any length, empty lists, forms: tidy.
func TestMoneyIsTidy(t *testing.T) {
	long := sampleQuote()
	long.To.Name, long.From.Name, long.Job = endless, arabic, hebrew+" "+endless
	long.Lines = append(long.Lines, MoneyLine{endless, endless[:40], "Rp 1.234.567.890.123,45"}, MoneyLine{arabic, "", "₪ 12,345.00"})
	long.Sums[2].Amount = "Rp 1.234.567.890.123,45"
	many := sampleQuote()
	for i := range 80 {
		many.Lines = append(many.Lines, MoneyLine{fmt.Sprintf("line %d", i), "1", "$ 10.00"})
	}
	for name, quote := range map[string]Quote{"long": long, "many lines": many, "empty form": {Heads: Heads{Form: true}}, "empty": {}} {
		for _, size := range []Size{Letter, A4} {
			d, err := QuotePaper(quote, Options{Size: size, Date: day})
			if err != nil {
				t.Fatal(err)
			}
			tidy(t, name+" "+size.Name, d)
		}
	}
	if d, err := RecordPaper(Record{Heads: Heads{Form: true}, Items: []RecordItem{{Name: endless}}}, Options{}); err != nil {
		t.Error(err)
	} else {
		tidy(t, "empty record form", d)
	}
	if _, err := RecordPaper(Record{Items: []RecordItem{{Photos: []Photo{{[]byte("no picture"), "x"}}}}}, Options{}); err == nil {
		t.Error("a photo that is none was taken")
	}
}

// What was not examined is never left out, not even where the list is empty.
func TestNotExaminedAlwaysThere(t *testing.T) {
	d, err := RecordPaper(Record{Items: []RecordItem{{Name: "x"}}}, Options{Date: day})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(all(d), words.English().T("record.not-examined")) {
		t.Error("the record does not speak of what was not examined")
	}
}
