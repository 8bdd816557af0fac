package filler

import (
	"testing"

	q "soundmetal/quantity"
)

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read("1/8 E7018-H4R"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCandidates(b *testing.B) {
	need := Need{Steels: []Base{base(Structural, 355), base(Quenched, 690), base(Unlisted, 0)}, Weld: GrooveTension, Rods: full, Hydrogen: q.Known(q.Hydrogen(8))}
	for b.Loop() {
		if _, err := Candidates(need); err != nil {
			b.Fatal(err)
		}
	}
}
