package web

import (
	"reflect"
	"strings"
	"sync"

	"soundmetal/job"
)

// Fields of the job file, by reflection: label, words and kind come from package
// job, so that a new fact there is a new field here.

// factKind is what is known of one path of a job or an item.
type factKind struct {
	doc   string
	words []string
	many  bool // a list of words
	value bool // a quantity
}

// Paths in the order in which package job lists them.
var jobPaths = sync.OnceValue(func() []string { return pathsOf(reflect.TypeFor[job.Job](), "") })
var itemPaths = sync.OnceValue(func() []string { return pathsOf(reflect.TypeFor[job.Item](), "") })

func pathsOf(t reflect.Type, prefix string) []string {
	known := factsOf(t)
	var all []string
	for f := range t.Fields() {
		name := f.Tag.Get("yaml")
		if name == "" {
			continue
		}
		if _, ok := known[name]; ok {
			all = append(all, prefix+name)
		} else if f.Type.Kind() == reflect.Struct {
			all = append(all, pathsOf(f.Type, prefix+name+".")...)
		}
	}
	return all
}

var jobFacts = sync.OnceValue(func() map[string]factKind { return factsOf(reflect.TypeFor[job.Job]()) })
var itemFacts = sync.OnceValue(func() map[string]factKind { return factsOf(reflect.TypeFor[job.Item]()) })

// factsOf lists the fields of a struct by path, those of structs within it too.
func factsOf(t reflect.Type) map[string]factKind {
	all := map[string]factKind{}
	factsBelow(all, t, "")
	return all
}

var choiceType = reflect.TypeFor[job.Choice]()

func factsBelow(all map[string]factKind, t reflect.Type, prefix string) {
	for f := range t.Fields() {
		name := f.Tag.Get("yaml")
		if name == "" {
			continue
		}
		path, k := prefix+name, factKind{doc: f.Tag.Get("doc")}
		switch {
		case f.Type.Implements(choiceType):
			k.words = wordsOf(f.Type)
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Implements(choiceType):
			k.words, k.many = wordsOf(f.Type.Elem()), true
		case f.Type.Kind() == reflect.Struct && strings.HasPrefix(f.Type.Name(), "Maybe["):
			k.value = true
		case f.Type.Kind() == reflect.Struct:
			factsBelow(all, f.Type, path+".")
			continue
		case f.Type.Kind() == reflect.String, f.Type.Kind() == reflect.Int:
		default:
			continue // tables: analysis, contacts, items
		}
		all[path] = k
	}
}

func wordsOf(t reflect.Type) []string {
	var all []string
	for _, w := range reflect.Zero(t).Interface().(job.Choice).Words() {
		all = append(all, w.Value)
	}
	return all
}

// factField is the field of a fact. Prefix j. is the job, i. a damaged place.
func factField(name string) Field {
	path := name[2:]
	k, ok := jobFacts()[path], false
	if strings.HasPrefix(name, "i.") {
		k, ok = itemFacts()[path]
	} else {
		k, ok = jobFacts()[path]
	}
	if !ok {
		panic("web: no fact " + name)
	}
	f := Field{Name: name, Label: capital(k.doc), Kind: kindText}
	switch {
	case k.many:
		f.Kind = kindTicks
		for _, w := range k.words {
			f.Choices = append(f.Choices, Choice{w, capital(strings.ReplaceAll(w, "-", " ")), ""})
		}
	case len(k.words) == 2 && k.words[0] == "yes":
		f.Kind, f.Choices = kindChips, yesNo
	case k.words != nil:
		f.Kind = kindChips
		for _, w := range k.words {
			f.Choices = append(f.Choices, Choice{w, capital(strings.ReplaceAll(w, "-", " ")), ""})
		}
		f.Choices = append(f.Choices, dontKnow)
	case k.value:
		f.Kind = kindMeasure
	}
	return f
}

// ask is a fact with words of its own.
func ask(name, label string, usual ...string) Field {
	f := factField(name)
	if label != "" {
		f.Label = label
	}
	f.Usual = usual
	return f
}

// only keeps some words of a closed list, and don't know.
func (f Field) only(words ...string) Field {
	var kept []Choice
	for _, w := range words {
		for _, c := range f.Choices {
			if c.Value == w {
				kept = append(kept, c)
			}
		}
	}
	if f.Kind == kindChips {
		kept = append(kept, dontKnow)
	}
	f.Choices = kept
	return f
}

// factValue is a fact as the book keeps it: "don't know" takes it out, several
// ticks become one line.
func factValue(vs []string) string {
	var kept []string
	for _, v := range vs {
		v = strings.TrimSpace(v)
		switch strings.ToLower(v) {
		case "", "unknown", "?", "don't know", "dont know", "dunno":
		default:
			kept = append(kept, v)
		}
	}
	return strings.Join(kept, ", ")
}
