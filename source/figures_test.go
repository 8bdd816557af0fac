package source

import (
	"errors"
	"strings"
	"testing"

	q "soundmetal/quantity"
)

const figuresTable = `id,low,likely,high,unit,source,where,status,note
setup,30,60,90,min,practice,,common practice,half an hour to one and a half
rod,1.3,1.45,1.65,1,practice,,from memory,
`

func TestFigures(t *testing.T) {
	f := ReadFigures("x.csv", figuresTable, map[string]float64{"min": 60, "1": 1})
	want := Figure{Low: 1800, Likely: 3600, High: 5400, Unit: "min", Note: "half an hour to one and a half", Ref: At("practice", "", Practice)}
	if got := f.Of("setup"); got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if got := ReadFigures("x.csv", figuresTable, nil).Of("setup"); got.Likely != 60 {
		t.Errorf("without units: got %v, want the table's own 60", got.Likely)
	}
	one := ReadFigures("y.csv", "id,kind,value,source,status\nedge,growth,0.2,judgement,judgement\n", nil)
	if got := one.Of("growth/edge"); got.Low != 0.2 || got.Likely != 0.2 || got.High != 0.2 {
		t.Errorf("one value: got %+v, want 0.2 all through", got)
	}
}

func TestTablesRefuse(t *testing.T) {
	units := map[string]float64{"min": 60, "1": 1}
	limits := ReadLimits("limits.csv", limitsTable)
	for name, c := range map[string]struct {
		f    func()
		says string
	}{
		"low above likely": {func() {
			ReadFigures("x.csv", "id,low,likely,high,source,status\na,2,1,3,practice,judgement\n", nil)
		}, "x.csv:2"},
		"twice": {func() {
			ReadFigures("x.csv", "id,value,source,status\na,1,practice,judgement\na,2,practice,judgement\n", nil)
		}, "x.csv:3"},
		"unit":       {func() { ReadFigures("x.csv", strings.Replace(figuresTable, "min", "hour", 1), units) }, "no unit hour"},
		"no figure":  {func() { ReadFigures("x.csv", figuresTable, units).Of("none") }, "no figure none"},
		"no limit":   {func() { _ = limits.Within("run-out", "none", 1) }, "no limit run-out/none"},
		"limit back": {func() { ReadLimits("limits.csv", limitsTable+"run-out,core,1,2,mm,,judgement,judgement\n") }, "limits.csv:4"},
	} {
		func() {
			defer func() {
				if p := recover(); p == nil || !strings.Contains(p.(string), c.says) {
					t.Errorf("%s: panic %v does not say %q", name, p, c.says)
				}
			}()
			c.f()
		}()
	}
}

const limitsTable = `method,quantity,low,high,unit,instead,source,status
run-out,core,2,6.5,mm,time a rod,judgement,judgement
cold,air,-40,50,°C,,judgement,judgement
`

func TestLimits(t *testing.T) {
	l := ReadLimits("limits.csv", limitsTable)
	for _, c := range []struct {
		method, quantity string
		v                float64
		ok               bool
	}{
		{"run-out", "core", 2, true}, {"run-out", "core", 6.5, true},
		{"run-out", "core", 2 - 1e-10, true}, // the rounding of a conversion
		{"run-out", "core", 6.5 + 1e-9, true},
		{"run-out", "core", 1.999, false}, {"run-out", "core", 6.501, false}, {"run-out", "core", nan(), false},
		{"cold", "air", -40 - 1e-8, true}, {"cold", "air", -40.01, false},
	} {
		err := l.Within(c.method, c.quantity, c.v)
		var out *OutOfRange
		if (err == nil) != c.ok || err != nil && !errors.As(err, &out) {
			t.Errorf("%s %s %v: got %v, want in range %v", c.method, c.quantity, c.v, err, c.ok)
		}
	}
	if err := l.Within("run-out", "core", 9); err == nil || !strings.Contains(err.Error(), "2 to 6.5 mm; time a rod") {
		t.Errorf("refusal: %v", err)
	}
}

func TestMaybe(t *testing.T) {
	r := Table("x.csv", "bore,other\n12,\n")[0]
	if got := Maybe(r, "bore", q.Millimetre); got != q.Known(12*q.Millimetre) {
		t.Errorf("got %v, want 12 mm", got)
	}
	if got := Maybe(r, "other", q.Millimetre); got.Known {
		t.Errorf("empty cell: got %v, want unknown", got)
	}
}
