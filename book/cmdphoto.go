package book

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"time"

	"soundmetal/store"
)

// AddPhoto keeps a picture: JPEG or PNG. What the camera wrote into the file
// besides the picture (place, serial number, time) is taken out; only the turn
// of the picture stays. Place is kept only where the setting photo_place is yes.
type AddPhoto struct {
	Job     string
	Data    []byte
	Caption string
	Item    string
	About   string // id of the hold point, step or entry it shows
	Place   *Place
	When    time.Time
}

func (c AddPhoto) about() string { return c.Job }

// MaxPhoto is the largest picture that is kept, in bytes.
const MaxPhoto = 8 << 20

const maxPixels = 100 << 20

func (c AddPhoto) decide(d *desk) error {
	if len(c.Data) == 0 {
		return refuse(CodeField, "photo", "the photo is missing")
	}
	if len(c.Data) > MaxPhoto {
		return refuse(CodeField, "photo", "the photo has %d MB; up to %d MB are accepted", len(c.Data)>>20, MaxPhoto>>20)
	}
	p := Photo{Caption: c.Caption, Item: c.Item, About: c.About}
	data, err := cleanPhoto(c.Data, &p)
	if err != nil {
		return refuse(CodeField, "photo", "%v", err)
	}
	if c.Item != "" {
		if _, ok := d.job.Place(c.Item); !ok {
			return refuse(CodeUnknown, "item", "this job has no place %q", clipped(c.Item))
		}
	}
	if c.Place != nil && d.view.Registry().Setting("photo_place") == "yes" {
		if !(c.Place.Lat >= -90 && c.Place.Lat <= 90 && c.Place.Lon >= -180 && c.Place.Lon <= 180 && c.Place.Off >= 0 && c.Place.Off < 1e6) {
			return refuse(CodeField, "place", "this is no place on earth")
		}
		p.Place = c.Place
	}
	p.Blob = store.HashOf(data)
	if p.When, err = d.at("when", c.When); err != nil {
		return err
	}
	if err := p.check(); err != nil {
		return err
	}
	d.out.Blobs = append(d.out.Blobs, data)
	return d.log(KindPhoto, p)
}

var errNoPhoto = errors.New("this is no JPEG or PNG picture")

// cleanPhoto takes out what is not the picture and fills in its kind and size.
// The kind is told by the bytes, never by a name.
func cleanPhoto(data []byte, p *Photo) ([]byte, error) {
	var config image.Config
	var err error
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xd8\xff")):
		p.Media = "image/jpeg"
		if data, err = cleanJPEG(data); err == nil {
			config, err = jpeg.DecodeConfig(bytes.NewReader(data))
		}
	case bytes.HasPrefix(data, []byte(pngHead)):
		p.Media = "image/png"
		if data, err = cleanPNG(data); err == nil {
			config, err = png.DecodeConfig(bytes.NewReader(data))
		}
	default:
		return nil, errNoPhoto
	}
	if err != nil {
		return nil, errNoPhoto
	}
	if config.Width < 1 || config.Height < 1 || config.Width > maxPixels/config.Height {
		return nil, errors.New("the picture has too many points; take a smaller one")
	}
	p.Width, p.Height = config.Width, config.Height
	if p.Media == "image/jpeg" && PhotoTurn(data) >= 5 {
		p.Width, p.Height = p.Height, p.Width // as it is shown
	}
	return data, nil
}
