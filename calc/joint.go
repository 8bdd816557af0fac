package calc

import (
	"soundmetal/joint"
	q "soundmetal/quantity"
)

func jointMethods() []Method {
	return []Method{
		{ID: "groove-area", Title: "Cross-section of a prepared groove",
			Params: []Param{choice("shape", "shape of the groove", "single-v", "double-v", "single-bevel", "single-u", "square"),
				angle("angle", "included angle of a V, bevel angle, side angle from vertical of a U").or("0"),
				length("root_opening", "root opening").or("0"), length("root_face", "root face").or("0"),
				length("d", "thickness, or depth of the groove"), length("R", "root radius of a U").or("0")},
			run: func(a *args) (Answer, error) {
				r, err := joint.Area(joint.Measures{Shape: joint.Shape(a.word("shape")), Angle: get[q.Angle](a, "angle"),
					RootOpening: get[q.Length](a, "root_opening"), RootFace: get[q.Length](a, "root_face"),
					Depth: get[q.Length](a, "d"), Radius: get[q.Length](a, "R")})
				return value(r.Value.MM2(), "mm²", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "cap-area", Title: "Cross-section of a convex cap",
			Params: []Param{length("w", "width"), length("h", "height")},
			run: func(a *args) (Answer, error) {
				r, err := joint.CapArea(get[q.Length](a, "w"), get[q.Length](a, "h"))
				return value(r.Value.MM2(), "mm²", r.Value.Text(q.SI), r.Basis), err
			}},
		{ID: "fillet-area", Title: "Cross-section of a flat fillet",
			Params: []Param{length("z1", "leg"), length("z2", "other leg, if not equal").optional()},
			run: func(a *args) (Answer, error) {
				z1, z2 := get[q.Length](a, "z1"), get[q.Length](a, "z1")
				if a.has("z2") {
					z2 = get[q.Length](a, "z2")
				}
				r, err := joint.FilletArea(z1, z2)
				return value(r.Value.MM2(), "mm²", r.Value.Text(q.SI), r.Basis), err
			}},
	}
}
