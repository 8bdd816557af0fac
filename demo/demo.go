// Package demo holds the invented demo jobs and an invented shop.
package demo

import "embed"

// Files are the demo jobs (*.yaml) and shop.yaml.
//
//go:embed *.yaml
var Files embed.FS
