//go:build !js

package web

import (
	"bytes"
	"flag"
	"image"
	"image/jpeg"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/store"
)

var (
	update   = flag.Bool("update", false, "write the golden files again")
	papersTo = flag.String("papers", "", "folder to write the papers to, to be looked at")
)

// workedDesk runs an invented job from call to close, with all that a record can
// hold: an overridden hold point, a change agreed to, a bead begun too cold, a
// reading taken back, a bead corrected, crayons, photos, post-heat.
func workedDesk(t testing.TB, closed bool) (*desk, *book.Job) {
	t.Helper()
	d := newDesk(t)
	d.send("/settings", "welder", "R. Hand")
	d.send("/shop", "shop", "Plain Bench Mobile Welding", "address", "4 Mill Lane", "phone", "555-0100", "units", "si", "prices.currency", "EUR", "prices.hour", "90",
		"prices.travel", "1.40", "prices.standby_hour", "60", "prices.call_out", "120", "prices.tax", "19")
	d.setShop(map[string]string{"prices.rod": "12", "prices.carbon": "1", "prices.gas": "3", "prices.oxygen": "9", "prices.backing": "8", "prices.disc": "4", "prices.fuel": "2",
		"prices.pt": "35", "prices.mt": "60", "prices.ut": "0", "prices.waste": "15", "prices.tax_name": "VAT"})
	d.send("/new", "units", "si", "j.machine.kind", "stone crusher", "j.machine.serial", "SC 12", "j.site.distance", "40 km", "j.site.where", "Grey Pit, lower bench",
		"i.part", "frame rail", "i.crack.length", "120", "i.thickness", "20", "i.shape", "plate", "i.crack.through", "no", "i.crack.ends", "both",
		"j.machine.lifts_people", "no", "j.machine.hangs_load", "no", "j.machine.on_road", "no", "i.role", "structure", "i.contains", "nothing", "j.site.fire_ban", "no",
		"c.name", "Grey Pit", "j.customer.authority", "yes")
	j := d.jobNamed("crusher")
	at, place := "/jobs/"+j.ID, j.Places[0].ID
	reload := func() *book.Job {
		var err error
		if j, err = d.book.Job(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
		return j
	}
	d.send(at+"/agree", "name", "A. Grey", "how", "phone")
	d.send(at+"/clock", "what", "travel")
	d.now = d.now.Add(50 * time.Minute)
	d.send(at + "/clock-stop?clock=" + reload().Clocks[0].ID)
	d.send(at+"/clock", "what", "work")
	n := 0
	for _, h := range reload().Holds {
		if h.Section != "safe" && h.Section != "steel" {
			continue
		}
		if n++; n == 1 {
			d.send(at+"/override?hold="+url.QueryEscape(h.ID), "name", "R. Hand", "reason", "the machine has no such switch")
			continue
		}
		d.send(at+"/hold?hold="+url.QueryEscape(h.ID), "says", "yes")
	}
	d.upload(at+"/photo", "photo", "x.jpg", noisyJPEG(t, 1600, 1200), "caption", "the crack with a tape beside it")
	d.upload(at+"/photo", "photo", "y.jpg", jpegOf(t, 300, 400), "caption", "where the rail sits")
	d.send(at+"/gouge", "length", "220 mm", "depth", "20 mm", "carbons", "3")
	d.send(at+"/look", "stage", "gone", "method", "pt", "result", "clear", "by", "R. Hand")
	d.send(at+"/hold?hold="+url.QueryEscape(place+"/cut-proof"), "says", "yes", "how", "dye")
	d.send(at+"/found", "item", place, "text", "the crack runs on under the flange", "i.crack.length", "200 mm")
	d.send(at+"/accept", "name", "A. Grey", "how", "signed", "strokes", `[[[60,210],[120,60],[180,230],[240,80],[300,220],[420,150]],[[450,260],[900,240]]]`)
	for _, h := range reload().OpenHolds(place) {
		if h.Section == "safe" || h.Section == "steel" || h.Name() == book.HoldCrackGone {
			d.send(at+"/hold?hold="+url.QueryEscape(h.ID), "says", "yes", "how", "dye")
		}
	}
	l, _ := reload().Limits(place)
	hot := l.Floor.In(j.System())
	d.send(at+"/tin", "class", "E7018-H4R", "size", "3.2 mm", "from", "sealed", "lot", "1741")
	d.send(at+"/reading", "temp", hot, "place", "left end")
	if !reload().Hold(place + "/heat-hold").Passed {
		d.send(at+"/hold?hold="+url.QueryEscape(place+"/heat-hold"), "says", "yes")
	}
	d.send(at+"/bead", "temp", "25 C", "rods", "2", "length", "200 mm", "amps", "120")
	for _, v := range reload().OpenDeviations() {
		d.send(at+"/clear?deviation="+v.ID, "done", "ground out and laid again hot")
	}
	d.send(at+"/bead", "temp", hot, "rods", "2", "length", "250 mm", "amps", "125", "tin", reload().Tins[0].Is.ID)
	beads := reload().Beads
	d.send(at+"/correct?of="+beads[1].Ref.String(), "number", "2", "rods", "1.5", "length", "250 mm", "amps", "125", "reason", "miscounted")
	d.send(at+"/reading", "crayon", hot, "melted", "yes", "bead", "3")
	d.send(at+"/reading", "temp", "400 C", "place", "on the torch")
	reads := reload().Readings
	d.send(at+"/void?of="+reads[len(reads)-1].Ref.String(), "reason", "the flame was read, not the steel")
	d.send(at+"/note", "text", "wind from the west, screen set up")
	for _, v := range reload().OpenDeviations() {
		d.send(at+"/clear?deviation="+v.ID, "done", "seen and noted")
	}
	d.send(at+"/post-heat", "temp", "200 C", "from", "1 h", "to", "now")
	if !closed {
		return d, reload()
	}
	for _, c := range reload().Clocks {
		if c.What == book.WorkClock && c.Running() {
			d.send(at + "/clock-stop?clock=" + c.ID)
		}
	}
	d.now = d.now.Add(96 * time.Hour)
	d.send(at+"/look", "stage", "final", "method", "mt", "result", "clear", "by", "R. Hand")
	d.send(at+"/hold?hold="+url.QueryEscape(place+"/after-hold"), "says", "yes", "how", "yoke")
	for _, v := range reload().OpenDeviations() {
		d.send(at+"/clear?deviation="+v.ID, "done", "seen and noted")
	}
	d.send(at+"/close", "by", "R. Hand", "done", "frame rail gouged, welded, ground flush", "not_examined", "the root from behind\nother rails", "limits", "half load for one shift")
	return d, reload()
}

func (d *desk) setShop(set map[string]string) {
	d.Helper()
	d.keys++
	if _, err := d.book.Do(d.Context(), d.now, "shop-"+time.Duration(d.keys).String(), book.SetShop{Set: set}); err != nil {
		d.Fatal(err)
	}
}

// pdf gets a paper that must be there.
func (d *desk) pdf(path string) []byte {
	d.Helper()
	p := d.get(path)
	if p.Code != 200 || !strings.HasPrefix(p.Body, "%PDF-") {
		d.Fatalf("GET %s: %d: %s", path, p.Code, clipText(textOf(p.Body)))
	}
	if *papersTo != "" {
		u, _ := url.Parse(path)
		name := strings.NewReplacer("/", "-").Replace(strings.TrimPrefix(u.Path, "/jobs/")[12:])
		if err := os.WriteFile(filepath.Join(*papersTo, d.Name()+"-"+u.Query().Get("plan")+name), []byte(p.Body), 0o644); err != nil {
			d.Fatal(err)
		}
	}
	return []byte(p.Body)
}

// words reads the text of a PDF with a reader of its own.
func (d *desk) words(path string) string {
	d.Helper()
	data := d.pdf(path)
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		d.Skip("pdftotext is not installed")
	}
	cmd := exec.Command(tool, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		d.Fatal(err)
	}
	return string(out)
}

var gaps = regexp.MustCompile(`[ \t]+`)

// flat is a text without its layout.
func flat(s string) string { return strings.TrimSpace(blanks.ReplaceAllString(s, " ")) }

func golden(t testing.TB, name, got string) {
	t.Helper()
	lines := strings.Split(strings.ReplaceAll(got, "\f", "\n"), "\n")
	kept := lines[:0]
	for _, l := range lines {
		if l = strings.TrimSpace(gaps.ReplaceAllString(l, " ")); l != "" {
			kept = append(kept, l)
		}
	}
	got = strings.Join(kept, "\n") + "\n"
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range a {
			if i >= len(b) || a[i] != b[i] {
				t.Errorf("differs from %s at line %d: got %q; look at it and run with -update if it is right", file, i+1, a[i])
				return
			}
		}
		t.Errorf("%s has more lines", file)
	}
}

// The papers of a whole job, word for word.
func TestPapersOfAJob(t *testing.T) {
	d, j := workedDesk(t, true)
	at := "/jobs/" + j.ID + "/papers"
	d.page(at).has("Repair record", "Invoice", "Change 1, agreed", "Teaching sheet", "Other plans")
	for _, k := range paperKinds {
		d.pdf(at + "/" + k.Kind + ".pdf")
	}
	golden(t, "record.txt", d.words(at+"/record.pdf"))
	golden(t, "invoice.txt", d.words(at+"/invoice.pdf"))
	golden(t, "change.txt", d.words(at+"/change.pdf"))
	if a, b := d.pdf(at+"/record.pdf"), d.pdf(at+"/record.pdf"); !bytes.Equal(a, b) {
		t.Error("the same book and day give two different records")
	}
	if n := len(d.pdf(at + "/record.pdf")); n > 600_000 {
		t.Errorf("the record has %d bytes: its photos were to be made smaller", n)
	}
}

// noisyJPEG is a picture that does not compress to nothing.
func noisyJPEG(t testing.TB, w, h int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * i >> 7)
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A job that may not be welded has papers, and none of them a technical figure.
func TestRefusedPapersHaveNoFigure(t *testing.T) {
	figure := regexp.MustCompile(`\d ?(mm|in|°C|°F|A|kJ|V|kg|lb|psi|bar)\b`)
	d := demoDesk(t)
	at := "/jobs/" + d.jobNamed("fork").ID
	d.send(at+"/clock", "what", "work")
	for _, k := range paperKinds {
		if k.Kind == "change" {
			continue
		}
		for _, line := range strings.Split(d.words(at+"/papers/"+k.Kind+".pdf"), "\n") {
			if figure.MatchString(line) {
				t.Errorf("%s: %q holds a figure", k.Kind, line)
			}
		}
	}
	if s := flat(d.words(at + "/papers/repair.pdf")); !strings.Contains(s, "Do not weld") && !strings.Contains(s, "do not weld") {
		t.Errorf("the repair sheet does not say no: %s", s)
	}
}

// An old plan prints as it was and says on every page that it is not in force.
func TestOldPlanOnPaper(t *testing.T) {
	d, j := workedDesk(t, false)
	at := "/jobs/" + j.ID + "/papers/"
	old := j.Plans[0].PlanMade.ID
	for _, kind := range []string{"repair", "procedure", "safe", "teach"} {
		pages := strings.Split(strings.TrimSuffix(d.words(at+kind+".pdf?plan="+old), "\f"), "\f")
		for i, page := range pages {
			if !strings.Contains(page, "Plan 1, replaced") {
				t.Errorf("%s, page %d of %d does not say that the plan is replaced", kind, i+1, len(pages))
			}
		}
	}
	if s := d.words(at + "repair.pdf"); strings.Contains(s, "replaced") {
		t.Error("the plan in force is called replaced")
	}
	a, b := flat(d.words(at+"repair.pdf?plan="+old)), flat(d.words(at+"repair.pdf"))
	if !strings.Contains(a, "220 mm") || !strings.Contains(b, "300 mm") || strings.Contains(a, "300 mm") {
		t.Error("the old plan does not print its own figures")
	}
}

// What is not there is refused with one sentence.
func TestPapersRefuse(t *testing.T) {
	d := newDesk(t)
	d.send("/new", "units", "si", "j.machine.kind", "loader", "i.part", "arm", "i.thickness", "20", "i.crack.length", "80")
	j := d.jobNamed("loader")
	at := "/jobs/" + j.ID
	says := func(path string, code int, text string) {
		t.Helper()
		p := d.get(path)
		if p.Code != code || !strings.Contains(textOf(p.Body), text) {
			t.Errorf("GET %s: %d %q, want %d with %q", path, p.Code, clipText(textOf(p.Body)), code, text)
		}
	}
	says(at+"/papers/nothing.pdf", 404, "no such paper")
	says(at+"/papers/repair", 404, "no such paper")
	says(at+"/papers/repair.pdf?plan=p0", 404, "no such plan")
	says(at+"/papers/change.pdf", 409, "No change of this job was proposed")
	says(at+"/papers/change.pdf?id=o0", 404, "no such change")
	says(at+"/papers/invoice.pdf", 409, "in the shop")
	d.page(at+"/papers").has("No change was proposed.", "in the shop", "To the shop")
	d.setShop(map[string]string{"prices.currency": "EUR", "prices.hour": "90"})
	says(at+"/papers/invoice.pdf", 409, "Nothing of this job is logged yet")
	d.send(at+"/clock", "what", "work")
	d.now = d.now.Add(2 * time.Hour)
	says(at+"/papers/invoice.pdf", 409, "call-out")
	says(at+"/papers/invoice.pdf", 409, "write 0 where you charge nothing")
	d.pdf(at + "/papers/record.pdf")
}

// Headers of a paper, and the address on it.
func TestPaperHeaders(t *testing.T) {
	d := demoDesk(t)
	j := d.jobNamed("quarry")
	p := d.page("/jobs/" + j.ID + "/papers/repair.pdf")
	for name, want := range map[string]string{"Content-Type": "application/pdf", "Cache-Control": "no-store", "Content-Disposition": `inline; filename="quarry-screen-left-side-plate-repair-sheet.pdf"`} {
		if got := p.Header.Get(name); got != want {
			t.Errorf("%s: got %q, want %q", name, got, want)
		}
	}
	for _, c := range []struct{ name, host, set, want string }{
		{"a host with a name", "book.example:8443", "", "http://book.example:8443/jobs/" + j.ID},
		{"this computer by number", "127.0.0.1:8765", "", ""},
		{"this computer by name", "localhost", "", ""},
		{"this computer, version 6", "[::1]:8765", "", ""},
		{"no host", "", "", ""},
		{"the host has an address", "127.0.0.1:8765", "https://bench.example/", "https://bench.example/jobs/" + j.ID},
	} {
		hr := httptest.NewRequest("GET", "/jobs/"+j.ID+"/papers", nil)
		hr.Host = c.host
		r := &request{site: &site{Service: Service{Address: c.set}}, Request: &Request{URL: hr.URL, Host: hr.Host}, scene: &scene{job: j}}
		if got := r.address(); got != c.want {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
	for job, want := range map[string]string{"": "job-invoice.pdf", "Ärger / \"../x\"\r\n": "rger-x-invoice.pdf", "שלום": "job-invoice.pdf", strings.Repeat("long ", 30): "long-long-long-long-long-long-long-long-invoice.pdf"} {
		if got := fileName(job, "Invoice"); got != want {
			t.Errorf("file name of %q: got %q, want %q", job, got, want)
		}
	}
}

// A device that has the entries and not the files says what is not printed.
func TestFilesThatAreNotHere(t *testing.T) {
	d, j := workedDesk(t, true)
	e := newDesk(t)
	e.now = d.now
	for entry, err := range d.book.Store().Load(t.Context(), store.Query{}) {
		if err != nil {
			t.Fatal(err)
		}
		if _, err := e.book.Receive(t.Context(), []store.Entry{entry}); err != nil {
			t.Fatal(err)
		}
	}
	at := "/jobs/" + j.ID + "/papers"
	if s := flat(e.words(at + "/record.pdf")); !strings.Contains(s, "The planned figures: the file of the plan is not on this device") ||
		!strings.Contains(s, "the crack with a tape beside it, 2026-03-02 08:17: the file has not reached this device") || !strings.Contains(s, "NO: too cold") {
		t.Errorf("the record does not say what is not here: %s", s)
	}
	e.page(at).has("The file of the plan is not on this device")
	if p := e.get(at + "/repair.pdf"); p.Code != 409 {
		t.Errorf("a repair sheet without a plan: %d", p.Code)
	}
}

// A change is priced by the book: against the price of the plan in force, or,
// where the shop had no prices then, against that work at the prices of now.
func TestChangeIsPricedByTheBook(t *testing.T) {
	for _, late := range []bool{false, true} {
		d := newDesk(t)
		prices := map[string]string{"units": "si", "prices.currency": "EUR", "prices.hour": "90", "prices.tax": "0"}
		if !late {
			d.setShop(prices)
		}
		d.send("/new", "units", "si", "j.machine.kind", "crusher", "i.part", "rail", "i.thickness", "20", "i.crack.length", "120", "i.shape", "plate", "i.crack.through", "no", "i.crack.ends", "both",
			"j.machine.lifts_people", "no", "j.machine.hangs_load", "no", "j.machine.on_road", "no", "i.role", "structure", "i.contains", "nothing", "j.site.fire_ban", "no", "j.customer.authority", "yes")
		j := d.jobNamed("crusher")
		at := "/jobs/" + j.ID
		found := func(length string) *book.PriceChange {
			d.send(at+"/found", "item", j.Places[0].ID, "text", "it runs on", "i.crack.length", length)
			return d.jobNamed("crusher").OpenChange().Difference.Price
		}
		if late {
			if p := found("150 mm"); p != nil {
				t.Fatalf("a price without prices: %+v", p)
			}
			d.page(at + "/change").has("No price was reckoned")
			if s := flat(d.words(at + "/papers/change.pdf")); !strings.Contains(s, "write the amounts in by hand") {
				t.Errorf("the change order does not say that it has no price: %s", s)
			}
			d.setShop(prices)
		}
		p := found("200 mm")
		if p == nil || p.Before.Likely == "0" || p.Before.Currency != "EUR" {
			t.Fatalf("late %v: no price of the change: %+v", late, p)
		}
		// the same plans priced by hand: the first is of 120 mm, whatever came between
		first := d.jobNamed("crusher")
		f := first.Facts
		f.Items[0].Set["crack.length"] = "120"
		facts, _, _, err := f.Job()
		if err != nil {
			t.Fatal(err)
		}
		shop, err := d.book.Registry().Shop()
		if err != nil {
			t.Fatal(err)
		}
		want, ok := Price(facts, shop, nil)
		if !ok || p.Before != want {
			t.Errorf("late %v: before %+v, want %+v", late, p.Before, want)
		}
		if s := textOf(d.page(at + "/change").Body); !strings.Contains(s, "crack length: 200 mm instead of 120") {
			t.Errorf("the change is not told against the plan in force: %s", s)
		}
		d.page(at+"/change").has("Price more", "instead of "+p.Before.Low+" to "+p.Before.High)
		if s := flat(d.words(at + "/papers/change.pdf")); !strings.Contains(s, moneyText(p.Before)) || !strings.Contains(s, moneyText(p.More)) || !strings.Contains(s, moneyText(p.After)) {
			t.Errorf("the change order does not have the amounts: %s", s)
		}
	}
}

// An invoice above the cap of the last plan that was said yes to says so, to both.
func TestInvoiceAbove(t *testing.T) {
	d, j := workedDesk(t, false)
	at := "/jobs/" + j.ID
	d.now = d.now.Add(100 * time.Hour) // the work clock runs on
	d.page(at+"/papers").has("The work clock still runs", "above the agreed", "Get a yes in writing", "The job is still open")
	if s := flat(d.words(at + "/papers/invoice.pdf")); !strings.Contains(s, "above the agreed 4450.00 EUR") {
		t.Errorf("the invoice does not say that it is above: %s", s)
	}
}
