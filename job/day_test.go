package job_test

import (
	"strings"
	"testing"
	"time"

	"soundmetal/job"
	q "soundmetal/quantity"
)

const plainJob = "units: si\nmachine: {kind: loader}\npart: beam\nthickness: 12\ncrack: 40\n"

// What tells of the hours a crack may run is read, and unknown where it is left out.
func TestFieldsOfTheHours(t *testing.T) {
	j, err := job.Read("j", []byte("units: si\nmade: 2026-05-04\nmachine: {kind: loader, coldest: -10 C}\npart: beam\nthickness: 12\n"+
		"crack: {length: 40, sized: mt}\nsteel: {t27j: -20 C}\ncause: {peak: 120 MPa}\nwanted: {until_hours: 30}\n"))
	if err != nil {
		t.Fatal(err)
	}
	it := j.Items[0]
	if day, ok := j.Made.Time(); !ok || day != time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC) {
		t.Errorf("made %v, %v", day, ok)
	}
	if j.Machine.Coldest != q.Known(q.Temperature(-10)) || it.Crack.Sized != "magnetic" || it.Steel.T27J != q.Known(q.Temperature(-20)) ||
		it.Cause.Peak != q.Known(120*q.Megapascal) || j.Wanted.UntilHours != q.Known(30*q.Hour) {
		t.Errorf("got %v, %q, %v, %v, %v", j.Machine.Coldest, it.Crack.Sized, it.Steel.T27J, it.Cause.Peak, j.Wanted.UntilHours)
	}
	j, err = job.Read("j", []byte(plainJob))
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := j.Made.Time(); ok || j.Machine.Coldest.Known || j.Wanted.UntilHours.Known || j.Items[0].Crack.Sized != "" {
		t.Error("what was left out must be unknown")
	}
}

func TestDayMustBeOne(t *testing.T) {
	for _, text := range []string{"04.05.2026", "2026-13-01", "2026-02-30", "tomorrow", "5"} {
		_, err := job.Read("j", []byte(plainJob+"made: "+text+"\n"))
		if err == nil || !strings.HasPrefix(err.Error(), "j:6:7: ") || !strings.Contains(err.Error(), "2026-05-04") {
			t.Errorf("%s: %v", text, err)
		}
	}
	if d := job.DayOf(time.Date(2026, 3, 1, 23, 59, 0, 0, time.UTC)); d != "2026-03-01" {
		t.Errorf("the day is %s", d)
	}
}
