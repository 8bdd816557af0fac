package main

import (
	"net/http"

	"soundmetal/pocket"
)

// phonePart gives phones what they keep; where this program was built without
// it, the page says so.
func phonePart() http.Handler {
	b, err := pocket.Load()
	if err != nil {
		b = nil
	}
	return pocket.Handler(b)
}
