//go:build js

package main

import "errors"

// serveTask works out one long computation.
func serveTask() error { return errors.New("not here yet") }
