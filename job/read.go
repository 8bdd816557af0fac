package job

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// Read reads a job from YAML (or JSON, which is YAML). The name is for messages.
// An error is a *Fault.
func Read(name string, data []byte) (Job, error) {
	var j Job
	r, body, err := open(name, data)
	if err != nil {
		return j, err
	}
	if err := r.findUnits(body); err != nil {
		return j, err
	}
	body, item, err := r.splitTopLevelItem(body)
	if err != nil {
		return j, err
	}
	if err := r.structure(reflect.ValueOf(&j).Elem(), body, ""); err != nil {
		return j, err
	}
	if item != nil {
		var it Item
		if err := r.fields(reflect.ValueOf(&it).Elem(), item, "", nil); err != nil {
			return j, err
		}
		j.Items = []Item{it}
		r.topLevelItem = true
	}
	if err := checkVersion(r, j.Version); err != nil {
		return j, err
	}
	j.Version = Version
	if len(j.Items) == 0 {
		return j, &Fault{File: name, Text: "no damaged place: give at least part, thickness and crack, or a list of items"}
	}
	if len(j.Items) > MaxItems {
		return j, r.fault("items", fmt.Sprintf("%d damaged places; a job has at most %d: put the others into a job of their own", len(j.Items), MaxItems))
	}
	return j, r.check(j)
}

// ReadShop reads the shop file. An error is a *Fault.
func ReadShop(name string, data []byte) (Shop, error) {
	var s Shop
	r, err := readInto(name, data, &s)
	if err != nil {
		return s, err
	}
	if err := checkVersion(r, s.Version); err != nil {
		return s, err
	}
	s.Version = Version
	return s, r.checkShop(s)
}

// readInto fills a struct from the top level of a file.
func readInto[T any](name string, data []byte, v *T) (*reader, error) {
	r, body, err := open(name, data)
	if err != nil {
		return nil, err
	}
	if err := r.findUnits(body); err != nil {
		return nil, err
	}
	return r, r.structure(reflect.ValueOf(v).Elem(), body, "")
}

func checkVersion(r *reader, v int) error {
	if v == 0 || v == Version {
		return nil
	}
	return r.fault("version", fmt.Sprintf("version %d is not known to this build; it reads version %d", v, Version))
}

// least is what an empty file lacks.
const least = "a job needs at least machine, part, thickness and crack, a shop or actuals file one field"

// place is where a field was written.
type place struct{ line, column int }

// reader walks the syntax tree of one file and remembers where each field stood.
type reader struct {
	file         string
	units        Units
	places       map[string]place
	topLevelItem bool // the item's fields stand at the top level of the file
}

func (r *reader) fault(path, text string) error {
	p, ok := r.places[path]
	if !ok && r.topLevelItem {
		path = strings.TrimPrefix(path, "items[0].")
		p = r.places[path]
	}
	for q := path; p.line == 0 && strings.Contains(q, "."); p = r.places[q] {
		q = q[:strings.LastIndex(q, ".")]
	}
	return &Fault{r.file, p.line, p.column, path, text}
}

func (r *reader) faultAt(n ast.Node, path, text string) error {
	t := n.GetToken()
	if t == nil || t.Position == nil {
		return &Fault{r.file, 0, 0, path, text}
	}
	return &Fault{r.file, t.Position.Line, t.Position.Column, path, text}
}

// open checks that the data is text of a sensible size and gives its top-level fields.
func open(name string, data []byte) (*reader, []*ast.MappingValueNode, error) {
	r := &reader{file: name, places: map[string]place{}}
	switch {
	case len(data) > MaxSize:
		return nil, nil, &Fault{File: name, Text: fmt.Sprintf("the file has %d bytes; a job or shop file has at most %d", len(data), MaxSize)}
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		at := bytes.IndexByte(data, 0)
		if at < 0 {
			at = firstInvalid(data)
		}
		line := 1 + bytes.Count(data[:at], []byte("\n"))
		column := at - bytes.LastIndexByte(data[:at], '\n')
		return nil, nil, &Fault{name, line, column, "", "this is not a text file; a job or shop file is YAML text in UTF-8"}
	case len(bytes.TrimSpace(data)) == 0:
		return nil, nil, &Fault{File: name, Line: 1, Column: 1, Text: "the file is empty; " + least}
	}
	if line, column, found := tooDeep(data); found {
		return nil, nil, &Fault{name, line, column, "", fmt.Sprintf("more than %d groups within each other; a job or shop file has a few", maxNesting)}
	}
	file, err := parse(data)
	if err != nil {
		return nil, nil, syntaxFault(name, err)
	}
	var docs []ast.Node
	for _, d := range file.Docs {
		if d.Body != nil && d.Body.Type() != ast.CommentType {
			docs = append(docs, d.Body)
		}
	}
	if len(docs) == 0 {
		return nil, nil, &Fault{File: name, Line: 1, Column: 1, Text: "the file has only comments; " + least}
	}
	if len(docs) > 1 {
		return nil, nil, r.faultAt(docs[1], "", "a second document in one file; put each job in a file of its own")
	}
	body, err := r.mapping(docs[0], "")
	return r, body, err
}

// parse turns a panic of the parser on strange input into an error.
func parse(data []byte) (file *ast.File, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = errors.New("this is not YAML")
		}
	}()
	return parser.ParseBytes(data, 0)
}

func firstInvalid(data []byte) int {
	at := 0
	for at < len(data) {
		c, n := utf8.DecodeRune(data[at:])
		if c == utf8.RuneError && n <= 1 {
			break
		}
		at += n
	}
	return at
}

func syntaxFault(name string, err error) error {
	var syntax *yaml.SyntaxError
	if errors.As(err, &syntax) && syntax.Token != nil && syntax.Token.Position != nil {
		p := syntax.Token.Position
		return &Fault{name, p.Line, p.Column, "", "not YAML here: " + oneLine(syntax.Message) + "; expected lines of the form  key: value"}
	}
	return &Fault{File: name, Line: 1, Column: 1, Text: "not YAML: " + oneLine(err.Error()) + "; expected lines of the form  key: value"}
}

// oneLine keeps the first line of a message.
func oneLine(s string) string {
	s, _, _ = strings.Cut(s, "\n")
	return strings.TrimSpace(s)
}

// mapping gives the entries of a node that must be a list of key: value lines.
func (r *reader) mapping(n ast.Node, path string) ([]*ast.MappingValueNode, error) {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values, nil
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}, nil
	}
	return nil, r.faultAt(n, path, "expected lines of the form  key: value")
}

// findUnits reads the units key before anything else, since bare numbers depend on it.
func (r *reader) findUnits(body []*ast.MappingValueNode) error {
	for _, v := range body {
		if keyOf(v) == "units" {
			r.note("units", v.Key)
			return r.value(reflect.ValueOf(&r.units).Elem(), v.Value, "units", "")
		}
	}
	return nil
}

// splitTopLevelItem separates the fields of a single item written at the top level.
func (r *reader) splitTopLevelItem(body []*ast.MappingValueNode) (job, item []*ast.MappingValueNode, err error) {
	jobKeys, itemKeys := keysOf(reflect.TypeFor[Job]()), keysOf(reflect.TypeFor[Item]())
	var items bool
	for _, v := range body {
		k := keyOf(v)
		switch {
		case has(jobKeys, k) || !has(itemKeys, k):
			job = append(job, v)
			items = items || k == "items"
		default:
			item = append(item, v)
		}
	}
	if items && item != nil {
		return nil, nil, r.faultAt(item[0].Key, keyOf(item[0]), "stands at the top level beside a list of items; put it into one of the items")
	}
	return job, item, nil
}

func has(list []string, s string) bool {
	for _, l := range list {
		if l == s {
			return true
		}
	}
	return false
}

// keyOf gives the key as we compare it: lower case, spaces and hyphens as underscores.
func keyOf(v *ast.MappingValueNode) string {
	return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(scalarText(v.Key)))
}

func keysOf(t reflect.Type) []string {
	var keys []string
	for f := range t.Fields() {
		if k := f.Tag.Get("yaml"); k != "" {
			keys = append(keys, k)
		}
	}
	return keys
}

func (r *reader) note(path string, n ast.Node) {
	if t := n.GetToken(); t != nil && t.Position != nil {
		r.places[path] = place{t.Position.Line, t.Position.Column}
	}
}

// structure fills a struct from the entries of a mapping.
func (r *reader) structure(v reflect.Value, body []*ast.MappingValueNode, path string) error {
	known := keysOf(v.Type())
	if v.Type() == reflect.TypeFor[Job]() {
		known = append(known, keysOf(reflect.TypeFor[Item]())...)
	}
	return r.fields(v, body, path, known)
}

func (r *reader) fields(v reflect.Value, body []*ast.MappingValueNode, path string, known []string) error {
	if known == nil {
		known = keysOf(v.Type())
	}
	seen := map[string]bool{}
	for _, entry := range body {
		key := keyOf(entry)
		full := join(path, key)
		index := fieldIndex(v.Type(), key)
		if index < 0 {
			return r.unknownKey(entry, path, known)
		}
		if seen[key] {
			return r.faultAt(entry.Key, full, "is given twice; keep one")
		}
		seen[key] = true
		r.note(full, entry.Value)
		f := v.Type().Field(index)
		if err := r.value(v.Field(index), entry.Value, full, f.Tag); err != nil {
			return err
		}
	}
	return nil
}

func fieldIndex(t reflect.Type, key string) int {
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("yaml") == key {
			return i
		}
	}
	return -1
}

func (r *reader) unknownKey(entry *ast.MappingValueNode, path string, known []string) error {
	written := scalarText(entry.Key)
	text := fmt.Sprintf("%q is not a known field", written)
	if near := nearest(keyOf(entry), known); near != "" {
		text += fmt.Sprintf("; did you mean %q?", near)
	} else {
		text += "; known here: " + strings.Join(known, ", ")
	}
	return r.faultAt(entry.Key, path, text)
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
