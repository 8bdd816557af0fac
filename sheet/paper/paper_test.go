package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/sheet/draw"
	"soundmetal/sheet/draw/pdf"
	"soundmetal/sheet/words"
)

// tidy holds pages against what every sheet must keep: all text on the paper and
// above the margin, no two lines of text on each other, page x of y on each page.
func tidy(t *testing.T, name string, d draw.Doc) {
	t.Helper()
	bad := 0
	for i, page := range d.Pages {
		p := draw.Apart(page)
		room := draw.Box{X0: 8, Y0: 5, X1: page.W - 8, Y1: page.H - 4}
		for k, a := range p.Texts {
			if !a.Box.Within(room, 0.5) {
				bad++
				t.Errorf("%s, page %d: %q at %.1f runs out of the paper", name, i+1, a.S, a.Box)
			}
			for _, b := range p.Texts[k+1:] {
				if a.Box.Meets(b.Box, 0.3) {
					bad++
					t.Errorf("%s, page %d: %q and %q lie on each other: %.1f, %.1f", name, i+1, a.S, b.S, a.Box, b.Box)
				}
			}
			if bad > 8 {
				t.Fatalf("%s: and more", name)
			}
		}
		if want := words.English().T("paper.page", i+1, len(d.Pages)); !slices.Contains(p.Words(), want) {
			t.Errorf("%s: page %d does not say %q", name, i+1, want)
		}
	}
}

func all(d draw.Doc) string {
	var lines []string
	for _, p := range d.Pages {
		lines = append(lines, draw.Apart(p).Words()...)
	}
	return strings.Join(lines, "\n")
}

func TestSheetsAreTidy(t *testing.T) {
	for _, name := range demoJobs {
		for _, sys := range []q.System{q.US, q.SI} {
			src := demoSource(t, name, sys)
			for kind, make := range kinds {
				for _, size := range []Size{Letter, A4} {
					d, err := make(src, Options{Date: day, Size: size, URL: "https://192.168.1.20:8443/j/7f3a"})
					if err != nil {
						t.Fatalf("%s %s: %v", name, kind, err)
					}
					tidy(t, fmt.Sprintf("%s %s %s %s", name, kind, sys, size.Name), d)
				}
			}
		}
	}
}

// The repair sheet of a planned place has two pages, whatever the demo.
func TestRepairSheetHasTwoPages(t *testing.T) {
	for _, name := range demoJobs[:3] {
		for _, sys := range []q.System{q.US, q.SI} {
			src := demoSource(t, name, sys)
			d, err := Repair(src, Options{Date: day})
			if err != nil {
				t.Fatal(err)
			}
			if got, want := len(d.Pages), 2*len(src.Plan.Items); got != want {
				t.Errorf("%s %s: %d pages, want %d", name, sys, got, want)
			}
		}
	}
}

// A sheet leads in one system: no pair stands the other way round, and on a US
// sheet no metric length or temperature stands alone. The working of the teaching
// sheet is in the units of each formula.
func TestOneSystemLeads(t *testing.T) {
	wrong := map[q.System][]*regexp.Regexp{
		q.SI: {regexp.MustCompile(`\d ?(in|ft|°F|lb|oz|psi|cfm|mi|mph|kJ/in) \(\d`)},
		q.US: {regexp.MustCompile(`\d ?(mm|m|°C|kg|g|bar|km|kJ/mm) \(\d`), regexp.MustCompile(`(^|[^(\d.]|[^(] )\b\d+ ?(mm|°C)([^\d)²].*|)$`)},
	}
	for _, name := range demoJobs {
		for _, sys := range []q.System{q.US, q.SI} {
			src := demoSource(t, name, sys)
			for kind, make := range kinds {
				d, err := make(src, Options{Date: day})
				if err != nil {
					t.Fatal(err)
				}
				for _, page := range d.Pages {
					for _, text := range draw.Apart(page).Words() {
						for i, re := range wrong[sys] {
							if i > 0 && (kind == "teach" || paired(text)) {
								continue
							}
							if re.MatchString(text) && !(kind == "teach" && strings.Contains(text, "=")) {
								t.Errorf("%s %s %s: %q", name, kind, sys, text)
							}
						}
					}
				}
			}
		}
	}
}

// paired says that every metric figure of a line stands in brackets, or that the
// line begins inside some.
func paired(text string) bool {
	open := 0
	for i, r := range text {
		switch r {
		case '(':
			open++
		case ')':
			open--
		case 'm', '°':
			if strings.HasPrefix(text[i:], "mm") || strings.HasPrefix(text[i:], "°C") {
				if open < 1 && strings.Contains(text[i:], ")") {
					return true // a line broken inside the brackets
				}
				if open < 1 {
					return false
				}
			}
		}
	}
	return true
}

// No technical figure on any sheet of a refused job.
func TestRefusedSheetsHaveNoFigure(t *testing.T) {
	figure := regexp.MustCompile(`\d ?(mm|in|°C|°F|A|kJ|V|kg|lb|psi|bar)\b`)
	src := demoSource(t, "fork", q.SI)
	for kind, make := range kinds {
		d, err := make(src, Options{Date: day})
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range strings.Split(all(d), "\n") {
			if figure.MatchString(text) {
				t.Errorf("%s: %q holds a figure", kind, text)
			}
		}
	}
	d, _ := Repair(src, Options{Date: day})
	if text := all(d); !strings.Contains(text, words.English().T("verdict.refuse")) {
		t.Errorf("the repair sheet does not say no:\n%s", text)
	}
}

// The procedure sheet has a line for every row of docs/procedure-items.md.
func TestProcedureItems(t *testing.T) {
	doc, err := os.ReadFile("../../docs/procedure-items.md")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Procedure(demoSource(t, "quarry-screen", q.US), Options{Date: day})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(all(d)), " ")
	rows := 0
	for _, line := range strings.Split(string(doc), "\n") {
		cells := strings.Split(line, "|")
		if len(cells) < 5 || strings.Contains(cells[1], "---") || strings.Contains(cells[2], "Line on the sheet") {
			continue
		}
		for _, want := range strings.Split(cells[2], ";") {
			want = strings.TrimSpace(want)
			if want == "" || strings.HasPrefix(want, "(") {
				continue // (a drawing), (not for this process)
			}
			rows++
			want = strings.ReplaceAll(want, "`", "")
			if !strings.Contains(text, want) {
				t.Errorf("item %q: the sheet has no line %q", strings.TrimSpace(cells[1]), want)
			}
		}
	}
	if rows < 30 {
		t.Errorf("%d rows in the document, want 30 and more", rows)
	}
	if !strings.Contains(text, "not a qualified WPS") {
		t.Error("the sheet must say that it is not a qualified WPS")
	}
	d, err = Procedure(demoSource(t, "quarry-screen", q.US), Options{Date: day, Qualification: "PQR 12-034"})
	if err != nil {
		t.Fatal(err)
	}
	if text := all(d); strings.Contains(text, "not a qualified WPS") || !strings.Contains(text, "PQR 12-034") {
		t.Error("with a record entered, the sheet names it")
	}
}

const (
	hebrew  = "מפעלי חציבה הגליל העליון בע״מ (2009)"
	arabic  = "شركة الخليل للمقاولات والصيانة الثقيلة المحدودة"
	endless = "Vereinigte-Schwermaschinenreparaturwerkstättenbetriebsgesellschaft-Oberlausitz-Niederschlesien-mbH-und-Compagnie-Kommanditgesellschaft-auf-Aktien"
)

// Long names, names in other letters and empty fields: nothing overlaps, nothing
// is cut off.
func TestHardNames(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*job.Job)
	}{
		{"long", func(j *job.Job) {
			j.Name, j.Customer.Name, j.Site.Where, j.Machine.Kind = endless+" "+endless, endless, endless+", "+endless, endless
			j.Items[0].Name, j.Items[0].Part = endless, endless
		}},
		{"right to left", func(j *job.Job) {
			j.Name, j.Customer.Name, j.Site.Where = hebrew, arabic, hebrew+", "+arabic
			j.Items[0].Name = arabic
		}},
		{"empty", func(j *job.Job) {
			j.Name, j.Customer.Name, j.Customer.Phone, j.Site.Where, j.Machine.Kind = "", "", "", "", ""
			j.Items[0].Name, j.Items[0].Part = "", ""
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			src := demoSource(t, "quarry-screen", q.US, c.change)
			if c.name == "empty" {
				src.Shop = nil
			}
			for kind, make := range kinds {
				d, err := make(src, Options{Date: day})
				if err != nil {
					t.Fatal(err)
				}
				tidy(t, c.name+" "+kind, d)
				if _, err := pdf.Bytes(d); err != nil {
					t.Errorf("%s: %v", kind, err)
				}
			}
		})
	}
}

// A name is there in full, however it is broken.
func TestLongNameIsWhole(t *testing.T) {
	src := demoSource(t, "quarry-screen", q.US, func(j *job.Job) { j.Customer.Name = endless })
	d, err := QuoteForm(src, Options{Date: day})
	if err != nil {
		t.Fatal(err)
	}
	if text := strings.ReplaceAll(all(d), "\n", ""); !strings.Contains(text, endless) {
		t.Errorf("the customer's name is cut off")
	}
}

// Thin and thick plate, many beads: tidy, two pages, readable numbers.
func TestHardPlates(t *testing.T) {
	for _, c := range []struct {
		name   string
		thick  q.Length
		access job.Access
	}{{"6 mm", 6 * q.Millimetre, job.BothSides}, {"6 mm, one side", 6 * q.Millimetre, "one"}, {"60 mm", 60 * q.Millimetre, job.BothSides}, {"60 mm, one side", 60 * q.Millimetre, "one"}, {"2 mm", 2 * q.Millimetre, job.BothSides}} {
		t.Run(c.name, func(t *testing.T) {
			for _, sys := range []q.System{q.US, q.SI} {
				src := demoSource(t, "quarry-screen", sys, func(j *job.Job) {
					j.Items = j.Items[:1]
					j.Items[0].Thickness, j.Items[0].Access = q.Known(c.thick), c.access
				})
				for kind, make := range kinds {
					d, err := make(src, Options{Date: day})
					if err != nil {
						t.Fatal(err)
					}
					tidy(t, c.name+" "+kind, d)
					if kind == "repair" && len(src.Plan.Items[0].Beads) <= 60 && len(d.Pages) > 2 {
						t.Errorf("%s: %d pages of repair sheet for %d beads", c.name, len(d.Pages), len(src.Plan.Items[0].Beads))
					}
				}
			}
		})
	}
}

func TestSmallAndSame(t *testing.T) {
	for _, name := range demoJobs {
		src := demoSource(t, name, q.US)
		for kind, make := range kinds {
			d, err := make(src, Options{Date: day, URL: "https://192.168.1.20:8443/j/7f3a"})
			if err != nil {
				t.Fatal(err)
			}
			a, err := pdf.Bytes(d)
			if err != nil {
				t.Fatal(err)
			}
			if len(a) > 300<<10 {
				t.Errorf("%s %s: %d bytes, want less than 300 kB", name, kind, len(a))
			}
			again, err := make(src, Options{Date: day, URL: "https://192.168.1.20:8443/j/7f3a"})
			if err != nil {
				t.Fatal(err)
			}
			if b, _ := pdf.Bytes(again); !bytes.Equal(a, b) {
				t.Errorf("%s %s: the same job gave other bytes", name, kind)
			}
		}
	}
}

// qpdf and pdftotext, where they are installed: the files are sound, and the
// text comes out with its signs and names.
func TestFilesAreSound(t *testing.T) {
	src := demoSource(t, "quarry-screen", q.US, func(j *job.Job) { j.Customer.Name = "Łódź Żwirownia ½ " + "חציבה" })
	dir := t.TempDir()
	for _, tool := range []string{"qpdf", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed: files not checked", tool)
		}
	}
	for kind, make := range kinds {
		d, err := make(src, Options{Date: day, URL: "https://192.168.1.20:8443/j/7f3a"})
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, kind+".pdf")
		write(t, file, d)
		if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", kind, err, out)
		}
		out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		want := []string{"Łódź Żwirownia ½", "חציבה", words.English().T("paper.page", 1, len(d.Pages))}
		if kind == "repair" {
			want = append(want, "285 °F")
		}
		for _, w := range want {
			if !strings.Contains(string(out), w) {
				t.Errorf("%s: %q is not in the text", kind, w)
			}
		}
	}
}

// The papers for the customer have no field for cost or margin, and the forms do
// not print what the shop file says of them.
func TestNoMargin(t *testing.T) {
	bad := regexp.MustCompile(`(?i)margin|mark-?up|cost|profit|rate`)
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
		Deviations:  []Deviation{{"1 in longer at the lower end", "the crack ran on under the paint", "owner, by phone"}},
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

func TestSizeFor(t *testing.T) {
	for _, c := range []struct {
		country string
		sys     q.System
		want    Size
	}{{"US", q.SI, Letter}, {"CA", q.SI, Letter}, {"GB", q.US, A4}, {"", q.US, Letter}, {"", q.SI, A4}, {"DE", q.SI, A4}} {
		if got := SizeFor(c.country, c.sys); got != c.want {
			t.Errorf("%q %s: got %s, want %s", c.country, c.sys, got.Name, c.want.Name)
		}
	}
}

// A code is there when there is an address, and only then.
func TestCodeOnlyWithAddress(t *testing.T) {
	src := demoSource(t, "quarry-screen", q.US)
	cells := func(url string) int {
		d, err := Repair(src, Options{Date: day, URL: url})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, p := range draw.Apart(d.Pages[0]).Paths {
			if p.Group == "QR" && p.Fill == draw.Black {
				n++
			}
		}
		return n
	}
	if n := cells(""); n != 0 {
		t.Errorf("%d dark cells without an address", n)
	}
	if n := cells("https://192.168.1.20:8443/j/7f3a"); n < 100 {
		t.Errorf("%d dark cells with an address, want some hundred", n)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      float64
		want       []string
	}{
		{"fits", "one line", 100, []string{"one line"}},
		{"breaks at words", "aaa bbb ccc", 6, []string{"aaa", "bbb", "ccc"}},
		{"long word is cut", "aaaaaaaa", 4.6, []string{"aaaa", "aaaa"}},
		{"own breaks stay", "a\nb", 100, []string{"a", "b"}},
		{"empty", "", 10, []string{""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := wrap(c.text, 2, false, c.width)
			if !slices.Equal(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func BenchmarkRepairSheet(b *testing.B) { benchmark(b, Repair) }

func BenchmarkTeachingSheet(b *testing.B) { benchmark(b, Teaching) }

func benchmark(b *testing.B, make func(Source, Options) (draw.Doc, error)) {
	src := demoSource(b, "quarry-screen", q.US)
	b.ReportAllocs()
	for b.Loop() {
		d, err := make(src, Options{Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := pdf.Bytes(d); err != nil {
			b.Fatal(err)
		}
	}
}
