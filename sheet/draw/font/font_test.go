package font

import (
	"math"
	"testing"

	"golang.org/x/text/unicode/norm"
)

// TestFormsAreTheLetters holds every presentation form against the Unicode
// compatibility decomposition (UAX 15, NFKC).
func TestFormsAreTheLetters(t *testing.T) {
	for base, all := range forms {
		for i, f := range all {
			if got := norm.NFKC.String(string(f)); got != string(base) {
				t.Errorf("form %d of %q: got %q", i, base, got)
			}
		}
	}
	for alef, signs := range lamAlef {
		for _, s := range signs {
			if got, want := norm.NFKC.String(string(s)), string(lam)+string(alef); got != want {
				t.Errorf("sign of lam and %q: got %q, want %q", alef, got, want)
			}
		}
	}
}

func TestEveryFormHasAGlyph(t *testing.T) {
	for base, all := range forms {
		for _, f := range all {
			if r := Runs(string(f), false); len(r) != 1 || r[0].Face != Other || r[0].Text != string(f) {
				t.Errorf("%q: form %U is not in the face: %v", base, f, r)
			}
		}
	}
}

func TestVisual(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"latin stays", "Łódź 3/8 in", "Łódź 3/8 in"},
		{"hebrew turned round", "שלום", "םולש"},
		{"number in hebrew stays readable", "אבג 24 דה", "הד 24 גבא"},
		{"hebrew in an english line", "for אבג Ltd", "for גבא Ltd"},
		{"bracket turned", "אב (ג)", "(ג) בא"},
		// beh joined on both sides, isolated alef after a non-joiner
		{"arabic joined", "ببب", string([]rune{0xfe90, 0xfe92, 0xfe91})},
		{"arabic after a letter that does not join", "دب", string([]rune{0xfe8f, 0xfea9})},
		{"lam alef", "سلام", string([]rune{0xfee1, 0xfefc, 0xfeb3})},
		{"isolated names keep their places", Isolate("אב") + " · " + Isolate("גד") + " · x", "בא · דג · x"},
		{"brackets stay in their name", Isolate("אב (9)") + " · x", "(9) בא · x"},
		{"isolate begun on the line before", "אב" + "\u2069" + " · " + Isolate("גד"), "בא · דג"},
		{"isolate going on to the next line", "x · " + "\u2068" + "אב", "x · בא"},
		{"vowel sign passed over", "بَب", string([]rune{0xfe90, 0x64e, 0xfe91})},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := string(visual(c.text)); got != c.want {
				t.Errorf("got %q %U, want %q %U", got, []rune(got), c.want, []rune(c.want))
			}
		})
	}
}

func TestRuns(t *testing.T) {
	for _, c := range []struct {
		name, text string
		bold       bool
		want       []Run
	}{
		{"one face", "120 °C ½", true, []Run{{"120 °C ½", Bold}}},
		{"sign of the other face", "a ⌀6 b", false, []Run{{"a ", Regular}, {"⌀", Other}, {"6 b", Regular}}},
		{"no face has it", "你", false, []Run{{"□", Regular}}},
		{"direction marks are dropped", "a\u200fb", false, []Run{{"ab", Regular}}},
		{"empty", "", false, []Run{{"", Regular}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Runs(c.text, c.bold)
			if len(got) != len(c.want) {
				t.Fatalf("got %v, want %v", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] {
					t.Errorf("got %v, want %v", got, c.want)
				}
			}
		})
	}
}

// The widths are held against the horizontal metrics of the face itself:
// Go Regular has 2048 units to the em and all figures are 1139 wide (hmtx table,
// read with golang.org/x/image/font/sfnt).
func TestWidth(t *testing.T) {
	if got, want := Width("0123456789", false), 10*1139.0/2048; math.Abs(got-want) > 0.01 {
		t.Errorf("ten figures: got %.4f, want %.4f, difference %.4f", got, want, got-want)
	}
	if a, b := Width("ab", false), Width("a", false)+Width("b", false); math.Abs(a-b) > 1e-12 {
		t.Errorf("widths add up: %.5f and %.5f", a, b)
	}
	if Width("שלום", false) < 1 || Width("خليل", true) < 1 {
		t.Error("names in other letters have a width")
	}
	if a, b := Width("xא", false), Width("x", false); a <= b {
		t.Errorf("a mixed line is wider than its part: %.3f, %.3f", a, b)
	}
}

func BenchmarkWidth(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Width("gouge at full depth over 13 in (330 mm)", false)
	}
}
