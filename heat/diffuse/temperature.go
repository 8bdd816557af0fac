package diffuse

// The temperature of every place through time.

import (
	"fmt"

	"soundmetal/heat/conduct"
	q "soundmetal/quantity"
)

// Temperature is the temperature of every place through time.
type Temperature struct {
	times []float64
	all   []float64        // one temperature of the whole, or
	sec   *conduct.Section // one of each cell of the section
}

// Uniform is one temperature of the whole section through time, straight between
// the points and held after the last.
func Uniform(times []q.Time, temps []q.Temperature) (Temperature, error) {
	if len(times) == 0 || len(times) != len(temps) {
		return Temperature{}, fmt.Errorf("a history needs as many temperatures as times, at least one")
	}
	var t Temperature
	for i := range times {
		if i > 0 && times[i] < times[i-1] {
			return Temperature{}, fmt.Errorf("times of a history must rise; point %d does not", i+1)
		}
		t.times = append(t.times, float64(times[i]))
		t.all = append(t.all, float64(temps[i]))
	}
	return t, nil
}

// OfSection is the simulated temperature of each place.
func OfSection(sec *conduct.Section) Temperature {
	t := Temperature{sec: sec}
	for _, v := range sec.Times {
		t.times = append(t.times, float64(v))
	}
	return t
}

// span finds the pictures around a time and the part of the second.
func (t *Temperature) span(at float64, hint int) (a, b int, f float64) {
	last := len(t.times) - 1
	for hint < last-1 && t.times[hint+1] <= at {
		hint++
	}
	a, b = hint, min(hint+1, last)
	if b > a && t.times[b] > t.times[a] {
		f = min(max((at-t.times[a])/(t.times[b]-t.times[a]), 0), 1)
	}
	return a, b, f
}

// diffusivities sets d for each cell at a time.
func (t *Temperature) diffusivities(s *Shape, at float64, hint int, scale float64, d []float64) int {
	a, b, f := t.span(at, hint)
	if t.sec == nil {
		v := scale * fast(t.all[a]+f*(t.all[b]-t.all[a]))
		for i := range d {
			d[i] = v
		}
		return a
	}
	p, n := t.sec.Temps[a], t.sec.Temps[b]
	for i, c := range s.parent {
		u, w := float64(p[c]), float64(n[c])
		if u != u {
			u = w
		}
		if w != w { // not yet laid
			d[i] = 0
			continue
		}
		d[i] = scale * fast(u+f*(w-u))
	}
	return a
}
