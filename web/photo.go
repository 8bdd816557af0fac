package web

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"soundmetal/book"
	"soundmetal/sheet/draw"
	"soundmetal/store"
)

func photoForm(r *request) (Form, error) {
	f := Form{Title: "Photo", Icon: "photo", Submit: "Keep the photo", Multipart: true,
		Lead: "It is made smaller here and what the camera wrote into it is taken out.",
		Fields: []Field{{Name: "photo", Label: "Photo", Kind: kindPhoto, Must: true}, text("caption", "What does it show?").hint("Can be written later."),
			hidden("item", r.FormValue("item")), hidden("about", r.FormValue("about"))}}
	if r.setting("photo_place") == "yes" {
		f.Fields = append(f.Fields, hidden("lat", ""), hidden("lon", ""), hidden("off", ""))
		f.Lead += " The place is kept with it, as you set it."
	}
	return f, nil
}

func photoCommand(r *request, v values) (book.Command, error) {
	c := book.AddPhoto{Job: r.job.ID, Caption: v.text("caption"), Item: v.text("item"), About: v.text("about")}
	if r.multi == nil {
		return nil, wrong("photo", "the photo is missing: choose one or take one")
	}
	defer r.multi.RemoveAll()
	file, head, err := r.FormFile("photo")
	switch {
	case errors.Is(err, errMissingFile):
		return nil, wrong("photo", "the photo is missing: choose one or take one")
	case err != nil:
		return nil, err
	}
	defer file.Close()
	if head.Size > book.MaxPhoto {
		return nil, wrong("photo", fmt.Sprintf("the photo has %d MB; up to %d MB are accepted", head.Size>>20, book.MaxPhoto>>20))
	}
	if c.Data, err = io.ReadAll(io.LimitReader(file, book.MaxPhoto+1)); err != nil {
		return nil, err
	}
	lat, errLat := strconv.ParseFloat(v.text("lat"), 64)
	lon, errLon := strconv.ParseFloat(v.text("lon"), 64)
	if errLat == nil && errLon == nil {
		off, _ := strconv.ParseFloat(v.text("off"), 64)
		c.Place = &book.Place{Lat: lat, Lon: lon, Off: off}
	}
	return c, nil
}

// photo serves a photo by the hash of its bytes. The kind is told by the bytes.
func (r *request) photo() error {
	h, err := store.ReadHash(r.PathValue("hash"))
	if err != nil {
		return missing("there is no such photo")
	}
	data, err := r.Book.Blob(r.Context(), h)
	if err != nil {
		return err
	}
	media := draw.PictureType(data)
	if !strings.HasPrefix(media, "image/jpeg") && !strings.HasPrefix(media, "image/png") {
		return missing("there is no such photo")
	}
	head := r.w.Header()
	head.Set("Content-Type", media)
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	head.Set("Cache-Control", "private, max-age=31536000, immutable")
	r.w.Write(data)
	return nil
}
