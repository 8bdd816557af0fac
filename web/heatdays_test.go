//go:build !js

package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/sketch"
)

// What the record page leaves out it counts.
func TestRecordSaysWhatItLeavesOut(t *testing.T) {
	d := newDesk(t)
	j := everyKind(t, d)
	for n := range mostRows + 5 {
		d.now = d.now.Add(time.Minute)
		if _, err := d.book.Do(t.Context(), d.now, fmt.Sprint("hot", n), book.LogReading{Job: j.ID, Reading: book.Reading{Item: j.Places[0].ID, Bead: 2, Temp: book.SI(q.Temperature(450))}}); err != nil {
			t.Fatal(err)
		}
	}
	p := d.page("/jobs/" + j.ID + "/record")
	left := len(d.jobNamed("crusher").Deviations) - mostRows
	if left < 1 {
		t.Fatalf("only %d deviations", left+mostRows)
	}
	p.has("The first 200 rows of each table are shown;", fmt.Sprintf("The first 200 are shown; %d more stand in the", left), "The chart shows the last 200 of")
}

// twoDays is a place heated and welded on one day, with the cooling read in the
// evening, and heated again on the next.
func twoDays(torch bool) (book.Job, time.Time) {
	j := withPlan(book.Job{ID: "j", Places: []book.PlaceOf{{ID: "i", Name: "rail"}}}, book.PlanVersion{})
	next := noon.Add(19 * time.Hour)
	if torch {
		for n, at := range []time.Time{noon, next} {
			j.Clocks = append(j.Clocks, book.Clock{ID: fmt.Sprint("torch-", n), What: book.TorchClock, Item: "i", Started: at})
		}
	}
	read := func(at time.Time, t q.Temperature) {
		j.Readings = append(j.Readings, book.Logged[book.Reading]{Meta: book.Meta{At: at}, Is: book.Reading{Item: "i", Temp: book.SI(t)}})
	}
	bead := func(n int, at time.Time) {
		j.Beads = append(j.Beads, book.Logged[book.Bead]{Meta: book.Meta{At: at}, Is: book.Bead{Item: "i", Number: n, Begun: &at, Ended: at.Add(3 * time.Minute)}})
	}
	read(noon.Add(10*time.Minute), 90)
	read(noon.Add(20*time.Minute), 160)
	bead(1, noon.Add(25*time.Minute))
	bead(2, noon.Add(35*time.Minute))
	read(noon.Add(8*time.Hour), 60) // after a pause, and no fire: how it has cooled
	read(next.Add(8*time.Minute), 80)
	read(next.Add(18*time.Minute), 150)
	bead(3, next.Add(30*time.Minute))
	return j, next
}

func TestHeatedAgainOnALaterDay(t *testing.T) {
	face := plan.ThermalFace{}
	for m := range 200 {
		low := q.Temperature(min(20+6*m, 170))
		face.Points = append(face.Points, plan.ThermalSpan{At: q.Time(m) * q.Minute, Low: low, High: low + 20})
	}
	it := &plan.ThermalItem{Chart: &plan.ThermalChart{Floor: 150, Faces: []plan.ThermalFace{face}, Beads: []plan.ThermalMark{{At: 25 * q.Minute, Label: "1"}, {At: 35 * q.Minute, Label: "2"}, {At: 50 * q.Minute, Label: "3"}}}}
	for _, c := range []struct {
		name     string
		torch    bool
		expected *plan.ThermalItem
		how, cut string
	}{
		{"torch logged, expected", true, it, "Lined up where the torch was lit, 07:00.", "What was expected is the first heat, from cold."},
		{"torch logged", true, nil, "", "from 07:00 on. Drawn without what was logged before it: 3 readings and 2 beads."},
		{"no torch, expected", false, it, "Lined up at bead 3, 07:30", "from 07:08 on. Drawn without what was logged before it: 3 readings and 2 beads."},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, next := twoDays(c.torch)
			h := heatLog{j: &j, item: "i", sys: q.SI, now: next.Add(time.Hour)}
			d, v := h.draw(c.expected, sketch.Frame{Width: sketch.PhoneWidth, High: 60})
			if d == nil || v.Read != 2 {
				t.Fatalf("%d readings are drawn, want the 2 of the last heat", v.Read)
			}
			if !strings.Contains(v.How, c.how) || !strings.Contains(v.Cut, c.cut) {
				t.Errorf("how %q, want %q; cut %q, want %q", v.How, c.how, v.Cut, c.cut)
			}
		})
	}
	j, next := twoDays(false)
	j.Beads = nil // nobody logged a fire: what gets hot was heated
	if _, v := (heatLog{j: &j, item: "i", sys: q.SI, now: next.Add(time.Hour)}).draw(nil, sketch.Frame{Width: sketch.PhoneWidth, High: 60}); v.Read != 2 {
		t.Errorf("by the readings alone: %d readings, want the 2 of the last heat", v.Read)
	}
	j, _ = twoDays(true)
	j.Clocks, j.Beads, j.Readings = j.Clocks[:1], j.Beads[:2], j.Readings[:3]
	h := heatLog{j: &j, item: "i", sys: q.SI, now: noon.Add(9 * time.Hour)}
	if _, v := h.draw(nil, sketch.Frame{Width: sketch.PhoneWidth, High: 60}); v.Read != 3 || v.Cut != "" {
		t.Errorf("one heat and its cooling: %d readings, %q; want all 3", v.Read, v.Cut)
	}
}
