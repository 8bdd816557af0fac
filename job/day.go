package job

import "time"

// Day is a day of the calendar as it is written: 2026-05-04. The empty string is
// unknown.
type Day string

const dayForm = "2006-01-02"

// DayOf is the day of a time, as its own clock shows it.
func DayOf(t time.Time) Day { return Day(t.Format(dayForm)) }

// Time gives the day as a time; ok is false where it is unknown.
func (d Day) Time() (t time.Time, ok bool) {
	t, err := time.Parse(dayForm, string(d))
	return t, err == nil
}
