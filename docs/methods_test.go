package docs

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soundmetal/calc"
	"soundmetal/sheet"
)

const generated = "<!-- written by make docs from the code; do not edit -->\n"

// Every method has a page made from the code, and no other page is there.
func TestMethodPagesAreCurrent(t *testing.T) {
	known := map[string]bool{"README.md": true}
	var index strings.Builder
	index.WriteString(generated + "# The methods\n\nOne page each: what it takes, its formula, where it holds, an example with its working, its source and why it matters. " +
		"On the command line: `soundmetal calc METHOD name=value ...` (see [commands](../commands.md)).\n\n" +
		"The status says how sure we are of the source: *read* in a public copy, *from memory*, *common practice*, *derived* here from the formula shown, *judgement* of our own. " +
		"One figure may rest on several sources; its page names them all.\n\n| method | what it gives | status of its example |\n|---|---|---|\n")
	for _, m := range calc.List() {
		o, err := calc.Run(m.ID, m.Example)
		if err != nil {
			t.Fatal(err)
		}
		current(t, "methods/"+m.ID+".md", methodPage(m, o))
		known[m.ID+".md"] = true
		fmt.Fprintf(&index, "| [%s](%s.md) | %s | %s |\n", m.ID, m.ID, m.Title, o.Status)
	}
	current(t, "methods/README.md", index.String())
	pages, err := filepath.Glob("methods/*")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pages {
		if known[filepath.Base(p)] {
			continue
		}
		if !*update {
			t.Errorf("docs/%s belongs to no method; run `make docs`", p)
		} else if err := os.Remove(p); err != nil {
			t.Error(err)
		}
	}
}

func methodPage(m calc.Method, o calc.Outcome) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s# %s\n\n%s.\n\n## What it takes\n\n| value | what | a plain number is in | left out |\n|---|---|---|---|\n", generated, m.ID, m.Title)
	for _, p := range m.AllParams() {
		what, out := p.Doc, "must be given"
		if p.Words != nil {
			what += ": " + strings.Join(p.Words, ", ")
		}
		switch {
		case p.Default != "":
			out = "counts as " + p.Default
		case m.Composition && p.Kind == percentKind && p.Option && len(p.Name) <= 2 && p.Name != "N":
			out = "counts as 0"
		case p.Option:
			out = "may be left out"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", p.Name, cell(what), p.Unit, out)
	}
	b.WriteString("\nWith a unit a value is converted: `d=2in`, `T0=300F`.\n\n## Formula\n\n")
	if o.Formula != "" {
		fmt.Fprintf(&b, "    %s\n", o.Formula)
	} else {
		b.WriteString("No formula: a table or rules, named under the source.\n")
	}
	fmt.Fprintf(&b, "\n## Where it holds\n\n%s\n\n## Example\n\n```\n$ soundmetal calc %s %s\n%s```\n", m.Limits, m.ID, strings.Join(m.Example, " "), sheet.Working(o))
	fmt.Fprintf(&b, "\n## Source\n\n- %s [%s]\n", o.Source, o.Status)
	for _, a := range o.Also {
		fmt.Fprintf(&b, "- also %s\n", a)
	}
	fmt.Fprintf(&b, "\n## Why\n\n%s\n\n## If it is skipped\n\n%s\n", o.Why, o.Skip)
	return b.String()
}

// cell makes a text fit for a cell of a table.
func cell(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
