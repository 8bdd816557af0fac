package pocket

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"golang.org/x/image/vector"
)

// The icon is that of the pages: the edges of two plates, and the groove between
// them filled with weld.

var steel = color.NRGBA{0x14, 0x21, 0x1b, 0xff}

// iconSides are the sizes that phones ask for, pixels.
var iconSides = []int{180, 192, 512}

func iconName(side int) string { return fmt.Sprintf("icon-%d.png", side) }

// icon draws it at a size. The shape stays within the middle four fifths, which
// no phone cuts off.
func icon(side int) (file, error) {
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	for i := range img.Pix {
		img.Pix[i] = 0xff
	}
	k := float32(side) / 80
	fill := func(points ...float32) {
		r := vector.NewRasterizer(side, side)
		for i := 0; i < len(points); i += 2 {
			x, y := (points[i]+8)*k, (points[i+1]+8)*k
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
		r.Draw(img, img.Bounds(), image.NewUniform(steel), image.Point{})
	}
	fill(6, 11.5, 21.7, 11.5, 32, 41, 42.3, 11.5, 58, 11.5, 58, 16.5, 45.8, 16.5, 34.3, 49, 29.7, 49, 18.2, 16.5, 6, 16.5)
	fill(24, 24, 40, 24, 32, 48)
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		return file{}, err
	}
	return file{media: "image/png", data: out.Bytes()}, nil
}

const manifestName = "app.webmanifest"

// manifest says how the book is installed as an app.
func manifest() file {
	type img struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose"`
	}
	type link struct {
		Name string `json:"name"`
		URL  string `json:"url"`
	}
	var icons []img
	for _, side := range iconSides[1:] {
		icons = append(icons, img{iconPath(side), fmt.Sprintf("%dx%d", side, side), "image/png", "any"}, img{iconPath(side), fmt.Sprintf("%dx%d", side, side), "image/png", "maskable"})
	}
	data, err := json.MarshalIndent(map[string]any{
		"id": "/", "name": "soundmetal job book", "short_name": "soundmetal", "start_url": "/", "scope": "/", "display": "standalone", "lang": "en",
		"background_color": "#ffffff", "theme_color": "#14211b", "icons": icons,
		"shortcuts": []link{{"New call", "/new"}, {"What is due", "/due"}},
	}, "", " ")
	if err != nil {
		panic("pocket: " + err.Error())
	}
	return file{media: "application/manifest+json", data: data}
}

// iconPath is where an icon is served under a fixed address, for the manifest.
func iconPath(side int) string { return "/pocket/" + iconName(side) }
