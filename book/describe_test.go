package book_test

import (
	"os"
	"strings"
	"testing"

	"soundmetal/book"
)

// Every entry of the archive with all kinds says something a person can read.
func TestLogLines(t *testing.T) {
	data, err := os.ReadFile("testdata/book-v1.zip")
	if err != nil {
		t.Fatal(err)
	}
	w := newBench(t)
	if _, err := take(t, w.st, data); err != nil {
		t.Fatal(err)
	}
	if err := w.b.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	cards, _ := w.b.List(book.ListQuery{})
	var all []string
	for _, c := range cards {
		for _, l := range w.jobOf(c.ID).Log {
			text := l.Text()
			if text == "" || strings.Contains(text, "%!") || strings.HasSuffix(text, ": ") {
				t.Errorf("%s says %q", l.Kind, text)
			}
			all = append(all, text)
		}
	}
	log := strings.Join(all, "\n")
	for _, want := range []string{
		"job opened: Forestry carrier, right blade arm",
		"facts: customer authority: yes; customer name: Nordhang",
		"A. Lund agreed to the work (signed): 2000 CAD",
		"more damage found: runs on under the paint",
		"change proposed: runs on under the paint",
		"change accepted by A. Lund (phone)",
		"change refused by A. Lund: later",
		"done: Battery off.",
		"hold point, no: Final",
		"hold point overridden by R. O.: Crack proven gone",
		"heat before bead 1: 140 °C (284 °F)",
		"rods out: E11018-M 3.2 mm, lot A77, from sealed",
		"rods put away: used-up",
		"side 1 gouged and ground, 190 mm (7-15/32 in) long, 16 mm (5/8 in) deep",
		"bead 2 laid, 2 rods, 140 mm (5-1/2 in) for each, 125 A",
		"post-heat 1 h 1 min at 180 °C (356 °F)",
		"final look, magnetic yoke: clear",
		"photo: bead 1",
		"from the phone",
		"check-in clock started, 30 min",
		"checked in",
		"check-in clock stopped",
		"put right: put right",
		"job closed by me: arm welded",
		"job opened again: forgot the photo",
		"looked again: cracked",
		"cracked again",
		"corrected: misread",
		"plan made",
	} {
		if !strings.Contains(log, want) {
			t.Errorf("no line says %q", want)
		}
	}
	if t.Failed() {
		t.Log(log)
	}
}
