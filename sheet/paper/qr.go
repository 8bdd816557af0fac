package paper

import (
	"rsc.io/qr"

	"soundmetal/sheet/draw"
)

// QR draws a web address as a QR code with its quiet zone; ok is false
// where the address is too long for one.
func QR(url string, side float64) (*draw.Drawing, bool) {
	code, err := qr.Encode(url, qr.M)
	if err != nil {
		return nil, false
	}
	const quiet = 4
	cell := side / float64(code.Size+2*quiet)
	d := &draw.Drawing{W: side, H: side, Title: "QR", Desc: url}
	d.Add(draw.Rect(0, 0, side, side, draw.Pen{}, draw.White))
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			if !code.Black(x, y) {
				continue
			}
			from := x // dark cells side by side are one bar
			for x+1 < code.Size && code.Black(x+1, y) {
				x++
			}
			d.Add(draw.Rect(cell*float64(quiet+from), cell*float64(quiet+y), cell*float64(x-from+1), cell*1.02, draw.Pen{}, draw.Black))
		}
	}
	return d, true
}
