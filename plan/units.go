package plan

import q "soundmetal/quantity"

// siUnit names the SI unit that the numbers of a figure are in.
func siUnit(k q.Kind) string {
	for _, u := range k.Units() {
		if u.SI(1) == 1 && u.SI(0) == 0 {
			return u.Symbol
		}
	}
	return "1"
}
