//go:build !js

package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "pocket is the phone's part of soundmetal: build it with `make phone`, and open /pocket of `soundmetal serve`")
	os.Exit(2)
}
