package filler

import (
	"strings"
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func posOf(s string) job.Position { return job.Position(s) }

// How rods are named in the trade: users' study, section 6.
func TestRead(t *testing.T) {
	mark := func(h float64) q.Maybe[q.Hydrogen] { return q.Known(q.Hydrogen(h)) }
	none := q.Maybe[q.Hydrogen]{}
	for _, c := range []struct {
		text, want string
		mark       q.Maybe[q.Hydrogen]
		r, assumed bool
		size       float64 // mm, 0: none
	}{
		{"118", "E11018-M", none, false, true, 0},
		{"7018", "E7018", none, false, false, 0},
		{"E7018-H4R", "E7018", mark(4), true, false, 0},
		{"e7018 h4 r", "E7018", mark(4), true, false, 0},
		{"E7018R", "E7018", none, true, false, 0},
		{"E7018-1H4R", "E7018-1", mark(4), true, false, 0},
		{"7018-1 H8", "E7018-1", mark(8), false, false, 0},
		{"E7018M", "E7018M", none, false, false, 0},
		{"lo-hi", "E7018", none, false, true, 0},
		{"low-hy", "E7018", none, false, true, 0},
		{"Low hydrogen rod", "E7018", none, false, true, 0},
		{"8018", "E8018-C3", none, false, true, 0},
		{"8018-C3", "E8018-C3", none, false, false, 0},
		{"8018 C1", "E8018-C1", none, false, false, 0},
		{"110", "E11018-M", none, false, true, 0},
		{"11018", "E11018-M", none, false, true, 0},
		{"E11018M", "E11018-M", none, false, false, 0},
		{"11018-M H4R", "E11018-M", mark(4), true, false, 0},
		{"1/8 7018", "E7018", none, false, false, 3.175},
		{"7018 1/8\"", "E7018", none, false, false, 3.175},
		{"7018-1/8", "E7018", none, false, false, 3.175},
		{"7018-1 1/8", "E7018-1", none, false, false, 3.175},
		{"five-thirty-two 11018M", "E11018-M", none, false, false, 3.96875},
		{"eighth rod, 7018", "E7018", none, false, false, 3.175},
		{"three-thirty-seconds 6010", "E6010", none, false, false, 2.38125},
		{"3.2 mm 7018 H4", "E7018", mark(4), false, false, 3.2},
		{"7018 4.0", "E7018", none, false, false, 4},
		{"7018 2,5", "E7018", none, false, false, 2.5},
		{"E7018–H4R", "E7018", mark(4), true, false, 0}, // typographic dash
		{"7018 ½", "", none, false, false, 0},
		{"E 42 4 B 42 H5", "E7018", mark(5), false, true, 0},
		{"E 69 5 Mn2NiCrMo B 42 H5", "E11018-M", mark(5), false, true, 0},
		{"E 69 5 Mn2NiCrMo B 42", "E11018-M", mark(16), false, true, 0}, // no mark: no promise
		{"E4918 H5", "E7018", mark(5), false, true, 0},
		{"309L-16", "E309L", none, false, false, 0},
		{"E312-17", "E312", none, false, false, 0},
		{"18 8 Mn", "18 8 Mn", none, false, false, 0},
		{"18/8 Mn", "18 8 Mn", none, false, false, 0},
		{"ENiCrFe-3", "ENiCrFe-3", none, false, false, 0},
		{"EFeMn-B", "EFeMn-B", none, false, false, 0},
		{"nickel 99", "ENi-CI", none, false, false, 0},
		{"hard-facing wire", "hardfacing", none, false, false, 0},
		{"E71T-1C H8", "E71T-1", mark(8), false, false, 0},
		{"E71T-8", "E71T-8", none, false, false, 0},
		{"ER70S-6 0.035\"", "ER70S-6", none, false, false, 0.889},
		{"E111T1-K3", "E111T1-K3", none, false, false, 0},
	} {
		got, size, err := ReadRod(c.text)
		if c.want == "" {
			if err == nil {
				t.Errorf("%q: got %s, want an error", c.text, got)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got.ID != c.want || got.Mark != c.mark || got.Resist != c.r || (got.Assumed != "") != c.assumed {
			t.Errorf("%q: got %s (mark %v, R %v, assumed %q), want %s (mark %v, R %v, assumed %v)", c.text, got.ID, got.Mark, got.Resist, got.Assumed, c.want, c.mark, c.r, c.assumed)
		}
		if mm := size.Or(0).MM(); mm-c.size > 1e-9 || c.size-mm > 1e-9 {
			t.Errorf("%q: size got %v mm, want %v mm", c.text, mm, c.size)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"", "names no rod"},
		{"rods", "names no rod"},
		{"7081", "nearest is E7018 "},
		{"E9018-B3", "nearest is E9018-M "},
		{"E308L", "nearest is E309L "},
		{"E8018-B2", "nearest is E8018-C"},
		{"E7018-16", "nearest is E7018"}, // a coating mark of stainless rods
		{"wire", "names no rod"},
		{strings.Repeat("7018 ", 20), "longer than"},
	} {
		got, err := Read(c.text)
		if err == nil {
			t.Errorf("%q: got %s, want an error", c.text, got)
		} else if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: got error %q, want it to say %q", c.text, err, c.says)
		}
	}
}

// What Read gives, printed and read again, is the same class with the same marks.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"118", "E7018-H4R", "lo-hi", "E 42 4 B 42 H5", "1/8 7018", "18 8 Mn", "E71T-1C H8", "7018-1 1/8", "", "½", "7081", "3,2 8018-C3 H4"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, size, err := ReadRod(text)
		if err != nil {
			if err.Error() == "" || c.ID != "" {
				t.Fatalf("%q: an error must say something and come without a class, got %q and %q", text, err, c.ID)
			}
			return
		}
		if size.Known && (size.V <= 0 || size.V > 10*q.Inch) {
			t.Fatalf("%q: size %v", text, size.V)
		}
		again, err := Read(c.String())
		if err != nil || again.ID != c.ID || again.Mark != c.Mark || again.Resist != c.Resist {
			t.Fatalf("%q: read as %q, read again as %q (%v)", text, c, again, err)
		}
	})
}

func TestLevel(t *testing.T) {
	for _, c := range []struct {
		text  string
		level float64 // 0: unknown
	}{
		{"7018", 16}, {"7018-H4R", 4}, {"7018 H8", 8}, {"E7018M", 4}, {"E9018-M", 4}, {"E11018-M", 4}, {"8018-C3", 16},
		{"6010", 30}, {"6013", 30}, {"6010 H4", 30}, // a mark on such a rod is not believed
		{"E71T-8", 16}, {"ER70S-6", 8}, {"E309L", 0}, {"EFeMn-A", 0},
	} {
		got := mustRead(t, c.text).Level()
		if float64(got.Or(0)) != c.level || got.Known != (c.level > 0) {
			t.Errorf("%s: got %v, want %v ml", c.text, got, c.level)
		}
	}
}
