// Package pocket gives a phone what it needs to keep the job book and to work
// with no signal: the service worker, the program (cmd/pocket, built for
// js/wasm by `make phone`), the page that puts them on the phone, manifest and
// icons. None of it holds data; it is given to whoever asks.
package pocket
