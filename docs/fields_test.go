package docs

import (
	"encoding"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/govalues/decimal"

	"soundmetal/calc"
	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/price"
	q "soundmetal/quantity"
)

var percentKind = q.KindOf[q.Percent]()

func TestJobFormatIsCurrent(t *testing.T) {
	page := read(t, "job-format.md")
	f := &files{done: map[reflect.Type]bool{}}
	f.table("The job file", reflect.TypeFor[job.Job]())
	page = fill(t, page, "fields of the job file", f.b.String())
	f.b.Reset()
	f.table("The shop file", reflect.TypeFor[job.Shop]())
	page = fill(t, page, "fields of the shop file", f.b.String())
	page = fill(t, page, "words", f.wordTable())
	current(t, "job-format.md", page)
}

// files writes the tables of what a person writes.
type files struct {
	b       strings.Builder
	done    map[reflect.Type]bool
	choices []wordList
}

// wordList is a choice with the name of the field where it is met first.
type wordList struct {
	field string
	t     reflect.Type
}

var choice = reflect.TypeFor[job.Choice]()

func (f *files) table(title string, t reflect.Type) {
	f.done[t] = true
	fmt.Fprintf(&f.b, "### %s\n\n| field | what | written as | plausible |\n|---|---|---|---|\n", title)
	type sub struct {
		title string
		t     reflect.Type
	}
	var subs []sub
	for field := range t.Fields() {
		name := field.Tag.Get("yaml")
		if name == "" {
			continue
		}
		as := f.written(name, field.Type, field.Tag)
		elem := field.Type
		if elem.Kind() == reflect.Slice {
			elem = elem.Elem()
		}
		if group(elem) {
			as = "group `" + name + "`"
			if field.Type.Kind() == reflect.Slice {
				as = "list of groups"
			}
			if short := field.Tag.Get("short"); short != "" {
				as += ", or just its `" + short + "`"
			}
			if !f.done[elem] {
				subs = append(subs, sub{"`" + name + "`: " + strings.TrimSuffix(field.Tag.Get("doc"), "?"), elem})
			}
		}
		fmt.Fprintf(&f.b, "| `%s` | %s | %s | %s |\n", name, cell(field.Tag.Get("doc")), as, strings.Replace(field.Tag.Get("sane"), "..", " to ", 1))
	}
	f.b.WriteString("\n")
	for _, s := range subs {
		f.table(s.title, s.t)
	}
}

// group says that a type is a group of fields.
func group(t reflect.Type) bool {
	if t.Kind() != reflect.Struct {
		return false
	}
	_, maybe := t.FieldByName("Known")
	return !maybe
}

func (f *files) written(field string, t reflect.Type, tag reflect.StructTag) string {
	if t.Implements(choice) {
		if t == reflect.TypeFor[job.Answer]() {
			return "yes or no"
		}
		if !f.done[t] {
			f.done[t] = true
			f.choices = append(f.choices, wordList{field, t})
		}
		return "[word](#words)"
	}
	switch t.Kind() {
	case reflect.Struct:
		return f.written(field, t.Field(0).Type, tag)
	case reflect.Slice:
		return "list of " + f.written(field, t.Elem(), tag)
	case reflect.Map:
		return "lines of element: %"
	case reflect.Int:
		return "whole number"
	case reflect.String:
		return "text"
	}
	if t.PkgPath() == "" {
		return "number"
	}
	as := strings.ToLower(t.Name())
	if bare := tag.Get("bare"); bare != "" {
		us, si, _ := strings.Cut(bare, ",")
		switch {
		case us == "" && si == "":
			as += "; always with its unit"
		case us == si:
			as += "; a bare number is " + us
		default:
			as += "; a bare number is " + us + " (us) or " + si + " (si)"
		}
	}
	return as
}

func (f *files) wordTable() string {
	var b strings.Builder
	b.WriteString("| field | word | also read |\n|---|---|---|\n")
	for _, c := range f.choices {
		for i, w := range reflect.Zero(c.t).Interface().(job.Choice).Words() {
			name := ""
			if i == 0 {
				name = "`" + c.field + "`"
			}
			fmt.Fprintf(&b, "| %s | `%s` | %s |\n", name, w.Value, strings.Join(w.Also, ", "))
		}
	}
	return b.String()
}

func TestPlanFormatIsCurrent(t *testing.T) {
	page := read(t, "plan-format.md")
	w := &written{t: t, done: map[reflect.Type]bool{}, comments: map[string]map[string]string{}}
	w.table(reflect.TypeFor[plan.Plan]())
	current(t, "plan-format.md", fill(t, page, "fields of the plan", w.b.String()))
}

func TestCalcFormatIsCurrent(t *testing.T) {
	page := read(t, "commands.md")
	w := &written{t: t, done: map[reflect.Type]bool{}, comments: map[string]map[string]string{}}
	w.table(reflect.TypeFor[calc.Outcome]())
	current(t, "commands.md", fill(t, page, "fields of an answer", w.b.String()))
}

// written writes the tables of what the program writes as JSON.
type written struct {
	t        *testing.T
	b        strings.Builder
	done     map[reflect.Type]bool
	comments map[string]map[string]string // package folder, Type.Field: its comment
}

func (w *written) table(t reflect.Type) {
	w.done[t] = true
	fmt.Fprintf(&w.b, "### %s\n\n| field | type | what |\n|---|---|---|\n", heading(t))
	var subs []reflect.Type
	for _, f := range reflect.VisibleFields(t) { // those of embedded structs stand among its own
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		of := t
		if len(f.Index) > 1 {
			of = t.FieldByIndex(f.Index[:len(f.Index)-1]).Type
		}
		doc := said[of.String()+"."+f.Name]
		if doc == "" {
			doc = f.Tag.Get("doc")
		}
		if doc == "" {
			doc = w.comment(of, f.Name)
		}
		if doc == "" {
			doc = strings.ReplaceAll(name, "_", " ")
		}
		if options != "" && !strings.Contains(doc, "absent") {
			doc += " (may be absent)"
		}
		fmt.Fprintf(&w.b, "| `%s` | %s | %s |\n", name, typeText(f.Type), cell(doc))
		for e := f.Type; ; e = e.Elem() {
			if k := e.Kind(); k != reflect.Pointer && k != reflect.Slice {
				if k == reflect.Struct && !isRange(e) && !w.done[e] && !asText(e) {
					w.done[e] = true
					subs = append(subs, e)
				}
				break
			}
		}
	}
	w.b.WriteString("\n")
	for _, s := range subs {
		w.table(s)
	}
}

// said are fields whose comment in the code is for its readers, or missing.
var said = map[string]string{
	"source.Basis.Title":       "what the figure is, in a line",
	"source.Basis.Inputs":      "the figures that went in",
	"source.Basis.Steps":       "the working, line by line",
	"source.Basis.Ref":         "where the method is from",
	"source.Input.Name":        "what it is",
	"source.Step.Name":         "what this line gives",
	"source.Step.Formula":      "in symbols",
	"source.Step.With":         "with the figures put in",
	"source.Step.Value":        "its value, in `unit`",
	"source.Step.Unit":         "unit of `value`, as in the formula",
	"source.Ref.Key":           "key of the publication in source/sources.csv",
	"source.Ref.Status":        "read, from memory, common practice, derived or judgement",
	"plan.Figure.Value":        "value in `unit`; absent for a band",
	"plan.Figure.Low":          "lower end of a band, in `unit`",
	"plan.Figure.High":         "upper end of a band, in `unit`",
	"joint.Excavation.Depth":   "depth of the first side",
	"joint.Excavation.Through": "whether the crack goes through",
	"joint.Excavation.Groove":  "the groove of the first side, with that of the second in it",
	"joint.Excavation.Root":    "how the root is made",
	"joint.Excavation.Section": "section of all sides, without cap",
	"joint.Excavation.Volume":  "metal to put back, without cap",
	"joint.Excavation.Mass":    "its mass",
	"joint.Groove.Shape":       "single-v, single-bevel, single-u, single-j or square",
	"joint.Groove.RootFace":    "land at the root, part of `depth`",
	"joint.Groove.Thickness":   "thickness of the part",
	"joint.Groove.Backing":     "kind of backing",
	"joint.Groove.TopWidth":    "width at the face",
	"calc.Outcome.Method":      "id of the method",
	"calc.Outcome.Title":       "what it gives, in a line",
	"calc.Outcome.Result":      "the answer; absent where the method does not apply",
	"calc.Outcome.Inputs":      "the figures that went in",
	"calc.Outcome.Formula":     "the whole formula on one line",
	"calc.Outcome.Steps":       "the working, line by line; may be empty",
	"calc.Outcome.Source":      "publication with edition and place",
	"calc.Outcome.Also":        "further sources, each with its status",
	"calc.Outcome.Status":      "read, from memory, common practice, derived or judgement",
	"calc.Outcome.Applies":     "whether the method answers",
	"calc.Outcome.Limit":       "what put it out of its range, with the limit",
	"calc.Outcome.Notes":       "limits, doubts, what was assumed",
	"calc.Outcome.Why":         "one sentence for the apprentice",
	"calc.Outcome.Skip":        "what happens if he skips it",
	"calc.Figure.Value":        "the number, in `unit`",
	"calc.Figure.Unit":         "unit of the numbers",
	"calc.Figure.Low":          "lower end, where the answer is a band",
	"calc.Figure.High":         "upper end",
	"calc.Figure.Text":         "the answer as a welder reads it",
}

func isRange(t reflect.Type) bool { return strings.HasPrefix(t.Name(), "Of[") }

// heading is the name of a group: bead, step.
func heading(t reflect.Type) string { return strings.ToLower(t.Name()) }

// asText says that a type is written as text.
func asText(t reflect.Type) bool { return t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) }

func typeText(t reflect.Type) string {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t {
	case reflect.TypeFor[price.Amount]():
		return "amount"
	case reflect.TypeFor[decimal.Decimal]():
		return "decimal number as text"
	}
	if asText(t) {
		return "word"
	}
	switch t.Kind() {
	case reflect.Slice:
		return "list of " + typeText(t.Elem())
	case reflect.Array:
		return fmt.Sprintf("%d × %s", t.Len(), typeText(t.Elem()))
	case reflect.Struct:
		if isRange(t) {
			return "`low`, `high`"
		}
		return "[" + heading(t) + "](#" + heading(t) + ")"
	case reflect.Float64:
		return "number"
	case reflect.Int:
		return "whole number"
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text"
	}
	panic("docs: no words for " + t.String())
}

// comment gives the comment of a field in the source of its package.
func (w *written) comment(t reflect.Type, field string) string {
	dir := "../" + strings.TrimPrefix(t.PkgPath(), "soundmetal/")
	if w.comments[dir] == nil {
		w.comments[dir] = commentsOf(w.t, dir)
	}
	return w.comments[dir][t.Name()+"."+field]
}

func commentsOf(t *testing.T, dir string) map[string]string {
	all := map[string]string{}
	paths, err := filepath.Glob(dir + "/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.TypeSpec)
			if !ok {
				return true
			}
			if s, ok := spec.Type.(*ast.StructType); ok {
				for _, f := range s.Fields.List {
					for _, name := range f.Names {
						text := f.Comment.Text()
						if text == "" {
							text = f.Doc.Text()
						}
						all[spec.Name.Name+"."+name.Name] = strings.Join(strings.Fields(text), " ")
					}
				}
			}
			return true
		})
	}
	return all
}
