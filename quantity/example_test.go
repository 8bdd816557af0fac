package quantity_test

import (
	"fmt"

	q "soundmetal/quantity"
)

func ExampleRead() {
	as := q.ReadAs{What: "thickness", Bare: "in", OtherBare: "mm", Low: 0.5e-3, High: 0.15}
	for _, text := range []string{`3/16`, `12mm`, `1½"`, `12`, `12 mil`} {
		t, err := q.Read[q.Length](text, as)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(t.Text(q.US))
	}
	// Output:
	// 3/16 in (4.8 mm)
	// 15/32 in (12 mm)
	// 1-1/2 in (38.1 mm)
	// thickness "12": 12 in is outside 0.02 to 5-7/8 in (0.5 to 150 mm); is it 12 in (305 mm) or 12 mm (15/32 in)?
	// thickness "12 mil": a mil is a millimetre in one country and 0.001 in in another; is it 12 mm (15/32 in) or 0.012 in (0.3 mm)?
}

func ExampleTemperature_MinimumText() {
	computed := q.Temperature(121.2)
	fmt.Println(computed.Text(q.US)) // nearest, for a reading
	fmt.Println(computed.MinimumText(q.US))
	fmt.Println(computed.MaximumText(q.US))
	// Output:
	// 250 °F (120 °C)
	// 255 °F (125 °C)
	// 250 °F (120 °C)
}

func ExampleOf_Text() {
	fmt.Println(q.Span[q.Current](200, 250).Text(q.US))
	fmt.Println(q.Span(10*q.Millimetre, 25*q.Millimetre).Text(q.SI))
	// Output:
	// 200 to 250 A
	// 10 to 25 mm (3/8 to 1 in)
}

func ExampleLength_Exact() {
	fmt.Println((q.Inch / 2).Exact("mm"))
	// Output: 12.7 mm
}
