package diffuse_test

import (
	"fmt"

	q "soundmetal/quantity"

	"soundmetal/heat/diffuse"
)

// Two hours at 250 °C in an evenly charged plate of 25 mm.
func ExampleSlab() {
	left, err := diffuse.Slab(25*q.Millimetre, 250, 2*q.Hour, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("mean left %.2f to %.2f\n", float64(left.Value.Mean.Low), float64(left.Value.Mean.High))
	// Output:
	// mean left 0.39 to 0.73
}
