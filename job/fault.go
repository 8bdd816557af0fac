package job

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong with a file, with the place and what would be accepted.
type Fault struct {
	File   string
	Line   int // 1-based; 0 where the fault has no place in the file
	Column int
	Field  string // path of the field: items[0].crack.length; may be empty
	Text   string // what is wrong and what would be accepted
}

func (f *Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": ")
	if f.Field != "" {
		b.WriteString(f.Field)
		b.WriteString(": ")
	}
	b.WriteString(f.Text)
	return b.String()
}

// nearest gives the known word closest to what was written, or "" if none is close.
func nearest(written string, known []string) string {
	best, bestDistance := "", 1+max(1, len(written)/3)
	for _, k := range known {
		if d := editDistance(strings.ToLower(written), strings.ToLower(k)); d < bestDistance {
			best, bestDistance = k, d
		}
	}
	return best
}

// editDistance counts insertions, deletions, substitutions and swaps of neighbours.
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, prev, cur := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(x); i++ {
		cur[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				cur[j] = min(cur[j], before[j-2]+1)
			}
		}
		before, prev, cur = prev, cur, before
	}
	return prev[len(y)]
}
