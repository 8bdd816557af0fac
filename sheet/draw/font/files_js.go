//go:build js

package font

// On a phone the faces are files beside the program: in it they would make it a
// tenth larger, and each start slower.

var provided [faceCount][]byte

// Provide gives the faces, once, before anything is measured or printed.
func Provide(f Face, ttf []byte) { provided[f] = ttf }

// TTF gives the face as a TrueType file.
func (f Face) TTF() []byte {
	if provided[f] == nil {
		panic("font: the host has not given the faces")
	}
	return provided[f]
}
