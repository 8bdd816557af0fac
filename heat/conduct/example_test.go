package conduct_test

import (
	"context"
	"fmt"

	q "soundmetal/quantity"

	"soundmetal/heat/conduct"
)

// A 30 mm plate on a cold, windy day: how long to heat, what gas, how long it
// holds.
func ExampleRun() {
	const mm = q.Millimetre
	points, err := conduct.ReadingPoints(-60*mm, 60*mm, 8*mm, 30*mm, true)
	if err != nil {
		fmt.Println(err)
		return
	}
	floor := q.Known[q.Temperature](125)
	c := conduct.Case{
		Body: conduct.HalfPlate(700*mm, 500*mm, 30*mm), Start: -5,
		Env:    conduct.Environment{Air: -5, Wind: 5, Skin: conduct.Scaled},
		Probes: points.Value,
		Events: []conduct.Event{
			conduct.Torch{
				Name: "preheat", Face: conduct.ZHigh, Path: []conduct.Point{conduct.MM(-120, 50, 30), conduct.MM(120, 50, 30)},
				Power: 40 * q.Kilowatt, Efficiency: 0.25, Radius: 45 * mm,
				Until: conduct.Until{Probes: []string{"band far right", "band far start", "band far end"}, AtLeast: floor, For: q.Hour},
			},
			conduct.Wait{Name: "stands", Until: conduct.Until{For: 40 * q.Minute}},
		},
	}
	h, err := conduct.Run(context.Background(), c, conduct.Options{Level: conduct.Coarse})
	if err != nil {
		fmt.Println(err)
		return
	}
	heat := h.Marks[0]
	fmt.Printf("reached: %v, after about %.0f min\n", heat.Met, heat.To.Minutes())
	fmt.Printf("gas burnt: about %.0f MJ gross\n", float64(heat.Gross)/1e6)
	holds, err := h.FallsBelow(125, heat.To, "band far right")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the far face holds 125 °C for about %.0f min\n", holds.Value.Minutes())
	// Output:
	// reached: true, after about 4 min
	// gas burnt: about 9 MJ gross
	// the far face holds 125 °C for about 5 min
}

// The welder's own reading corrects the torch.
func ExampleCalibrate() {
	const mm = q.Millimetre
	c := conduct.Case{
		Body: conduct.HalfPlate(600*mm, 500*mm, 25*mm), Start: 10, Env: conduct.Environment{Air: 10, Wind: 2},
		Events: []conduct.Event{conduct.Torch{
			Face: conduct.ZHigh, Path: []conduct.Point{conduct.MM(-80, 0, 25), conduct.MM(80, 0, 25)},
			Power: 30 * q.Kilowatt, Efficiency: 0.20, Radius: 60 * mm, Until: conduct.Until{For: 8 * q.Minute}}},
	}
	k, err := conduct.Calibrate(context.Background(), c,
		[]conduct.Reading{{At: conduct.MM(0, 75, 25), Time: 8 * q.Minute, T: 240}}, conduct.Options{Level: conduct.Coarse})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("fitted %v: %.2f instead of 0.20\n", k.Value.Fitted, float64(k.Value.Efficiency))
	// Output:
	// fitted [efficiency]: 0.14 instead of 0.20
}
