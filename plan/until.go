package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	q "soundmetal/quantity"
)

// ReadUntil reads a time as people say it, from now on: "fri 18:00", "friday",
// "tomorrow 12:00", "18:00", "2026-05-08 18:00". A day without a time is its end.
func ReadUntil(text string, now time.Time) (time.Time, error) {
	bad := func() (time.Time, error) {
		return now, fmt.Errorf("%q is not a time to come; write it as \"fri 18:00\", \"tomorrow 12:00\", \"18:00\" or \"2026-05-08 18:00\"", text)
	}
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 0 || len(words) > 2 {
		return bad()
	}
	clock, day := 24*time.Hour, words[0]
	if strings.Contains(words[len(words)-1], ":") {
		var ok bool
		if clock, ok = readClock(words[len(words)-1]); !ok {
			return bad()
		}
		if len(words) == 1 {
			day = "today"
		}
	} else if len(words) == 2 {
		return bad()
	}
	date, ok := readDay(day, now)
	if !ok {
		return bad()
	}
	at := func(d time.Time) time.Time {
		return time.Date(d.Year(), d.Month(), d.Day(), 0, int(clock.Minutes()), 0, 0, now.Location())
	}
	end := at(date)
	if !end.After(now) {
		switch {
		case weekdayOf(day) >= 0: // this hour has passed: that day next week
			end = at(date.AddDate(0, 0, 7))
		case len(words) == 1 && day == "today": // 06:00 said in the evening
			end = at(date.AddDate(0, 0, 1))
		default:
			return bad()
		}
	}
	return end, nil
}

// readClock reads 18:00 as the time since midnight.
func readClock(s string) (time.Duration, bool) {
	h, m, _ := strings.Cut(s, ":")
	hour, err1 := strconv.Atoi(h)
	minute, err2 := strconv.Atoi(m)
	if err1 != nil || err2 != nil || hour < 0 || hour > 24 || minute < 0 || minute > 59 || hour == 24 && minute > 0 {
		return 0, false
	}
	return time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute, true
}

// weekdayOf reads the name of a day, three letters or more; -1 is none.
func weekdayOf(s string) int {
	if len(s) >= 3 {
		for d := time.Sunday; d <= time.Saturday; d++ {
			if strings.HasPrefix(strings.ToLower(d.String()), s) {
				return int(d)
			}
		}
	}
	return -1
}

func readDay(s string, now time.Time) (time.Time, bool) {
	switch s {
	case "today":
		return now, true
	case "tomorrow":
		return now.AddDate(0, 0, 1), true
	}
	if d := weekdayOf(s); d >= 0 {
		return now.AddDate(0, 0, (d-int(now.Weekday())+7)%7), true
	}
	t, err := time.ParseInLocation(time.DateOnly, s, now.Location())
	return t, err == nil
}

// WorkHours is the hours of work between two times: never more than the clock
// has, and, where the hours a week are known, not more than a fifth of them on
// each day touched, nor than the weeks have. Without them every hour counts.
func WorkHours(from, to time.Time, perWeek q.Maybe[q.Time]) q.Time {
	clock := to.Sub(from).Hours()
	if clock <= 0 {
		return 0
	}
	if !perWeek.Known {
		return q.Time(clock) * q.Hour
	}
	const workDays = 5
	last := to.Add(-time.Nanosecond) // midnight belongs to the day before
	touched := 1.0
	for d := from; d.Format(time.DateOnly) < last.Format(time.DateOnly); d = d.AddDate(0, 0, 1) {
		touched++
	}
	week := perWeek.V.Hours()
	day := math.Min(24, week/workDays)
	return q.Time(math.Min(clock, math.Min(touched*day, math.Ceil(touched/7)*week))) * q.Hour
}
