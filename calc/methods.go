package calc

import "slices"

// methods is the list in the order of the work.
var methods = withExamples(slices.Concat(steelMethods(), heatMethods(), waitMethods(), gougeMethods(), jointMethods(), fillerMethods(), powerMethods(), priceMethods(), strengthMethods()))

// NeedsValues says whether a call without values cannot work.
func (m Method) NeedsValues() bool {
	if m.Composition {
		return true
	}
	for _, p := range m.Params {
		if p.Default == "" && !p.Option {
			return true
		}
	}
	return false
}

// AllParams gives the values the method takes, the composition's elements first.
func (m Method) AllParams() []Param { return m.allParams() }
