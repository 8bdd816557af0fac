package power

import "testing"

func BenchmarkRankClamps(b *testing.B) {
	n, err := Machine("wheeled-loader")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := RankClamps(n, "bucket", nil, 200, Draws{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRankMiddle is what the plan does for every damaged place.
func BenchmarkRankMiddle(b *testing.B) {
	n, err := Machine("wheeled-loader")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := RankClamps(n, "bucket", nil, 200, Draws{Middle: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolveEdges(b *testing.B) {
	edges, err := ReadEdges("s-a:1mohm, s-b:2mohm, a-t:2mohm, b-t:1mohm, a-b:1mohm")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := SolveEdges(edges, "s", "t", 200); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRig(b *testing.B) {
	in := ourRig()
	in.Uses = gouges(b, 4.0, 4.8, 6.4, 7.9, 9.5)
	for b.Loop() {
		if _, err := Rig(in); err != nil {
			b.Fatal(err)
		}
	}
}
