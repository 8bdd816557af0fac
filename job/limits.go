package job

import "bytes"

// Limits of a file. A real job has a few kB, a few damaged places and four or
// five levels; what lies far beyond is not a job file, and the YAML parser would
// need more memory than the machine has.
const (
	MaxSize    = 1 << 20 // bytes
	MaxItems   = 100     // damaged places in one job
	maxNesting = 1000    // groups within groups
)

// tooDeep finds the place, from 1, where groups lie too deep within each other:
// by brackets, or by dashes and blanks before the text of a line.
func tooDeep(data []byte) (line, column int, found bool) {
	depth := 0
	for l := range bytes.Lines(data) {
		line++
		lead := true
		for i, c := range l {
			switch c {
			case '[', '{':
				depth++
			case ']', '}':
				depth = max(0, depth-1)
			}
			lead = lead && (c == ' ' || c == '-' || c == '?')
			if depth > maxNesting || (lead && i >= maxNesting) {
				return line, i + 1, true
			}
		}
	}
	return 0, 0, false
}
