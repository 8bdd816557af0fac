package gate

import (
	"strings"
	"testing"
)

func BenchmarkScreen(b *testing.B) {
	j := clearJob()
	j.Items[0].Part = "side plate beside the fuel tank, below the cab guard mount"
	for b.Loop() {
		Screen(j, j.Items[0])
	}
}

// A text of many words must not cost more than in proportion.
func BenchmarkScreenLongName(b *testing.B) {
	j := clearJob()
	j.Items[0].Part = strings.Repeat("rim beside the fork ", 2000)
	for b.Loop() {
		Screen(j, j.Items[0])
	}
}
