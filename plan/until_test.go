package plan

import (
	"strings"
	"testing"
	"time"

	q "soundmetal/quantity"

	"pgregory.net/rapid"
)

func moment(text string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		panic(err)
	}
	return t
}

func TestReadUntil(t *testing.T) {
	monday := moment("2026-05-04 10:00")
	for _, c := range []struct{ text, want string }{
		{"fri 18:00", "2026-05-08 18:00"},
		{"Friday", "2026-05-09 00:00"},
		{"mon 18:00", "2026-05-04 18:00"},
		{"mon 9:00", "2026-05-11 09:00"},
		{"sun 00:00", "2026-05-10 00:00"},
		{"18:00", "2026-05-04 18:00"},
		{"6:30", "2026-05-05 06:30"},
		{"today 24:00", "2026-05-05 00:00"},
		{"tomorrow 12:00", "2026-05-05 12:00"},
		{"2026-05-08 18:00", "2026-05-08 18:00"},
		{"2026-05-08", "2026-05-09 00:00"},
	} {
		if got, err := ReadUntil(c.text, monday); err != nil || !got.Equal(moment(c.want)) {
			t.Errorf("%q: got %v (%v), want %s", c.text, got, err, c.want)
		}
	}
	for _, text := range []string{"", "someday", "fri noon", "25:00", "12:60", "2026-05-03", "today 9:00", "2026-02-30", "fri 18:00 sharp", "s 12:00"} {
		if got, err := ReadUntil(text, monday); err == nil || !strings.Contains(err.Error(), "fri 18:00") {
			t.Errorf("%q: got %v, %v", text, got, err)
		}
	}
}

// The week's shift, worked by hand: 45 h are nine hours on each of five days.
func TestWorkHours(t *testing.T) {
	week := q.Known(45 * q.Hour)
	for _, c := range []struct {
		name, from, to string
		week           q.Maybe[q.Time]
		want           float64
	}{
		{"monday to friday evening", "2026-05-04 10:00", "2026-05-08 18:00", week, 45},
		{"the rest of the shift", "2026-05-04 15:00", "2026-05-04 18:00", week, 3},
		{"a day", "2026-05-04 06:00", "2026-05-04 20:00", week, 9},
		{"to midnight touches one day", "2026-05-04 06:00", "2026-05-05 00:00", week, 9},
		{"a whole week is one week", "2026-05-04 00:00", "2026-05-11 00:00", week, 45},
		{"hours a week not known", "2026-05-04 10:00", "2026-05-08 18:00", q.Maybe[q.Time]{}, 104},
		{"past", "2026-05-04 10:00", "2026-05-04 09:00", week, 0},
	} {
		if got := WorkHours(moment(c.from), moment(c.to), c.week).Hours(); got != c.want {
			t.Errorf("%s: %g h, want %g h", c.name, got, c.want)
		}
	}
}

// More time is never less work, and work never more than the clock.
func TestWorkHoursLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := moment("2026-01-01 00:00").Add(time.Duration(rapid.IntRange(0, 500000).Draw(t, "from")) * time.Minute)
		span := time.Duration(rapid.IntRange(0, 60000).Draw(t, "minutes")) * time.Minute
		week := q.Maybe[q.Time]{V: q.Time(rapid.Float64Range(0, 168).Draw(t, "week")) * q.Hour, Known: rapid.Bool().Draw(t, "known")}
		short, long := WorkHours(from, from.Add(span), week), WorkHours(from, from.Add(2*span), week)
		if short > long || short.Hours() > span.Hours()+1e-9 || short < 0 {
			t.Fatalf("%v h in %v, %v h in twice that", short.Hours(), span, long.Hours())
		}
	})
}
