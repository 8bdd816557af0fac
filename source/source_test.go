package source

import (
	"errors"
	"regexp"
	"strings"
	"testing"
)

var markOfNotes = regexp.MustCompile(`\bkeys? [A-Z0-9]|\bW\d+-W`)

func TestBibliography(t *testing.T) {
	for key, p := range publications {
		if p.Title == "" || key != strings.ToLower(key) || strings.ContainsAny(key, " ,") {
			t.Errorf("publication %q: needs a title and a lower-case key without spaces: %+v", key, p)
		}
		if markOfNotes.MatchString(p.Title) { // the welder reads the title
			t.Errorf("publication %q: a mark of somebody's notes in the title %q", key, p.Title)
		}
	}
}

func TestAtRefusesAnUnknownKey(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic for a key that is not in sources.csv")
		}
	}()
	At("no-such-key", "", Read)
}

func TestRefString(t *testing.T) {
	for _, c := range []struct {
		ref  Ref
		want string
	}{
		{At("iso13916", "4.1", Read), "ISO 13916 Welding: measurement of preheating temperature interpass temperature and preheat maintenance temperature (2017), 4.1"},
		{At("practice", "", Practice), "Common practice, no source"},
		{At("hse-wheels", "Hot work on wheels", Read), "HSE: Hot work on wheels"}, // not said twice
		{At("alberta-ohs", "section 273", Read), "Alberta OHS Code guide section 273"},
	} {
		if got := c.ref.String(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestInRange(t *testing.T) {
	for name, c := range map[string]struct {
		v  float64
		ok bool
	}{"lower end": {0.2, true}, "upper end": {0.5, true}, "above": {0.56, false}, "below": {0.19, false}, "not a number": {nan(), false}} {
		err := InRange("preheat-cet", "CET", c.v, 0.2, 0.5, "%", "use a method for higher carbon")
		if (err == nil) != c.ok {
			t.Errorf("%s: got %v, want in range %v", name, err, c.ok)
		}
		var out *OutOfRange
		if err != nil && (!errors.As(err, &out) || !strings.Contains(err.Error(), "0.2 to 0.5 %")) {
			t.Errorf("%s: the error %q does not name the limit", name, err)
		}
	}
}

func nan() float64 { z := 0.0; return z / z }

func TestTable(t *testing.T) {
	rows := Table("x.csv", "name,low,yes,words,source,where,status\n a ,1.5,yes,p|q,iso13916,4.1,read\nb,,no,,practice,,common practice\n")
	if r := rows[0]; r.Text("name") != "a" || r.Num("low") != 1.5 || !r.Yes("yes") || len(r.List("words")) != 2 || r.Ref() != At("iso13916", "4.1", Read) {
		t.Errorf("row 1: %+v", r)
	}
	if r := rows[1]; r.Or("low", 7) != 7 || r.Yes("yes") || r.List("words") != nil || !r.Ref().Status.Weak() {
		t.Errorf("row 2: %+v", r)
	}
	for name, f := range map[string]func(){
		"missing column":    func() { rows[0].Text("none") },
		"not a number":      func() { rows[0].Num("name") },
		"neither yes or no": func() { rows[0].Yes("name") },
		"bad status":        func() { Table("y.csv", "source,status\npractice,sure\n")[0].Ref() },
		"bad key":           func() { Table("y.csv", "source,status\nno-such,read\n")[0].Ref() },
	} {
		func() {
			defer func() {
				if p := recover(); p == nil || !strings.Contains(p.(string), ".csv:2") {
					t.Errorf("%s: panic %v does not name file and line", name, p)
				}
			}()
			f()
		}()
	}
}
