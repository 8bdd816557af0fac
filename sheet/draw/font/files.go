//go:build !js

package font

import (
	"github.com/go-fonts/dejavu/dejavusans"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// TTF gives the face as a TrueType file.
func (f Face) TTF() []byte {
	switch f {
	case Bold:
		return gobold.TTF
	case Other:
		return dejavusans.TTF
	}
	return goregular.TTF
}
