//go:build !js

package web

import (
	"html/template"
	"io/fs"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soundmetal/book"
	"soundmetal/calc"
)

// Every page renders with the demo book, and says nothing that no page may say.
func TestEveryPage(t *testing.T) {
	d := demoDesk(t)
	paths := []string{"/", "/?status=all", "/?status=closed", "/?q=tipper", "/new", "/due", "/machines", "/customers", "/explain", "/shop", "/shop/file", "/settings", "/take-in", "/clear-demo", "/customer", "/party"}
	for _, m := range d.book.Registry().Machines() {
		paths = append(paths, "/machines/"+m.ID, "/party?id="+m.ID)
	}
	for _, c := range d.book.Registry().Customers() {
		paths = append(paths, "/customers/"+c.ID, "/customer?id="+c.ID)
	}
	for _, m := range calc.List() {
		paths = append(paths, "/explain/"+m.ID, "/explain/"+m.ID+"/sheet")
	}
	cards, _ := d.book.List(book.ListQuery{})
	for _, c := range cards {
		j, err := d.book.Job(t.Context(), c.ID)
		if err != nil {
			t.Fatal(err)
		}
		at := "/jobs/" + c.ID
		paths = append(paths, at, at+"/answer", at+"/papers", at+"/facts", at+"/facts/site", at+"/facts/machine", at+"/facts/customer", at+"/log", at+"/record", at+"/hand-over", at+"/change", at+"/plans/"+j.Plans[0].PlanMade.ID)
		for _, p := range j.Places {
			paths = append(paths, at+"/facts/"+p.ID)
		}
		for name := range jobActions {
			switch name {
			case "step":
				if len(j.Steps) > 0 {
					paths = append(paths, at+"/step?step="+j.Steps[0].ID, at+"/unknown?about="+j.Steps[0].ID)
				}
			case "hold", "override":
				for _, h := range j.Holds {
					paths = append(paths, at+"/"+name+"?hold="+h.ID)
				}
			case "unknown", "tin-away", "clear", "clock-stop", "check-in", "follow-up", "correct", "void", "drop-place":
			default:
				paths = append(paths, at+"/"+name)
			}
		}
	}
	for _, path := range paths {
		p := d.page(path)
		text := textOf(p.Body)
		for _, never := range []string{"<nil>", "%!", "ZgotmplZ", "{{", "guaranteed", "certified", "is safe"} {
			if strings.Contains(p.Body, never) {
				t.Errorf("%s says %q", path, never)
			}
		}
		if len(text) < 80 {
			t.Errorf("%s is all but empty: %q", path, text)
		}
		if strings.Contains(p.Body, " style=") || strings.Contains(p.Body, "onclick=") || regexp.MustCompile(`<script>|<style`).MatchString(p.Body) {
			t.Errorf("%s has inline style or script: the content security policy forbids it", path)
		}
		if c := p.Header.Get("Set-Cookie"); c != "" {
			t.Errorf("%s sets a cookie: the host's affair", path)
		}
		if n := len(p.Body) + len(Assets()["app.css"].Data) + len(Assets()["app.js"].Data) + len(Assets()["htmx.min.js"].Data); n > 150_000 {
			t.Errorf("%s weighs %d bytes with style and scripts; at most 150000", path, n)
		}
	}
	t.Logf("%d pages", len(paths))
}

// Every link of a page of the demo book leads to a page.
func TestEveryLink(t *testing.T) {
	d := demoDesk(t)
	j, all, closed := d.jobNamed("tipper"), everyKind(t, d), closedJob(t, d)
	seen := map[string]bool{}
	href := regexp.MustCompile(` (?:href|src)="([^"]+)"`)
	for _, path := range []string{"/", "/machines", "/shop", "/explain", "/jobs/" + j.ID, "/jobs/" + j.ID + "/answer", "/jobs/" + j.ID + "/facts", "/jobs/" + j.ID + "/log", "/jobs/" + j.ID + "/record", "/jobs/" + j.ID + "/papers", "/jobs/" + j.ID + "/plans/" + j.Plans[0].PlanMade.ID,
		"/due", "/customers", "/jobs/" + all.ID, "/jobs/" + all.ID + "/log", "/jobs/" + all.ID + "/heat", "/jobs/" + closed.ID, "/jobs/" + closed.ID + "/papers", "/jobs/" + closed.ID + "/record"} {
		for _, m := range href.FindAllStringSubmatch(d.page(path).Body, -1) {
			to := unescape(m[1])
			if strings.HasPrefix(to, "?") {
				to = path + to
			}
			if strings.HasPrefix(to, "#") || seen[to] {
				continue
			}
			seen[to] = true
			if p := d.get(to); p.Code != http.StatusOK {
				t.Errorf("%s: link %s: %d", path, to, p.Code)
			}
		}
	}
	for _, must := range []string{"/tin-away?tin=", "/follow-up?look=", "/clear?deviation="} {
		if !slices.ContainsFunc(slices.Collect(maps.Keys(seen)), func(to string) bool { return strings.Contains(to, must) }) {
			t.Errorf("no link with %s among them", must)
		}
	}
	t.Logf("%d links", len(seen))
}

func TestTemplatesParse(t *testing.T) {
	files, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	var names []string
	for _, file := range files {
		if name := strings.TrimSuffix(strings.TrimPrefix(file, "templates/"), ".html"); name != "base" && name != "parts" {
			names = append(names, name)
		}
	}
	for _, name := range names {
		tmpl, err := templateOf(name)
		if err != nil {
			t.Fatal(err)
		}
		if tmpl.Lookup("main") == nil {
			t.Errorf("%s has no main", name)
		}
		for _, one := range tmpl.Templates() {
			if one.Tree == nil && one.Name() != "base.html" && !strings.HasSuffix(one.Name(), ".html") && one.Name() != "base" {
				t.Errorf("%s: %s is called and not defined", name, one.Name())
			}
		}
	}
	var _ template.HTML = icon("done")
	for _, name := range names {
		data, err := templateFiles.ReadFile("templates/" + name + ".html")
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`icon "([a-z-]+)"`).FindAllStringSubmatch(string(data), -1) {
			if icons[m[1]] == "" {
				t.Errorf("%s: no icon %q", name, m[1])
			}
		}
	}
}

// What is asked for in place is the part alone.
func TestWhyInPlace(t *testing.T) {
	d := demoDesk(t)
	j := d.jobNamed("tipper")
	path := "/jobs/" + j.ID + "?why=f.1.heat.preheat"
	whole, part := d.page(path), d.part(path)
	if !strings.Contains(whole.Body, "<html") || strings.Contains(part.Body, "<html") {
		t.Error("the page has no frame, or the part has one")
	}
	for _, p := range []answered{whole, part} {
		p.has("Working, line by line", "Source:", "If you skip it:")
	}
}
