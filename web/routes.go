package web

import (
	"net/url"
	"strings"
)

type pageFunc = func(Writer, *Request)

// routes finds the page of a path by the patterns of http.ServeMux, as far as
// these pages use them.
type routes struct {
	next  map[string]*routes  // by the part of the path that follows
	pages map[string]pageFunc // by method, where the path ends here
	names []string            // of the parts that are whatever, where the path ends here
}

// whatever stands in routes for a part that a pattern names: {job}.
const whatever = "{}"

// add adds "GET /jobs/{job}" or "GET /{$}". A GET answers HEAD too.
func (t *routes) add(pattern string, f pageFunc) {
	method, path, _ := strings.Cut(pattern, " ")
	var names []string
	for _, part := range strings.Split(strings.TrimSuffix(path, "{$}"), "/")[1:] {
		if strings.HasPrefix(part, "{") {
			names = append(names, strings.Trim(part, "{}"))
			part = whatever
		}
		if t.next == nil {
			t.next = map[string]*routes{}
		}
		if t.next[part] == nil {
			t.next[part] = &routes{pages: map[string]pageFunc{}}
		}
		t = t.next[part]
	}
	if t.pages[method] != nil {
		panic("web: two pages of " + pattern)
	}
	t.pages[method], t.names = f, names
}

// find gives the page of a request, and puts the values of the path into it; nil
// where there is none.
func (t *routes) find(r *Request) pageFunc {
	method := r.Method
	if method == methodHead {
		method = methodGet
	}
	parts := strings.Split(r.URL.EscapedPath(), "/")[1:]
	for i, part := range parts {
		if plain, err := url.PathUnescape(part); err == nil {
			parts[i] = plain
		}
	}
	end, values := t.walk(method, parts, nil)
	if end == nil {
		return nil
	}
	r.named = map[string]string{}
	for i, name := range end.names {
		r.named[name] = values[i]
	}
	return end.pages[method]
}

// walk goes down the parts of a path: what is named goes before whatever.
func (t *routes) walk(method string, parts, values []string) (*routes, []string) {
	if len(parts) == 0 {
		if t.pages[method] == nil {
			return nil, nil
		}
		return t, values
	}
	if next := t.next[parts[0]]; next != nil && parts[0] != whatever {
		if end, got := next.walk(method, parts[1:], values); end != nil {
			return end, got
		}
	}
	if next := t.next[whatever]; next != nil && parts[0] != "" {
		return next.walk(method, parts[1:], append(values, parts[0]))
	}
	return nil, nil
}
