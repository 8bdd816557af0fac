package calc

import q "soundmetal/quantity"

// The params that many methods share. A plain number is in the unit named.

func length(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Length](), Unit: "mm"}
}
func temperature(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Temperature](), Unit: "°C"}
}
func percent(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Percent](), Unit: "%"}
}
func heatInput(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.HeatInput](), Unit: "kJ/mm"}
}
func hydrogen(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Hydrogen](), Unit: "ml/100g"}
}
func current(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Current](), Unit: "A"}
}
func voltage(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Voltage](), Unit: "V"}
}
func speed(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Speed](), Unit: "mm/min"}
}
func stress(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Stress](), Unit: "MPa"}
}
func seconds(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Time](), Unit: "s"}
}
func angle(name, doc string) Param {
	return Param{Name: name, Doc: doc, Kind: q.KindOf[q.Angle](), Unit: "°"}
}
func number(name, doc string) Param { return Param{Name: name, Doc: doc, Number: true} }
func choice(name, doc string, words ...string) Param {
	return Param{Name: name, Doc: doc, Words: words}
}
func text(name, doc string) Param { return Param{Name: name, Doc: doc, Text: true} }

// or gives a param a default.
func (p Param) or(value string) Param { p.Default = value; return p }

// optional says that a param may be left out.
func (p Param) optional() Param { p.Option = true; return p }
