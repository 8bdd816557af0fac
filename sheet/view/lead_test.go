package view

import (
	"testing"

	q "soundmetal/quantity"
)

func TestLead(t *testing.T) {
	for _, c := range []struct {
		name, text string
		sys        q.System
		want       string
	}{
		{"metric first turned round", "Clean to bright metal 50 mm (2 in) beyond", q.US, "Clean to bright metal 2 in (50 mm) beyond"},
		{"us first turned round", "35 ft (11 m) away", q.SI, "11 m (35 ft) away"},
		{"range", "150 to 200 °C (300 to 390 °F) for 1 h", q.US, "300 to 390 °F (150 to 200 °C) for 1 h"},
		{"feet and inches", "1638 mm (5 ft 4-1/2 in) long", q.US, "5 ft 4-1/2 in (1638 mm) long"},
		{"right order stays", "1-1/2 in (38.1 mm), 1 in 3", q.US, "1-1/2 in (38.1 mm), 1 in 3"},
		{"right order stays in SI", "38.1 mm (1-1/2 in)", q.SI, "38.1 mm (1-1/2 in)"},
		{"metric alone", "a radius of 12 mm or more", q.US, "a radius of 1/2 in (12 mm) or more"},
		{"metric range alone", "Blocks of 150 to 300 mm from", q.US, "Blocks of 6 to 11-3/4 in (150 to 300 mm) from"},
		{"two metric figures alone", "2 × 6 to 10 mm, centre up to 12 mm past", q.US, "2 × 1/4 to 3/8 in (6 to 10 mm), centre up to 1/2 in (12 mm) past"},
		{"a small one alone", "then take 1 mm more", q.US, "then take 1/32 in (1 mm) more"},
		{"temperature alone", "below 5 °C", q.US, "below 41 °F (5 °C)"},
		{"echo in brackets is no lone figure", "2 in (50 mm) and 3 mm", q.US, "2 in (50 mm) and 1/8 in (3 mm)"},
		{"the word in is no inch", "14 in 8 layers", q.SI, "14 in 8 layers"},
		{"slope is no inch", "120 mm (4-3/4 in), 1 in 3", q.SI, "120 mm (4-3/4 in), 1 in 3"},
		{"area is no length", "337 mm² weld", q.US, "337 mm² weld"},
		{"negative", "at -12 °C", q.US, "at 10 °F (-12 °C)"},
		{"unit of many letters", "41 to 60 psi (2.8 to 4.2 bar)", q.SI, "2.8 to 4.2 bar (41 to 60 psi)"},
		{"energy", "42 to 73 kJ/in (1.7 to 2.9 kJ/mm)", q.SI, "1.7 to 2.9 kJ/mm (42 to 73 kJ/in)"},
		{"nothing to do", "Stop it and lock it.", q.US, "Stop it and lock it."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Lead(c.text, c.sys); got != c.want {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
		})
	}
}
