package job_test

import (
	"errors"
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

const fiveLines = `units: us
machine: tipper
part: cross member
thickness: 3/8
crack: 6
`

func TestFiveLineJob(t *testing.T) {
	j, err := job.Read("five.yaml", []byte(fiveLines))
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Items) != 1 || j.Machine.Kind != "tipper" {
		t.Fatalf("got %+v", j)
	}
	it := j.Items[0]
	if it.Part != "cross member" || !near(it.Thickness, 0.375*q.Inch) || !near(it.Crack.Length, 6*q.Inch) {
		t.Errorf("got part %q, thickness %v, crack %v", it.Part, it.Thickness, it.Crack.Length)
	}
	if it.Access != "" || it.Steel.Hardness.Known || j.Site.FireBan != job.Unknown {
		t.Error("what was left out must be unknown")
	}
}

func near(m q.Maybe[q.Length], want q.Length) bool {
	return m.Known && m.V > want-1e-12 && m.V < want+1e-12
}

// What people write; each must be read as the value beside it.
func TestWaysToWrite(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want q.Length
	}{
		"fraction":         {"units: us\nthickness: 3/16\n", 4.7625 * q.Millimetre},
		"mixed":            {"units: us\nthickness: 1-1/2\"\n", 38.1 * q.Millimetre},
		"millimetres":      {"units: us\nthickness: 12mm\n", 12 * q.Millimetre},
		"inches":           {"units: si\nthickness: 1/2 in\n", 12.7 * q.Millimetre},
		"curly quotes":     {"units: si\nthickness: 1/2”\n", 12.7 * q.Millimetre},
		"decimal comma":    {"units: si\nthickness: 9,5\n", 9.5 * q.Millimetre},
		"quoted":           {"units: si\nthickness: \"9.5 mm\"\n", 9.5 * q.Millimetre},
		"no system needed": {"thickness: 12 mm\n", 12 * q.Millimetre},
	} {
		j, err := job.Read(name, []byte(c.text+"machine: tipper\npart: beam\ncrack: 100 mm\n"))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := j.Items[0].Thickness.V; got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("%s: got %v m, want %v m", name, float64(got), float64(c.want))
		}
	}
}

// Each fault is one sentence with the place and what would be accepted.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct {
		text      string
		line, col int
		says      []string
	}{
		"unknown key":            {"machine: tipper\nthicknes: 12 mm\n", 2, 1, []string{"thicknes", `did you mean "thickness"?`}},
		"unknown key inside":     {"items:\n  - part: beam\n    crack: {lenght: 50 mm}\n", 3, 13, []string{"lenght", `"length"`}},
		"far-off key":            {"machine: tipper\nzzzzzzzz: 1\n", 2, 1, []string{"zzzzzzzz", "known here"}},
		"missing unit":           {"machine: tipper\npart: beam\nthickness: 12\n", 3, 12, []string{"thickness", "12"}},
		"mil":                    {"units: us\npart: beam\nthickness: 12 mil\n", 3, 12, []string{"12 mm", "0.012 in"}},
		"bare 12 in inch mode":   {"units: us\npart: beam\nthickness: 12\ncrack: 3\n", 0, 0, nil}, // 12 in is 305 mm: beyond the limit
		"wrong kind of unit":     {"part: beam\nthickness: 300F\n", 2, 12, []string{"300F", "mm"}},
		"vanishing number":       {"part: beam\ncause: {cycles_per_hour: 1e-300}\n", 2, 26, []string{"1e-300", "cannot be"}},
		"negative":               {"part: beam\nthickness: -3 mm\n", 2, 12, []string{"-3 mm"}},
		"below absolute zero":    {"site: {air: -400 C}\npart: beam\n", 1, 13, []string{"-400"}},
		"not a word":             {"part: beam\naccess: sideways\n", 2, 9, []string{"sideways", "one, both, unknown"}},
		"near word":              {"part: beam\nposition: overhed\n", 2, 11, []string{`did you mean "overhead"?`}},
		"twice":                  {"part: beam\nthickness: 3 mm\nthickness: 4 mm\n", 3, 1, nil},
		"list for a value":       {"part: beam\nthickness: [3 mm, 4 mm]\n", 2, 12, []string{"one value"}},
		"value for a group":      {"site:\n  air: 3 C\nitems: beam\n", 3, 8, []string{"expected a list"}},
		"depth beyond thickness": {"part: beam\nthickness: 10 mm\ncrack: {length: 50 mm, depth: 14 mm}\n", 3, 31, []string{"14 mm", "10 mm"}},
		"through but shallow":    {"part: beam\nthickness: 10 mm\ncrack: {length: 50 mm, depth: 4 mm, through: yes}\n", 3, 46, []string{"contradicts"}},
		"hollow from both sides": {"part: beam\naccess: both\nbehind: closed-hollow\n", 2, 9, []string{"contradicts"}},
		"repair never welded":    {"part: beam\nhistory: {welded: no, held: 300 h}\n", 2, 19, []string{"contradicts"}},
		"walls fill the box":     {"part: beam\nshape: box\nthickness: 60 mm\ndepth: 100 mm\n", 3, 12, []string{"two walls"}},
		"item and items":         {"thickness: 3 mm\nitems:\n  - part: beam\n", 1, 1, []string{"beside a list of items"}},
		"no item":                {"machine: tipper\n", 0, 0, []string{"no damaged place"}},
		"tabs":                   {"machine:\n\t- x\n", 2, 1, []string{"YAML"}},
		"anchor":                 {"part: &a beam\nname: *a\n", 1, 7, []string{"anchors"}},
		"two documents":          {"part: beam\n---\npart: bar\n", 3, 0, []string{"second document"}},
		"not a mapping":          {"just words\n", 1, 1, []string{"key: value"}},
		"empty":                  {"  \n", 1, 1, []string{"empty"}},
		"comments only":          {"# nothing\n", 1, 1, []string{"comments"}},
		"binary":                 {"part: b\x00eam\n", 1, 8, []string{"not a text file"}},
		"not UTF-8":              {"part: b\xffeam\n", 1, 8, []string{"UTF-8"}},
		"10 MB":                  {strings.Repeat("# fill\n", 1500000), 0, 0, []string{"at most"}},
		"version":                {"version: 7\npart: beam\n", 1, 10, []string{"version 7"}},
		"element":                {"part: beam\nsteel: {analysis: {C: 0.2, Fe: 98}}\n", 2, 28, []string{"Fe", "C, Si"}},
	} {
		_, err := job.Read("job.yaml", []byte(c.text))
		var f *job.Fault
		if !errors.As(err, &f) {
			t.Errorf("%s: got %v, want a fault", name, err)
			continue
		}
		if c.line > 0 && (f.Line != c.line || (c.col > 0 && f.Column != c.col)) {
			t.Errorf("%s: at %d:%d, want %d:%d (%v)", name, f.Line, f.Column, c.line, c.col, err)
		}
		for _, s := range c.says {
			if !strings.Contains(err.Error(), s) {
				t.Errorf("%s: %q does not say %q", name, err, s)
			}
		}
		if strings.Contains(err.Error(), "\n") || !strings.HasPrefix(err.Error(), "job.yaml") {
			t.Errorf("%s: %q is not one line that begins with the file", name, err)
		}
	}
}

func TestShopFaults(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"no class":         {"rods: [{size: 3.2 mm}]\n", "class is missing"},
		"no size":          {"rods: [{class: E7018}]\n", "size is missing"},
		"sealed and open":  {"rods: [{class: E7018, size: 3.2 mm, condition: sealed, opened: 3 h}]\n", "sealed tin"},
		"above max":        {"power: [{max: 200 A, duty: [{amps: 250 A, duty: 60%}]}]\n", "above the machine's max"},
		"duty above 100 %": {"power: [{duty: [{amps: 250 A, duty: 160%}]}]\n", "160"},
		"unknown key":      {"shop: x\npowr: []\n", `did you mean "power"?`},
	} {
		_, err := job.ReadShop("shop.yaml", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want it to say %q", name, err, c.says)
		}
	}
}

// FuzzRead: any input gives a job or one fault of one line; never a panic.
func FuzzRead(f *testing.F) {
	f.Add([]byte(fiveLines))
	f.Add([]byte("items:\n  - part: beam\n    crack: {length: 50 mm, through: yes}\n    behind: [oil, hose]\n    steel: {analysis: {C: 0.2}}\n"))
	f.Add([]byte(`{"machine":"tipper","part":"beam","thickness":"12 mm"}`))
	f.Add([]byte("part: ? \n- x: [\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := job.Read("f.yaml", data)
		var fault *job.Fault
		switch {
		case err == nil && len(j.Items) == 0:
			t.Error("a job without items was accepted")
		case err != nil && (!errors.As(err, &fault) || strings.ContainsAny(err.Error(), "\n\r")):
			t.Errorf("%q is not one fault of one line", err)
		}
		if _, err := job.ReadShop("s.yaml", data); err != nil && strings.ContainsAny(err.Error(), "\n\r") {
			t.Errorf("%q is not one line", err)
		}
	})
}

// A price that cannot be read is a fault at its place.
func TestPriceFaults(t *testing.T) {
	for name, c := range map[string]struct{ line, says string }{
		"two readings":     {`hour: "1,250"`, "may mean 1250 or 1.250"},
		"thousands mark":   {`hour: "1,250.00"`, "more than one point or comma"},
		"blank inside":     {`hour: "1 250"`, "write it without: 1250"},
		"currency in it":   {"hour: $125", "not a plain number"},
		"negative":         {"disc: -3", "is negative"},
		"too long":         {`fuel: "12345678"`, "longer than a price"},
		"currency":         {"currency: dollars", "code of three letters"},
		"empty packet":     {"rod_packet: 0", "a packet of zero holds no rods"},
		"tax as a share":   {"tax: 725", "more than 100 %"},
		"oxygen":           {"oxygen: cheap", "not a plain number"},
		"waste":            {"waste: some", "not a plain number"},
		"backing":          {"backing: 3 USD", "between its digits"},
		"markup in words":  {"markup: twenty", "not a plain number"},
		"minimum in words": {"minimum_hours: 3 h", "between its digits"},
	} {
		_, err := job.ReadShop("shop.yaml", []byte("units: us\nprices:\n  "+c.line+"\n"))
		var f *job.Fault
		if !errors.As(err, &f) || f.Line != 3 || f.Column == 0 || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want a fault in line 3 that says %q", name, err, c.says)
		}
	}
	s, err := job.ReadShop("shop.yaml", []byte("prices: {currency: usd, hour: 125, rod: \"6,20\", tax: 7.25 %, markup: 20%, oxygen: 0.45, backing: 2, waste: 40}\nfactors: {rods: 112%}\n"))
	if err != nil || s.Prices.Oxygen != "0.45" || !s.Factors.Rods.Known {
		t.Errorf("got %+v, %v", s, err)
	}
}
