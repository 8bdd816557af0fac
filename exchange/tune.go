//go:build !js

package exchange

import "net/http"

// tune is for the browser only.
func tune(*http.Request) {}
