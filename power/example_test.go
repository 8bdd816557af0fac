package power_test

import (
	"fmt"

	"soundmetal/job"
	"soundmetal/power"
	q "soundmetal/quantity"
)

func ExampleContinuous() {
	machine := job.Source{Name: "engine drive", Points: []job.DutyPoint{{Amps: 300, Duty: 0.6}, {Amps: 250, Duty: 1}}}
	for _, duty := range []q.Ratio{0.6, 0.8, 1} {
		r, err := power.Continuous(machine, duty)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f %%: %.0f A\n", 100*float64(duty), float64(r.Value))
	}
	// Output:
	// 60 %: 300 A
	// 80 %: 260 A
	// 100 %: 250 A
}

func ExampleLeadDrop() {
	cable, err := power.ReadCable("1/0")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := power.LeadDrop(cable.Area, 225*q.Ampere, 60*q.Metre, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f V\n", float64(r.Value))
	// Output: 4.35 V
}

func ExampleSolveEdges() {
	edges, err := power.ReadEdges("arm-frame:0.5mohm, arm-frame:5mohm")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := power.SolveEdges(edges, "arm", "frame", 250*q.Ampere)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Value.Flows {
		fmt.Printf("%s to %s through %.1f mΩ: %.1f A\n", f.A, f.B, float64(f.R/q.Milliohm), float64(f.Current))
	}
	// Output:
	// arm to frame through 0.5 mΩ: 227.3 A
	// arm to frame through 5.0 mΩ: 22.7 A
}

func ExampleRankClamps() {
	machine, err := power.Machine("tracked-carrier")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := power.RankClamps(machine, "lower", []string{"lower", "upper"}, 180*q.Ampere, power.Draws{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Value.Say)
	// Output: Clamp on the lower frame: the current stays in the lower frame. Not on the turning frame: about 155 A, perhaps 180 A, through the slew ring (bearing).
}

func ExampleLPGRate() {
	r, err := power.LPGRate(q.Fahrenheit(20), 100*q.Pound, 0.5, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f kW, %.1f kg/h\n", float64(r.Value.Power/q.Kilowatt), float64(r.Value.Mass/q.KilogramPerHour))
	// Output: 27.5 kW, 2.0 kg/h
}
