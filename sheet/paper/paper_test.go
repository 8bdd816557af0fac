package paper

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
	for _, name := range demoJobs[:4] {
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
			items, err := src.items(Options{})
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, items[0].Label("heat.preheat").Lead) // with its °
		}
		for _, w := range want {
			if !strings.Contains(string(out), w) {
				t.Errorf("%s: %q is not in the text", kind, w)
			}
		}
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
