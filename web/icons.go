package web

import (
	"html/template"
	"maps"
	"slices"
	"strings"
	"sync"
)

// icons are drawn for this program: strokes on a field of 24 by 24.
var icons = map[string]string{
	"done":    `<path d="M4 13l5 6L20 5"/>`,
	"no":      `<path d="M6 6l12 12M18 6L6 18"/>`,
	"ask":     `<path d="M8 9a4 4 0 1 1 5.5 3.7C12.4 13.3 12 14 12 15.5M12 19.5v.5"/>`,
	"stop":    `<path d="M8 2.5h8L21.5 8v8L16 21.5H8L2.5 16V8zM7.5 12h9"/>`,
	"wait":    `<path d="M6 3h12M6 21h12M7 3c0 5 10 7 10 9s-10 4-10 9M17 3c0 5-10 7-10 9s10 4 10 9"/>`,
	"warn":    `<path d="M12 3L22 20.5H2zM12 10v5M12 17.5v.5"/>`,
	"heat":    `<path d="M10 14.5V5a2 2 0 1 1 4 0v9.5a4 4 0 1 1-4 0zM12 9v8"/>`,
	"bead":    `<path d="M3 16c2-3 4-3 6 0 2-3 4-3 6 0 2-3 4-3 6 0v4H3zM14 3l-3 8"/>`,
	"tin":     `<path d="M5 7c0-2 14-2 14 0v11c0 2-14 2-14 0zM5 7c0 2 14 2 14 0M10 3v5M14 3v5"/>`,
	"photo":   `<path d="M3 7h4l2-3h6l2 3h4v13H3zM12 9.5a4 4 0 1 1 0 8 4 4 0 0 1 0-8z"/>`,
	"note":    `<path d="M5 3h11l4 4v14H5zM8 9h8M8 13h8M8 17h5"/>`,
	"cut":     `<path d="M3 21L15 9M13 7l4 4M19 3l-2 3M21 8l-3 0M15 2l0 3"/>`,
	"look":    `<path d="M10 4a6 6 0 1 1 0 12 6 6 0 0 1 0-12zM14.5 14.5L21 21"/>`,
	"clock":   `<path d="M12 3a9 9 0 1 1 0 18 9 9 0 0 1 0-18zM12 7v5l4 3"/>`,
	"crack":   `<path d="M12 2l-3 6 5 3-5 4 4 3-2 4"/>`,
	"hand":    `<path d="M4 19c3-6 5-12 7-12s-2 10 1 10 3-5 5-5 0 4 4 3M4 21h16"/>`,
	"machine": `<path d="M3 17h12V9H8L6 13H3zM15 11h3l3 6h-6M6 17a2.5 2.5 0 1 0 .1 0M16 17a2.5 2.5 0 1 0 .1 0"/>`,
	"person":  `<path d="M12 3a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM4 21c0-9 16-9 16 0"/>`,
	"shop":    `<path d="M3 9l3-5h12l3 5v11H3zM3 9h18M9 20v-6h6v6"/>`,
	"teach":   `<path d="M3 5c4-1 7 0 9 2 2-2 5-3 9-2v14c-4-1-7 0-9 2-2-2-5-3-9-2zM12 7v14"/>`,
	"list":    `<path d="M8 6h13M8 12h13M8 18h13M3 6h1M3 12h1M3 18h1"/>`,
	"plus":    `<path d="M12 4v16M4 12h16"/>`,
	"call":    `<path d="M5 3h4l2 5-3 2c1 3 3 5 6 6l2-3 5 2v4c-8 4-20-8-16-16z"/>`,
	"print":   `<path d="M7 8V3h10v5M7 17H3V8h18v9h-4M7 14h10v7H7z"/>`,
	"back":    `<path d="M14 5l-7 7 7 7"/>`,
	"next":    `<path d="M10 5l7 7-7 7"/>`,
	"key":     `<path d="M8 8a4.5 4.5 0 1 1 0 9 4.5 4.5 0 0 1 0-9zM12 12.5h10M18 12.5v4"/>`,
	"fire":    `<path d="M12 2c1 5 6 7 6 12a6 6 0 0 1-12 0c0-3 2-4 2-7 2 1 3 2 3 4 1-2 2-5 1-9z"/>`,
	"money":   `<path d="M3 6h18v12H3zM12 9a3 3 0 1 1 0 6 3 3 0 0 1 0-6zM6 9v0M18 15v0"/>`,
	"swap":    `<path d="M3 8h16M14 3l5 5-5 5M21 16H5M10 11l-5 5 5 5"/>`,
	"lock":    `<path d="M5 11h14v10H5zM8 11V7a4 4 0 0 1 8 0v4"/>`,
}

// icon gives a drawing beside a word; it says nothing by itself. The drawings
// stand once at the foot of the page.
func icon(name string) template.HTML {
	if icons[name] == "" {
		return ""
	}
	return template.HTML(`<svg class="i" aria-hidden="true"><use href="#i-` + name + `"/></svg>`)
}

// sprite is every drawing once.
var sprite = sync.OnceValue(func() template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="sprite" aria-hidden="true">`)
	for _, name := range slices.Sorted(maps.Keys(icons)) {
		b.WriteString(`<symbol id="i-` + name + `" viewBox="0 0 24 24">` + icons[name] + `</symbol>`)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
})
