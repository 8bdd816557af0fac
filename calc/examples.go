package calc

import "strings"

// withExamples gives each method its example and its limits. A method that has
// none fails the tests of this package.
func withExamples(all []Method) []Method {
	for i := range all {
		e := examples[all[i].ID]
		all[i].Example, all[i].Limits = strings.Fields(e.call), e.limits
	}
	return all
}

type example struct {
	call   string // name=value, separated by blanks
	limits string // range of validity in words; numbers as a refusal prints them
}

const (
	sumForAnySteel = " The sum is given for any composition; where a figure lies outside, a note says so, and no preheat may then be built on it."
	geometry       = "Geometry: every figure more than 0."
	// the S355 type of the worked examples
	plate = "C=.16 Si=.35 Mn=1.40 Cr=.03 Mo=.01 V=.04 Ni=.03 Cu=.02 Nb=.02"
)

var examples = map[string]example{
	"ce-iiw": {plate, "Made for C 0.05 to 0.25 %, Si 0 to 0.8, Mn 0 to 1.7, Cr 0 to 0.9, Cu 0 to 1, Ni 0 to 2.5, Mo 0 to 0.75, V 0 to 0.2 % and a sum of 0.3 to 0.7 % (limits from memory)." + sumForAnySteel},
	"ce-aws": {plate, "Only for the hardness-control method of AWS D1.1. The sum is given for any composition."},
	"cet":    {plate, "Made for C 0.05 to 0.32 %, Si 0 to 0.8, Mn 0.5 to 1.9, Cr 0 to 1.5, Cu 0 to 0.7, Mo 0 to 0.75, Ni 0 to 2.5, V 0 to 0.18, Nb 0 to 0.06, Ti 0 to 0.12, B 0 to 0.005 % (from memory) and a sum of 0.2 to 0.5 % (read)." + sumForAnySteel},
	"pcm":    {plate, "Made for C 0.07 to 0.22 %, Si 0 to 0.6, Mn 0.4 to 1.4, Cu 0 to 0.5, Ni 0 to 1.2, Cr 0 to 1.2, Mo 0 to 0.7, V 0 to 0.12, Nb 0 to 0.04, Ti 0 to 0.05, B 0 to 0.005 % (limits from memory)." + sumForAnySteel},
	"cen":    {plate, "Made for C 0 to 0.3 % (limit from memory)." + sumForAnySteel},
	"ms":     {"C=.40 Si=.25 Mn=.70 Cr=.80 Mo=.25 Ni=1.83", "C 0 to 0.6 %, the upper end not included; Mn, Cr and Ni 0 to 5, Mo 0 to 5.4 % (from memory). Outside it refuses."},
	"hardness-strength": {"HB=226",
		"116 to 577 HB, the rows of the table. Not for austenitic or manganese steel, cast iron, cold-worked skin or case-hardened parts. Outside it refuses."},
	"preheat-cet": {"CET=0.40 d=50mm HD=5 Q=2.0",
		"CET 0.2 to 0.5 %; HD 1 to 20 ml/100 g; Q 0.5 to 4 kJ/mm: outside it refuses. Thickness 10 to 90 mm: thinner plate is worked at 10 mm and thicker at 90 mm, and a note says so. Steel to 1000 MPa yield strength and 0.32 % carbon (from memory)."},
	"preheat-si": {"Pcm=.28 H=10 d=2in restraint=high",
		"H 1 to 30 ml/100 g; index 0 to 7: outside it refuses. Steel within the limits of Pcm; not for steel such as 1045, 4140 or 4340. Most of the table is from memory; one cell was read."},
	"preheat-prequalified": {"category=B d=1-1/4in", "Thickness 3 to 1000 mm; below 3 mm it refuses. Category D only with filler of H8 or better."},
	"preheat-ms": {"C=.45 Mn=.75 Si=.25 H=4 restraint=high",
		"Carbon 0.32 to 0.8 % by the chart, or 4140 and 4340 by name. Outside it refuses. A chart of the trade, not a standard."},
	"preheat-ito": {"Pcm=.25 H=3 d=25 hydrogen_by=glycerine",
		"Hydrogen 1 to 5 ml/100 g on the glycerine scale; thickness 19 to 50 mm, or where K is given K 4900 to 32400 N/mm per mm. Outside it refuses. For root runs of covered rods at 1.7 kJ/mm. Formula and limits are from memory: a cross check only."},
	"preheat-seferian": {"C=.40 Mn=.88 Cr=.95 Mo=.20 d=25", "No published limits are known to us; carbon and thickness more than 0. It knows neither hydrogen nor heat input: an upper cross check, from memory."},
	"cooling-time":     {"T0=20 Q=1.0 d=10", "T0 -40 to 500 °C, the upper end not included; above 300 °C a note calls it rough. Shape factors 0.4 to 1. Outside it refuses. For a single run on steel that is at one temperature."},
	"haz-hardness":     {plate + " t85=10", "Carbon 0 to 0.8 %, nitrogen 0 to 0.01 %: outside it refuses. The Düren model is shown to 0.22 % carbon, BL70S from 0.017 to 0.33 %."},
	"heat-input":       {"V=24 I=160 v=150 k=0.8", "Efficiency 0.5 to 1, else it refuses; volts, amps and speed more than 0."},
	"measure-distance": {"d=20", "Any thickness more than 0; over 50 mm the rule changes from a distance on the face to 75 mm in every direction."},
	"hold-time":        {"steel=s690 size=10 Q=1.5", "Any size and heat input more than 0. A steel that is not in the list is not read; the list is shown."},
	"hydrogen-left":    {"T=250 t=2 L=25", "Temperature 0 to 400 °C, else it refuses. A slab charged evenly, both faces free."},
	"gouge-current":    {"D=3/16in", "The listed sizes only, 3.175 to 25.4 mm, each within 0.3 mm; between them it refuses."},
	"gouge-groove":     {"w=7.94 p=6.35", geometry + " Round bottom as wide as the groove."},
	"groove-area":      {"shape=single-v angle=60 root_opening=2 d=12", geometry + " The included angle of a V 0 to 180 °, the side angle of a bevel or U 0 to 90 °, ends not included; a root face not more than the depth; a U not shallower than its own root arc. Outside it refuses."},
	"cap-area":         {"w=25.4 h=3.175", geometry + " A parabola; a taller or flatter cap than usual is not refused."},
	"fillet-area":      {"z1=6.35", geometry + " A flat face: add a cap for a convex one."},
	"run-out":          {"D=4 L=410 F=.0408 E=1.338", "Core 2 to 6.5 mm, consumed length 100 to 500 mm, F 0.03 to 0.07 kJ/mm³, arc energy 0.2 to 6 kJ/mm (our own limits). Outside it refuses. Covered rods only."},
	"exposure":         {"class=E7018-H4R", "Low-hydrogen covered rods of the table (E70 to E120). Any other rod or wire: it does not apply."},
	"duty":             {"I1=400 D1=25 D2=50", "1 to 3000 A; duty cycle 0.01 to 1, that is 1 to 100 %. Outside it refuses. The machine's own plate goes before this law."},
	"lead-drop":        {"A_mm2=53.5 L=60m I=225 T=60", "Copper, direct current; section 4 to 500 mm², 1 to 3000 A, loop 0.5 to 300 m, cable -40 to 100 °C (our own limits). Outside it refuses."},
	"lpg-rate":         {"T=40F full=100lb left=100", "Bottle -17.78 to 21.11 °C (0 to 70 °F), 10 to 100 % left, full bottle 5 to 100 lb. Outside it refuses. Bottles smaller than 100 lb are scaled by the wetted wall."},
	"fuel-rate":        {"V=29 I=225", "0 to 60 V, 0 to 3000 A. Outside it refuses. No current counts as idling."},
	"network":          {"edges=cab-arm:0.5mohm,cab-arm:5mohm source=cab sink=arm I=250", "Current 0.001 to 5000 A; each resistance 1e-09 to 1e+06 ohm; at most 200 resistances. Outside it refuses. Contacts are taken as fixed resistances."},
	"weld-time": {"mass=2.94 deposition=2.45 OF=30",
		"Weld metal 1e-06 to 10000 kg, deposition rate 0.001 to 500 kg/h, operating factor 0.001 to 1, that is 0.1 to 100 %. Outside it refuses. Without heating, waits and crack tests."},
	"deposit-cost": {"rate=45.00 deposition=5.4lb/h OF=30% price=0.85 DE=64% currency=USD",
		"Deposition rate 0.001 to 1000 lb/h, operating factor 0.001 to 1, deposition efficiency 0.1 to 1, that is to 100 %. Outside it refuses. Labour, consumable and shielding gas only: on a repair setting up, heating, gouging and travel are most of the hours."},
	"travel-cost": {"distance=32mi each=1.40 drive=50min hour=75 currency=USD",
		"Distance 0 to 10000 of the unit, driving time 0 to 200 h, 1 to 365 visits. Outside it refuses. Whole miles or kilometres and quarter hours for each visit."},
	"fatigue-life": {"FAT=80 range=100",
		"FAT 36 to 160 MPa; life 10000 cycles or more; range to 1.5 times the yield where that is given; below the cut-off of the EN curve no damage is counted. Outside it refuses. Nominal elastic stress of the uncracked part."},
	"stress-from-life": {"FAT=80 cycles=1.024e6", "FAT 36 to 160 MPa; 10000 cycles or more, on the EN curve 10000 to 100000000 cycles. Outside it refuses."},
	"crack-growth": {"geometry=through a1=5 a2=25 W=200 range=80 law=two-stage-mean",
		"Through crack to 0.4 of the width (a is half of its length), edge crack to 0.6: in a plate of 200 mm 0 to 80 mm and 0 to 120 mm; steel in air to 100 °C, as-welded. Outside it refuses. Growth only: whether it breaks before a2 is a question of fracture."},
	"sif-surface": {"a=5 c=10 t=20 b=100 phi=90 sigma_m=100", "a/t 0 to 0.8; a/c 0.2 to 2; c/b below 0.5. Outside it refuses. b is half the width. Published accuracy ±5 %."},
	"fad":         {"Lr=0.8 Re=355 Rm=490", "Lr 0 to (Re + Rm)/(2Re), the end not included, for 355 and 490 MPa 0 to 1.19: beyond it the rest of the section collapses, and it refuses. Rm above Re."},
	"section":     {"shape=box width=300 depth=400 flange=16 web=10 webs=260", geometry + " Elastic, plane sections; no shear lag, no buckling. A plate or a crack is taken on the lower face only, and not on a tube."},
	"stop-hole":   {"range=60 crack=60 yield=355", "Hole radius needed 0 to 30 mm; crack and holes within the width where one is given. Outside it refuses. Through and edge cracks under even pull in the plane; a hold and not a repair."},
	"rainflow":    {"history=-2,1,-3,5,-1,3,-4,4,-2", "At least two different values, in any one unit."},
}
