package book

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"soundmetal/job"
)

// Facts are what is known of a job, as it was typed: paths of the job file to
// texts. Damaged places have ids of their own, so that two devices may each add
// one.
type Facts struct {
	Set   map[string]string
	Items []ItemFacts      // in the order in which they were first named
	Taken map[string]Taken `json:",omitempty"` // by path: taken over from an earlier job, and not changed since
}

// ItemFacts are the facts of one damaged place; paths are those below the item.
type ItemFacts struct {
	ID      string
	Set     map[string]string
	Dropped bool             // no longer to be repaired
	Taken   map[string]Taken `json:",omitempty"`
}

// Limits of what is typed: far beyond any job, so that a form cannot fill the book.
const (
	maxPath  = 80
	maxText  = 2000
	maxIndex = 63
	maxItems = 30
)

var pathForm = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*(\[[0-9]{1,2}\]|\.[A-Za-z][A-Za-z0-9_]*){0,7}$`)

// checkFields refuses a field that no file has.
func checkFields(set map[string]string) error {
	for _, path := range slices.Sorted(maps.Keys(set)) {
		if err := checkField(path, set[path]); err != nil {
			return err
		}
	}
	return nil
}

func checkField(path, text string) error {
	switch {
	case len(path) > maxPath || !pathForm.MatchString(path):
		return refuse(CodeField, clipped(path), "%q is not the path of a field; site.wind or crack.length are", clipped(path))
	case len(text) > maxText:
		return refuse(CodeField, path, "the text has %d bytes; up to %d are accepted", len(text), maxText)
	case !utf8.ValidString(text):
		return refuse(CodeField, path, "this is not text in UTF-8")
	}
	for _, index := range strings.Split(path, "[")[1:] {
		digits, _, _ := strings.Cut(index, "]")
		if n, err := strconv.Atoi(digits); err != nil || n > maxIndex {
			return refuse(CodeField, path, "a list has at most %d rows", maxIndex+1)
		}
	}
	return nil
}

func clipped(s string) string {
	if len(s) > maxPath {
		return s[:maxPath] + "..."
	}
	return s
}

// Get gives the text of a job-level fact.
func (f *Facts) Get(path string) string { return f.Set[path] }

// Item gives the facts of a place.
func (f *Facts) Item(id string) (ItemFacts, bool) {
	i := f.find(id)
	if i < 0 {
		return ItemFacts{}, false
	}
	return f.Items[i], true
}

func (f *Facts) find(id string) int {
	return slices.IndexFunc(f.Items, func(it ItemFacts) bool { return it.ID == id })
}

// standing gives the places that are to be repaired.
func (f *Facts) standing() []ItemFacts {
	return slices.DeleteFunc(slices.Clone(f.Items), func(it ItemFacts) bool { return it.Dropped })
}

// with gives the facts after a change; f stays as it is.
func (f *Facts) with(s FactsSet) Facts {
	out := Facts{Set: merge(f.Set, s.Set), Items: slices.Clone(f.Items), Taken: unchanged(f.Taken, s.Set)}
	for _, it := range s.Items {
		if i := out.find(it.ID); i >= 0 {
			out.Items[i].Set = merge(out.Items[i].Set, it.Set)
			out.Items[i].Taken = unchanged(out.Items[i].Taken, it.Set)
			out.Items[i].Dropped = false
		} else {
			out.Items = append(out.Items, ItemFacts{ID: it.ID, Set: merge(nil, it.Set)})
		}
	}
	for _, t := range s.Taken {
		at, set := &out.Taken, out.Set
		if i := out.find(t.Item); i >= 0 {
			at, set = &out.Items[i].Taken, out.Items[i].Set
		} else if t.Item != "" {
			continue
		}
		for _, path := range t.Paths {
			if set[path] == "" {
				continue
			}
			if *at == nil {
				*at = map[string]Taken{}
			}
			(*at)[path] = Taken{Job: t.Job, Name: t.Name, When: t.When, Item: t.Item, Paths: []string{path}}
		}
	}
	for _, id := range s.Drop {
		if i := out.find(id); i >= 0 {
			out.Items[i].Dropped = true
		}
	}
	return out
}

// unchanged leaves out what a change has set anew.
func unchanged(taken map[string]Taken, set map[string]string) map[string]Taken {
	var out map[string]Taken
	for path, t := range taken {
		if _, changed := set[path]; changed {
			continue
		}
		if out == nil {
			out = map[string]Taken{}
		}
		out[path] = t
	}
	return out
}

// merge gives a copy with the changes; an empty text takes a field out. What no
// form can have set, but a strange entry may, is passed over.
func merge(old, set map[string]string) map[string]string {
	out := make(map[string]string, len(old)+len(set))
	maps.Copy(out, old)
	for path, text := range set {
		switch {
		case strings.TrimSpace(text) == "":
			delete(out, path)
		case checkField(path, text) == nil:
			out[path] = text
		}
	}
	return out
}

// Document is the job file of the facts, in JSON, which the job room reads as it
// reads YAML. ids are the places in the document's order.
func (f *Facts) Document() (document []byte, ids []string, err error) {
	tree := grow(f.Set)
	items := f.standing()
	var list []any
	for _, it := range items {
		fields := grow(it.Set).value()
		if fields == nil {
			fields = map[string]any{}
		}
		list = append(list, fields)
		ids = append(ids, it.ID)
	}
	top, _ := tree.value().(map[string]any)
	if top == nil {
		top = map[string]any{}
	}
	if list != nil {
		top["items"] = list
	}
	top["version"] = strconv.Itoa(job.Version)
	document, err = encode(top)
	return document, ids, err
}

// Job reads the facts as a job. Where there is no damaged place yet, ok is
// false and the other facts are still checked. The error is a *Refusal that
// names the field; that of a place begins with its id.
func (f *Facts) Job() (j job.Job, ids []string, ok bool, err error) {
	checked := f
	empty := len(f.standing()) == 0
	if empty { // a job file needs a place; a nameless one lets the rest be read
		checked = &Facts{Set: f.Set, Items: []ItemFacts{{ID: "none", Set: map[string]string{"name": "not named"}}}}
	}
	document, ids, err := checked.Document()
	if err != nil {
		return job.Job{}, nil, false, err
	}
	j, err = job.Read("job", document)
	if err != nil {
		return job.Job{}, nil, false, refusalOf(err, ids)
	}
	if empty {
		j.Items = nil
		return j, nil, false, nil
	}
	return j, ids, true, nil
}

// refusalOf turns a fault of the job file into one of a form.
func refusalOf(err error, ids []string) error {
	var fault *job.Fault
	if !errors.As(err, &fault) {
		return err
	}
	field := fault.Field
	for i, id := range ids {
		if rest, ok := strings.CutPrefix(field, fmt.Sprintf("items[%d]", i)); ok {
			field = id + rest
		}
	}
	text := fault.Text
	if field != "" {
		text = field[strings.LastIndex(field, ".")+1:] + ": " + text
	}
	return &Refusal{Code: CodeField, Field: field, Text: text}
}

// branch is one level of a document.
type branch map[string]any

// grow makes the document of fields. In order, so that of two paths that cannot
// both be (a and a.b) always the same one holds.
func grow(set map[string]string) branch {
	tree := branch{}
	for _, path := range slices.Sorted(maps.Keys(set)) {
		tree.put(path, set[path])
	}
	return tree
}

// put sets the text at a path such as power[0].duty[1].amps.
func (b branch) put(path, text string) {
	var keys []string
	for _, part := range strings.Split(path, ".") {
		name, rest, _ := strings.Cut(part, "[")
		keys = append(keys, name)
		for rest != "" {
			var index string
			index, rest, _ = strings.Cut(rest, "]")
			keys = append(keys, "["+index)
			rest = strings.TrimPrefix(rest, "[")
		}
	}
	at := b
	for _, k := range keys[:len(keys)-1] {
		next, ok := at[k].(branch)
		if !ok {
			next = branch{}
			at[k] = next
		}
		at = next
	}
	at[keys[len(keys)-1]] = text
}

// value turns the branch into a map, or into a list where its keys are indexes;
// rows left out close up.
func (b branch) value() any {
	if len(b) == 0 {
		return nil
	}
	keys := slices.Collect(maps.Keys(b))
	list := !slices.ContainsFunc(keys, func(k string) bool { return k[0] != '[' })
	of := func(k string) any {
		if next, ok := b[k].(branch); ok {
			return next.value()
		}
		return b[k]
	}
	if list {
		index := func(k string) int { n, _ := strconv.Atoi(k[1:]); return n }
		slices.SortFunc(keys, func(x, y string) int { return index(x) - index(y) })
		all := make([]any, 0, len(keys))
		for _, k := range keys {
			all = append(all, of(k))
		}
		return all
	}
	all := make(map[string]any, len(keys))
	for _, k := range keys {
		all[k] = of(k)
	}
	return all
}

// shopDocument is the shop file of fields as they were typed.
func shopDocument(set map[string]string) ([]byte, error) {
	v := grow(set).value()
	if v == nil {
		return nil, nil
	}
	return encode(v)
}

// readShop reads typed fields as a shop; nil where nothing is typed.
func readShop(set map[string]string) (*job.Shop, error) {
	document, err := shopDocument(set)
	if err != nil || document == nil {
		return nil, err
	}
	s, err := job.ReadShop("shop", document)
	if err != nil {
		return nil, refusalOf(err, nil)
	}
	return &s, nil
}
