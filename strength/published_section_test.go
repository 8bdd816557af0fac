package strength

import (
	"testing"

	"soundmetal/job"
	q "soundmetal/quantity"
)

const mm = q.Millimetre

// exampleBox is a 300 × 400 box, flanges 300 × 16, webs 10 × 368 at x = ±130.
func exampleBox() Profile {
	return Profile{Shape: job.Box, Width: 300 * mm, Depth: 400 * mm, Flange: 16 * mm, Web: 10 * mm, Webs: 260 * mm}
}

// under is a doubler lying against the bottom face.
func under(width, thickness q.Length) Rect { return Rect{width, thickness, 0, -thickness / 2} }

// Sources: general method in Roark's Formulas (section properties, unsymmetric
// bending), evaluated by an independent double-precision script (derived).
// Checks S1, S2, S3 and the table of worked sections.
func TestPublishedBox(t *testing.T) {
	box := exampleBox()
	sag := Actions{Mx: -150 * q.KilonewtonMetre} // bottom in tension
	intact := must(SectionOf(box, nil, nil))
	plated := must(SectionOf(box, []Rect{under(240*mm, 12*mm)}, nil))
	crack := Rect{120 * mm, 16 * mm, -90 * mm, 8 * mm}
	cracked := must(SectionOf(box, nil, []Rect{crack}))
	gone := must(SectionOf(box, nil, []Rect{{300 * mm, 16 * mm, 0, 8 * mm}}))
	hidden := must(SectionOf(box, []Rect{under(240*mm, 12*mm)}, []Rect{crack}))
	at := func(s Section, x, y q.Length) float64 { return StressAt(s, sag, Point{x, y}).Value.MPa() }
	flow := must(DoublerFlow(plated, under(240*mm, 12*mm), 200*q.Kilonewton, 150*q.KilonewtonMetre))
	run(t, []check{
		{"S1 intact area", intact.Area.MM2(), 16960, 1e-9},
		{"S1 intact centroid", intact.Y.MM(), 200, 1e-9},
		{"S1 intact Ix", intact.Ix.MM4(), 4.3716e8, 1e-4},
		{"S1 intact W", intact.WBottom.MM3(), 2.1858e6, 1e-4},
		{"intact stress", at(intact, 0, 0), 68.6, 1e-3},
		{"S2 plated area", plated.Area.MM2(), 19840, 1e-9},
		{"S2 plated centroid", plated.Y.MM(), 170.10, 1e-3},
		{"S2 plated Ix", plated.Ix.MM4(), 5.4167e8, 1e-3},
		{"plated W at the doubler's face", plated.WBottom.MM3(), 2.975e6, 1e-3},
		{"plated stress at the doubler's face", at(plated, 0, -12*mm), 50.4, 1e-3},
		{"plated stress at the old flange", at(plated, 0, 0), 47.1, 1e-3},
		{"S2 shear flow at 200 kN", flow.Flow.PerMM(), 187.3, 1e-3},
		{"shear flow per side weld", flow.PerWeld.PerMM(), 94, 5e-3}, // printed to two figures
		{"force in the doubler", float64(flow.EndForce), 140e3, 5e-3},
		{"S3 cracked area", cracked.Area.MM2(), 15040, 1e-9},
		{"S3 cracked centroid", cracked.Y.MM(), 224.51, 1e-4},
		{"S3 cracked centroid across", cracked.X.MM(), 11.49, 1e-3},
		{"S3 cracked Ix", cracked.Ix.MM4(), 3.5730e8, 1e-3},
		{"S3 cracked Iy", cracked.Iy.MM4(), 1.7660e8, 1e-3},
		{"S3 cracked Ixy", cracked.Ixy.MM4(), -3.741e7, 1e-3},
		{"S3 symmetric formula", 150e6 / cracked.WBottom.MM3(), 94.25, 2e-3},
		{"S3 crack tip", at(cracked, -30*mm, 0), 100.2, 2e-3},
		{"S3 web corner", at(cracked, -135*mm, 16*mm), 102.8, 2e-3},
		{"flange gone, centroid", gone.Y.MM(), 275.79, 1e-4},
		{"flange gone, Ix", gone.Ix.MM4(), 1.9026e8, 1e-3},
		{"flange gone, stress", at(gone, -130*mm, 16*mm), 204.8, 1e-3},
		{"plate over the crack, area", hidden.Area.MM2(), 17920, 1e-9},
		{"plate over the crack, centroid", hidden.Y.MM(), 187.46, 1e-4},
		{"plate over the crack, Ix", hidden.Ix.MM4(), 4.8577e8, 1e-3},
		{"plate over the crack, W", hidden.WBottom.MM3(), 2.435e6, 1e-3},
	})
	if p, r := Worst(cracked, sag); r.Value.MPa() < 102 || p.X.MM() > -100 {
		t.Errorf("worst place: got %.1f MPa at x %.0f mm, want the web corner with 102.8 MPa", r.Value.MPa(), p.X.MM())
	}
}

// Source: as above; the worked I-section.
func TestPublishedISection(t *testing.T) {
	beam := Profile{Shape: job.ISection, Width: 200 * mm, Depth: 500 * mm, Flange: 20 * mm, Web: 12 * mm}
	intact := must(SectionOf(beam, nil, nil))
	plated := must(SectionOf(beam, []Rect{under(160*mm, 15*mm)}, nil))
	half := must(SectionOf(beam, nil, []Rect{{100 * mm, 20 * mm, -50 * mm, 10 * mm}}))
	run(t, []check{
		{"intact Ix", intact.Ix.MM4(), 5.584e8, 1e-3},
		{"intact stress", 150e6 / intact.WBottom.MM3(), 67.2, 1e-3},
		{"plated centroid", plated.Y.MM(), 211.18, 1e-4},
		{"plated Ix", plated.Ix.MM4(), 6.936e8, 1e-3},
		{"plated stress", 150e6 / plated.WBottom.MM3(), 48.9, 1e-3},
		{"half flange gone, area", half.Area.MM2(), 11520, 1e-9},
		{"half flange gone, centroid", half.Y.MM(), 291.67, 1e-4},
		{"half flange gone, centroid across", half.X.MM(), 8.68, 1e-3},
		{"half flange gone, Ix", half.Ix.MM4(), 4.231e8, 1e-3},
		{"half flange gone, Iy", half.Iy.MM4(), 1.920e7, 1e-3},
		{"half flange gone, Ixy", half.Ixy.MM4(), -2.817e7, 1e-3},
		{"half flange gone, symmetric formula", 150e6 / half.WBottom.MM3(), 103.4, 1e-3},
	})
}

// Source: thin-wall integration (derived); plastic moment of the BS 7910 annex P
// family. Check S4 and the worked tube.
func TestPublishedTube(t *testing.T) {
	state := func(degrees float64) CrackedTubeState {
		return must(CrackedTube(219.1*mm, 10*mm, q.Angle(degrees)*q.Degree, 50*q.KilonewtonMetre))
	}
	whole, s30, s60 := state(0), state(30), state(60)
	exact := must(SectionOf(Profile{Shape: job.Tube, Width: 219.1 * mm, Web: 10 * mm}, nil, nil))
	run(t, []check{
		{"whole I, thin", whole.I.MM4(), 3.590e7, 1e-3},
		{"whole I, exact", exact.Ix.MM4(), 3.598e7, 1e-3},
		{"whole stress on the mean radius", whole.Tip.MPa(), 145.6, 1e-3},
		{"30° area", s30.Area.MM2(), 5474, 1e-3},
		{"30° shift", s30.Shift.MM(), -19.97, 1e-3},
		{"30° I", s30.I.MM4(), 2.279e7, 1e-3},
		{"S4 30° tip", s30.Tip.MPa(), 242.5, 2e-3},
		{"S4 30° plastic moment", float64(s30.Plastic), 0.7159, 2e-3},
		{"60° I", s60.I.MM4(), 1.080e7, 1e-3},
		{"60° tip", s60.Tip.MPa(), 442, 1e-3},
		{"60° plastic moment", float64(s60.Plastic), 0.433, 1e-3},
	})
}

// Source: Bredt's formula (Roark), evaluated independently.
func TestPublishedTorsion(t *testing.T) {
	s := must(BoxTorsion(exampleBox(), 1*q.KilonewtonMetre))
	run(t, []check{
		{"enclosed area", s.Enclosed.MM2(), 99840, 1e-9},
		{"J closed", s.JClosed.MM4(), 3.648e8, 1e-3},
		{"shear flow per kNm", s.Flow.PerMM(), 5.008, 1e-3},
	})
	if s.SofterTime < 100 || s.SofterTime > 1000 {
		t.Errorf("softer by %.0f: the published span is 100 to 1000", float64(s.SofterTime))
	}
}
