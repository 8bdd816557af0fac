//go:build !js

package exchange

import (
	"soundmetal/store"
)

// wanted names files that the host lacks.
func (in *incoming) wanted() error {
	all, err := in.files.wanted(in.Context(), in.Server.Book.Store())
	if err != nil {
		return err
	}
	a := wantedAnswer{Files: []store.Hash{}}
	if len(all) > MaxNamed {
		all, a.More = all[:MaxNamed], true
	}
	a.Files = append(a.Files, all...)
	return in.write(a)
}

func (in *incoming) hash() (store.Hash, error) {
	h, err := store.ReadHash(in.PathValue("hash"))
	if err != nil {
		return h, failure(BadRequest, "", "%v", err)
	}
	return h, nil
}

// putFile takes a file that an entry names: its entry comes first.
func (in *incoming) putFile() error {
	h, err := in.hash()
	if err != nil {
		return err
	}
	data, err := in.body(store.MaxBlob)
	if err != nil {
		return err
	}
	if in.ContentLength >= 0 && in.Header.Get("Content-Encoding") == "" && int64(len(data)) != in.ContentLength {
		return failure(Cut, "", "the file ended too early")
	}
	if store.HashOf(data) != h {
		return failure(Damaged, "send it again", "the bytes of the file are not those of its name")
	}
	st := in.Server.Book.Store()
	named, err := in.files.names(in.Context(), st, h)
	if err != nil {
		return err
	}
	if !named {
		return failure(BadRequest, "send the entries first", "no entry at the host names this file")
	}
	have, err := held(in.Context(), st)
	if err != nil {
		return err
	}
	if !have[h] {
		if _, err := st.PutBlob(in.Context(), data); err != nil {
			return err
		}
	}
	return in.write(storedAnswer{!have[h]})
}

// getFile gives a file.
func (in *incoming) getFile() error {
	h, err := in.hash()
	if err != nil {
		return err
	}
	data, err := in.Server.Book.Store().Blob(in.Context(), h)
	if err != nil {
		return err
	}
	in.send(mediaFile, data)
	return nil
}
