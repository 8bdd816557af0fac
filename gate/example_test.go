package gate_test

import (
	"fmt"

	"soundmetal/gate"
	"soundmetal/job"
	q "soundmetal/quantity"
)

func ExampleScreen() {
	j, err := job.Read("job.yaml", []byte(`
job: Gravel pit loader
machine: wheel loader
site: {country: GB}
items:
  - part: lock ring, rear left
  - part: bucket ear
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, it := range j.Items {
		v := gate.Screen(j, it)
		fmt.Printf("%s: %s\n", it.Part, v.Class)
		for _, f := range v.Findings {
			fmt.Printf("  %s, because %s\n  %s\n", f.Title, f.Because[0], f.Source)
		}
	}
	v := gate.Screen(j, j.Items[0])
	fmt.Println(v.CustomerText)
	// Output:
	// lock ring, rear left: refuse
	//   Wheel, rim, lock ring or side ring, because part: lock ring, rear left (the word "lock ring")
	//   HSE: Hot work on wheels
	// bucket ear: condition
	//   Answer these before the arc, because lifts people: not known
	//   Study of public texts on field repair welding: how repairs fail (2026), phone script
	// Thank you for asking me about the lock ring, rear left of your wheel loader. I am sorry, but I cannot take this on as it stands. The cracked part belongs to the wheel. Wheels, rims and rings may not be welded or heated; a cracked one has to be replaced. A tyre fitter can do that, and I can help you find the right part. Please call me if you would like help with the replacement or with anything else.
}

func ExampleMakeSafe() {
	j, err := job.Read("job.yaml", []byte(`
part: cross tube
shape: tube
behind: closed-hollow
coating: galvanized
machine: {kind: feeder, can_move: no, hybrid: no, hydraulics: no, tyres: no, electronics: no}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range gate.MakeSafe(j, j.Items[0], gate.Work{Process: gate.Rod}) {
		if s.ID == "vent" || s.ID == "zinc" {
			fmt.Println(s.Text(q.US))
		}
	}
	// Output:
	// Look for an open end or drain. If there is none, drill one hole of at least 1/2 in (12.7 mm) in a lightly loaded face, clear of edges, corners and welds. Stand aside while the bit breaks through. Let water and oil run out.
	// Grind the zinc off at least 4 in (100 mm) each side. Stay upwind.
}

func ExampleWeather() {
	site := job.Site{Wet: job.Dry, Shelter: job.No, Air: q.Known[q.Temperature](4), Wind: q.Known(20 * q.KilometrePerHour)}
	for _, f := range gate.Weather(site, gate.GasShielded, q.Known[q.Temperature](-3), q.SI) {
		fmt.Printf("%s: %s (%s; limit %s)\n", f.Class, f.Title, f.Because[0], f.Figures[0].Text)
	}
	// Output:
	// refuse: Too windy for gas-shielded wire (process: gas-shielded; limit 8 km/h (5 mph))
	// condition: Steel below freezing: warm it first (steel: -3 °C (27 °F); limit 0 °C (32 °F))
	// condition: Steel colder than the air: it sweats (air: 4 °C (39 °F); limit 5 °C (9 °F))
}

func ExampleInspectionMethods() {
	on := gate.Surface{Coating: "bare", Skin: "rolled", Wet: job.Dry, Magnet: "strong"}
	for _, m := range gate.InspectionMethods(q.Known[q.Temperature](2), on, job.TestKit{PT: job.Yes, MT: job.Yes}, q.SI) {
		fmt.Printf("%s: %s\n", m.Title, m.Class)
	}
	// Output:
	// Magnetic yoke: go
	// Eye and lamp: go
	// Ultrasonic set: condition
	// Dye penetrant: refuse
}

func ExampleFireWatch() {
	r := gate.FireWatch(q.Known(30 * q.Minute))
	fmt.Println(r.Value.Minutes(), "min,", r.Basis.Ref)
	// Output:
	// 60 min, NFPA 51B Fire prevention during welding cutting and other hot work (2009 to 2019), chapter 5, 2019 and later
}
