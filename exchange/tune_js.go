package exchange

import "net/http"

// tune tells the browser's fetch to follow no redirect and to send no cookie.
func tune(r *http.Request) {
	r.Header.Set("js.fetch:redirect", "error")
	r.Header.Set("js.fetch:credentials", "omit")
}
