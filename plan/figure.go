package plan

import (
	q "soundmetal/quantity"
	"soundmetal/source"
)

// figures names the figures of one item: prefix 1.heat gives 1.heat.preheat.
type figures struct{ prefix string }

func (f figures) id(name string) string { return f.prefix + "." + name }

// scalar is a quantity that prints itself in both systems.
type scalar interface {
	~float64
	Kind() q.Kind
	Text(q.System) string
}

// one makes a figure of one value. An empty text prints the value.
func one[T scalar](f figures, name, label string, v T, text string, sys q.System, b source.Basis) Figure {
	if text == "" {
		text = v.Text(sys)
	}
	x := float64(v)
	return Figure{ID: f.id(name), Label: label, Value: &x, Unit: siUnit(v.Kind()), Text: text, Basis: b}
}

// between makes a figure of a band. An empty text prints the band.
func between[T scalar](f figures, name, label string, r q.Of[T], text string, sys q.System, b source.Basis) Figure {
	if text == "" {
		text = r.Text(sys)
	}
	low, high := float64(r.Low), float64(r.High)
	return Figure{ID: f.id(name), Label: label, Low: &low, High: &high, Unit: siUnit(r.Low.Kind()), Text: text, Basis: b}
}

// count makes a figure of a number without unit.
func count(f figures, name, label string, low, high float64, text string, b source.Basis) Figure {
	fig := Figure{ID: f.id(name), Label: label, Unit: "1", Text: text, Basis: b}
	if low == high {
		fig.Value = &low
	} else {
		fig.Low, fig.High = &low, &high
	}
	return fig
}
