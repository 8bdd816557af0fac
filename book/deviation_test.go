package book_test

import (
	"strings"
	"testing"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// The arm's plan asks for 160 °C at least and 200 °C at most before each bead;
// every row logs something on a job that is ready for its first bead. How a
// crayon is read: it melts at its temperature or above (ISO 13916, temperature
// sensitive materials).
func TestDeviations(t *testing.T) {
	temp := func(v q.Temperature) *book.Said[q.Temperature] { return book.SI(v) }
	crayon := func(at q.Temperature, melted bool) *book.Crayon {
		return &book.Crayon{At: book.Said[q.Temperature]{SI: at}, Melted: melted}
	}
	reading := func(r book.Reading) func(w *bench) {
		return func(w *bench) { w.do(book.LogReading{Job: w.job, Reading: r}) }
	}
	bead := func(b book.Bead) func(w *bench) {
		return func(w *bench) {
			w.do(book.BeadDone{Job: w.job, Temp: temp(170), Bead: b})
		}
	}
	for _, c := range []struct {
		name string
		log  func(w *bench)
		want string // rules of all deviations, in order
		text string // part of the last one's text
	}{
		{"in the window", reading(book.Reading{Bead: 1, Temp: temp(165)}), "", ""},
		{"at the least", reading(book.Reading{Bead: 1, Temp: temp(160)}), "", ""},
		{"at the least, read in °F", reading(book.Reading{Bead: 1, Temp: temp(q.Fahrenheit(320))}), "", ""},
		{"too cold", reading(book.Reading{Bead: 7, Temp: temp(85)}), "bead-cold", "bead 7 begun at 85 °C (185 °F), the plan's least is 160 °C (320 °F): stop, heat again"},
		{"too hot", reading(book.Reading{Bead: 2, Temp: temp(230)}), "bead-hot", "the plan's most is 200 °C (390 °F)"},
		{"cold while heating up", reading(book.Reading{Temp: temp(85)}), "", ""},
		{"too hot while heating up", reading(book.Reading{Temp: temp(230)}), "part-hot", "230 °C"},
		{"crayon at the least melted", reading(book.Reading{Bead: 1, Crayon: crayon(160, true)}), "", ""},
		{"crayon at the least did not melt", reading(book.Reading{Bead: 1, Crayon: crayon(160, false)}), "bead-cold", "crayon 160 °C (320 °F) did not melt"},
		{"crayon below the least melted", reading(book.Reading{Bead: 1, Crayon: crayon(150, true)}), "", ""},
		{"crayon above the least did not melt", reading(book.Reading{Bead: 1, Crayon: crayon(175, false)}), "", ""},
		{"crayon above the most melted", reading(book.Reading{Bead: 1, Crayon: crayon(205, true)}), "bead-hot", "melted"},
		{"crayon at the most melted", reading(book.Reading{Bead: 1, Crayon: crayon(200, true)}), "bead-hot", ""},
		{"read too close", reading(book.Reading{Bead: 1, Temp: temp(170), Distance: book.SI(20 * q.Millimetre)}), "reading-near", "20 mm"},
		{"read close on the far face", reading(book.Reading{Bead: 1, Temp: temp(170), Distance: book.SI(20 * q.Millimetre), FarFace: true}), "", ""},
		{"cold, then hot enough: cleared", func(w *bench) {
			reading(book.Reading{Bead: 1, Temp: temp(120)})(w)
			reading(book.Reading{Bead: 1, Temp: temp(172)})(w)
			if d := w.is().Deviations[0]; d.Cleared == nil || !strings.Contains(d.Cleared.Done, "172 °C") {
				t.Errorf("cold, then hot enough: %+v", d.Cleared)
			}
		}, "bead-cold", ""},
		{"bead in order", bead(book.Bead{Rods: 2, Length: book.SI(280 * q.Millimetre), Amps: book.SI(125 * q.Ampere)}), "", ""},
		{"bead without a reading", func(w *bench) {
			w.now = w.now.Add(time.Hour)
			w.do(book.BeadDone{Job: w.job})
		}, "bead-unread", "least of 160 °C"},
		{"bead soon after the reading for the hold point", func(w *bench) { w.do(book.BeadDone{Job: w.job}) }, "", ""},
		{"bead after a cold reading of no bead", func(w *bench) {
			reading(book.Reading{Temp: temp(140)})(w)
			w.do(book.BeadDone{Job: w.job})
		}, "bead-cold", "bead 1 begun at 140 °C"},
		{"bead after a crayon that proves nothing", func(w *bench) {
			w.now = w.now.Add(time.Hour)
			reading(book.Reading{Bead: 1, Crayon: crayon(150, true)})(w)
			w.do(book.BeadDone{Job: w.job})
		}, "bead-unproven", "crayon 150 °C (302 °F) melted does not prove the least of 160 °C"},
		{"second bead with one crayon only", func(w *bench) {
			bead(book.Bead{})(w)
			w.now = w.now.Add(time.Hour)
			reading(book.Reading{Bead: 2, Crayon: crayon(165, true)})(w)
			w.do(book.BeadDone{Job: w.job})
		}, "ceiling-unproven", "the most of 200 °C"},
		{"second bead between two crayons", func(w *bench) {
			bead(book.Bead{})(w)
			w.now = w.now.Add(time.Hour)
			reading(book.Reading{Bead: 2, Crayon: crayon(165, true)})(w)
			reading(book.Reading{Bead: 2, Crayon: crayon(195, false)})(w)
			w.do(book.BeadDone{Job: w.job})
		}, "", ""},
		{"short run of a rod", bead(book.Bead{Rods: 3, Length: book.SI(240 * q.Millimetre)}), "run-short", "80 mm"},
		{"long run of a rod", bead(book.Bead{Rods: 1, Length: book.SI(240 * q.Millimetre)}), "run-long", "240 mm"},
		{"rods not counted", bead(book.Bead{Length: book.SI(240 * q.Millimetre)}), "", ""},
		{"too many amps", bead(book.Bead{Amps: book.SI(190 * q.Ampere)}), "amps-high", "190 A"},
		{"too few amps", bead(book.Bead{Amps: book.SI(60 * q.Ampere)}), "amps-low", "60 A"},
		{"bead left out", bead(book.Bead{Number: 3}), "bead-order", "bead 3 logged, bead 1 was next"},
		{"another rod", func(w *bench) {
			tin := w.do(book.OpenTin{Job: w.job, Class: "E7018-H4R", Size: book.SI(3.2 * q.Millimetre)}).Made
			bead(book.Bead{Tin: tin})(w)
		}, "rod-other", "the plan says E11018-M"},
		{"another size", func(w *bench) {
			tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M", Size: book.SI(4 * q.Millimetre)}).Made
			bead(book.Bead{Tin: tin})(w)
		}, "rod-other", "4"},
		{"rod past its time", func(w *bench) { // E11018-M: half an hour, AWS D1.1 Table 5.1 column A
			tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"}).Made
			w.now = w.now.Add(45 * time.Minute)
			bead(book.Bead{Tin: tin})(w)
		}, "rod-exposed", "46 min after they were opened, the limit is 30 min"},
		{"rod in its time", func(w *bench) {
			tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"}).Made
			w.now = w.now.Add(20 * time.Minute)
			bead(book.Bead{Tin: tin})(w)
		}, "", ""},
		{"rod put away", func(w *bench) {
			tin := w.do(book.OpenTin{Job: w.job, Class: "E11018-M 3.2 mm"}).Made
			w.do(book.PutAwayTin{Job: w.job, Tin: tin, Into: book.IntoOven})
			w.now = w.now.Add(5 * time.Minute)
			bead(book.Bead{Tin: tin})(w)
		}, "rod-put-away", "put away 6 min before"},
		{"excavation as planned", func(w *bench) {
			w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 2, Length: book.SI(230 * q.Millimetre), Depth: book.SI(20 * q.Millimetre)}})
		}, "", ""},
		{"excavation a quarter longer", func(w *bench) {
			w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 2, Length: book.SI(240 * q.Millimetre)}})
		}, "gouge-long", "240 mm"},
		{"excavation a quarter deeper", func(w *bench) {
			w.do(book.LogGouge{Job: w.job, GougeDone: book.GougeDone{Side: 2, Depth: book.SI(21 * q.Millimetre)}})
		}, "gouge-deep", "21 mm"},
		{"final test too early", func(w *bench) { // EN 1090-2 Table 23: the plan says 48 h
			bead(book.Bead{})(w)
			w.now = w.now.Add(20 * time.Hour)
			w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
		}, "test-early", "20 h 1 min after the last heat, the plan says 48 h"},
		{"final test in time", func(w *bench) {
			bead(book.Bead{})(w)
			w.now = w.now.Add(48 * time.Hour)
			w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
		}, "", ""},
		{"final test finds a crack", func(w *bench) {
			bead(book.Bead{})(w)
			w.now = w.now.Add(50 * time.Hour)
			w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Found, Length: book.SI(12 * q.Millimetre)}})
		}, "test-found", "a crack of 12 mm"},
		{"final test after the post-heat", func(w *bench) { // the clock starts when the post-heat ends
			bead(book.Bead{})(w)
			w.now = w.now.Add(10 * time.Hour)
			w.do(book.LogPostHeat{Job: w.job, PostHeat: book.PostHeat{Temp: temp(180), From: w.now.Add(-time.Hour)}})
			w.now = w.now.Add(40 * time.Hour)
			w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
		}, "test-early", "40 h 1 min"},
		{"post-heat too cool", func(w *bench) {
			bead(book.Bead{})(w)
			w.do(book.LogPostHeat{Job: w.job, PostHeat: book.PostHeat{Temp: temp(120), From: w.now}})
		}, "postheat-cool", "120 °C (248 °F), the plan says 150 to 200 °C"},
		{"post-heat too hot", func(w *bench) {
			bead(book.Bead{})(w)
			w.do(book.LogPostHeat{Job: w.job, PostHeat: book.PostHeat{Temp: temp(260), From: w.now}})
		}, "postheat-hot", "260 °C"},
		{"hold point overridden", func(w *bench) {
			w.do(book.OverrideHold{Job: w.job, Hold: w.hold(book.HoldFinalLook), Name: "R. Ostrander", Reason: "machine leaves tonight"})
		}, "hold-overridden", "passed by R. Ostrander"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := ready(t)
			c.log(w)
			all := w.is().Deviations
			if got := rules(all); got != c.want {
				t.Fatalf("got %q, want %q", got, c.want)
			}
			if c.text != "" && !strings.Contains(all[len(all)-1].Text, c.text) {
				t.Errorf("text %q, want ...%s...", all[len(all)-1].Text, c.text)
			}
			for _, d := range all {
				if len(d.Causes) == 0 || len(d.Cures) == 0 || d.Basis.Why == "" || strings.Contains(d.Text, "{") {
					t.Errorf("not whole: %+v", d)
				}
			}
		})
	}
}

// What a command shows is told at once, and told again when the form comes twice.
func TestDeviationIsTold(t *testing.T) {
	w := ready(t)
	cmd := book.LogReading{Job: w.job, Reading: book.Reading{Bead: 1, Temp: book.SI(q.Temperature(85))}}
	first, err := w.b.Do(t.Context(), w.now, "form-1", cmd)
	if err != nil || rules(first.Deviations) != "bead-cold" || first.Again {
		t.Fatalf("%+v, %v", first, err)
	}
	w.do(book.LogReading{Job: w.job, Reading: book.Reading{Bead: 1, Temp: book.SI(q.Temperature(175))}})
	again, err := w.b.Do(t.Context(), w.now, "form-1", cmd)
	if err != nil || !again.Again || rules(again.Deviations) != "bead-cold" || again.Entries[0] != first.Entries[0] {
		t.Errorf("%+v, %v", again, err)
	}
	if n := len(w.is().Readings); n != 3 {
		t.Errorf("%d readings, want 3", n)
	}
}

// A stop deviation must be put right before the job is closed.
func TestStopHoldsTheClosing(t *testing.T) {
	w := ready(t)
	w.do(book.BeadDone{Job: w.job, Temp: book.SI(q.Temperature(90))})
	w.now = w.now.Add(49 * time.Hour)
	w.do(book.Inspect{Job: w.job, Inspection: book.Inspection{Stage: book.StageFinal, Method: book.MethodMT, Result: book.Clear}})
	w.do(book.AnswerHold{Job: w.job, Holds: []string{w.hold(book.HoldFinalLook)}, Says: book.SaysYes})
	closing := book.Close{Job: w.job, By: "me", Done: "x", NotExamined: []string{"root"}, Looks: []book.NextLook{{What: "first shift", Hours: 8 * q.Hour}}}
	w.refused(book.CodeState, "bead 1 begun at 90 °C", closing)
	d := w.is().OpenDeviations()[0]
	w.refused(book.CodeField, "say what was done", book.ClearDeviation{Job: w.job, Deviation: d.ID})
	w.do(book.ClearDeviation{Job: w.job, Deviation: d.ID, Done: "ground out and laid again"})
	w.refused(book.CodeState, "already done", book.ClearDeviation{Job: w.job, Deviation: d.ID, Done: "again"})
	w.do(closing)
}
