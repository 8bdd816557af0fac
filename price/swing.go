package price

import (
	"math"
	"slices"

	q "soundmetal/quantity"
)

const swingLow, swingMiddle, swingHigh = 0.1, 0.5, 0.9

// swings ranks what drives the spread.
func (m *model) swings(d *drawn) ([]Driver, error) {
	target := d.price
	if flat(target) {
		target = d.hours
	}
	ranks := rank(target)
	u, x, o := make([]float64, len(m.columns)), make([]float64, len(m.drivers)), m.outcome()
	at := func(group string, v float64) (money float64, hours q.Time, err error) {
		for i := range u {
			u[i] = swingMiddle
		}
		for _, r := range m.drivers {
			if r.group == group {
				u[r.column] = v
				if r.chance && v > swingMiddle {
					u[r.column] = 1 // where it happens
				}
			}
		}
		for i := range m.drivers {
			x[i] = m.drivers[i].at(u[m.drivers[i].column])
		}
		m.run(x, o)
		before, _ := m.money(o, nil)
		return before, q.Time(o.total), nil
	}
	var all []Driver
	sum := 0.0
	for _, group := range driverOrder {
		v := Driver{ID: group, Label: driverLabels[group]}
		none := 1.0
		var columns []int
		moves := false
		for i := range m.drivers {
			r := &m.drivers[i]
			if r.group != group || r.low == r.high {
				continue
			}
			if !moves {
				v.Ref = r.ref
			}
			moves = true
			if r.chance {
				none *= 1 - r.high
			}
			if !slices.Contains(columns, r.column) {
				columns = append(columns, r.column)
				c := 0.0
				if r.chance {
					c = correlation(happens(d.u[r.column], r.high), ranks)
				} else {
					c = correlation(floats(d.parts[r.column]), ranks)
				}
				v.Share += q.Ratio(c * c)
			}
		}
		if !moves {
			continue
		}
		v.Chance = q.Ratio(1 - none)
		low, hoursLow, err := at(group, swingLow)
		if err != nil {
			return nil, err
		}
		high, hoursHigh, err := at(group, swingHigh)
		if err != nil {
			return nil, err
		}
		v.HoursLow, v.HoursHigh = hoursLow, hoursHigh
		if v.Low, err = ofFloat(low, m.prices.currency); err != nil {
			return nil, err
		}
		if v.High, err = ofFloat(high, m.prices.currency); err != nil {
			return nil, err
		}
		if low == high && hoursLow == hoursHigh {
			continue // the price does not feel it
		}
		sum += float64(v.Share)
		all = append(all, v)
	}
	for i := range all {
		if sum > 0 {
			all[i].Share /= q.Ratio(sum)
		}
	}
	slices.SortStableFunc(all, func(a, b Driver) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	return all, nil
}

func flat(v []float64) bool { return slices.Min(v) == slices.Max(v) }

func floats(v []int32) []float64 {
	f := make([]float64, len(v))
	for i, x := range v {
		f[i] = float64(x)
	}
	return f
}

// happens is 1 in the draws in which a chance comes true.
func happens(u []float64, chance float64) []float64 {
	f := make([]float64, len(u))
	for i, x := range u {
		if x > 1-chance {
			f[i] = 1
		}
	}
	return f
}

// rank gives the place of each draw among all; equal draws share the mean place.
func rank(v []float64) []float64 {
	order := make([]int32, len(v))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		switch {
		case v[a] < v[b]:
			return -1
		case v[a] > v[b]:
			return 1
		}
		return 0
	})
	ranks := make([]float64, len(v))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && v[order[j]] == v[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			ranks[order[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return ranks
}

// correlation is the product-moment correlation; 0 where one side does not move.
// On ranks it is Spearman's.
func correlation(a, b []float64) float64 {
	ma, mb := mean(a), mean(b)
	var ab, aa, bb float64
	for i := range a {
		x, y := a[i]-ma, b[i]-mb
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	if aa == 0 || bb == 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}
