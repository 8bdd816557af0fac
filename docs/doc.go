// Package docs is the documentation. Pages and tables that come from the code
// are kept current by its tests: `make docs` writes them, `make check` fails
// where one is stale.
package docs
