// Package schema makes JSON Schemas (draft 2020-12) from the Go types of the
// job file, the shop file, the plan and the answer of rig, so that they cannot
// drift apart.
//
// The schemas of the files describe the keys as this program writes them. The
// reader takes more: keys in any case, with blanks or hyphens for underscores.
// What a value means, and whether it can be, only the reader checks.
package schema

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"soundmetal/job"
	"soundmetal/plan"
)

// Names are the schemas there are.
var Names = []string{"job", "shop", "plan", "rig", "hold", "price", "actuals", "learn"}

// For gives the schema of one of Names as indented JSON.
func For(name string) ([]byte, error) {
	var s object
	switch name {
	case "job":
		s = file(reflect.TypeFor[job.Job]())
		s["title"] = fmt.Sprintf("soundmetal job file, version %d", job.Version)
		// a job with one damaged place may give the item's fields at the top level
		top, item := s["properties"].(object), file(reflect.TypeFor[job.Item]())["properties"].(object)
		for k, v := range item {
			if _, taken := top[k]; !taken {
				top[k] = v
			}
		}
	case "shop":
		s = file(reflect.TypeFor[job.Shop]())
		s["title"] = fmt.Sprintf("soundmetal shop file, version %d", job.Version)
	case "plan":
		d := defs{}
		s = d.structure(reflect.TypeFor[plan.Plan]())
		s["title"] = fmt.Sprintf("soundmetal plan, version %d", plan.Version)
		s["$defs"] = object(d)
	case "rig":
		d := defs{}
		s = d.structure(reflect.TypeFor[plan.RigAnswer]())
		s["title"] = fmt.Sprintf("soundmetal rig, version %d", plan.Version)
		s["$defs"] = object(d)
	case "hold":
		d := defs{}
		s = d.structure(reflect.TypeFor[plan.HoldReport]())
		s["title"] = fmt.Sprintf("soundmetal hold, version %d", plan.Version)
		s["$defs"] = object(d)
	case "price":
		d := defs{}
		s = d.structure(reflect.TypeFor[plan.Priced]())
		s["title"] = fmt.Sprintf("soundmetal price, version %d", plan.Version)
		s["$defs"] = object(d)
	case "actuals":
		s = file(reflect.TypeFor[job.Actuals]())
		s["title"] = fmt.Sprintf("soundmetal file of finished jobs, version %d", job.Version)
	case "learn":
		d := defs{}
		s = d.structure(reflect.TypeFor[plan.Learned]())
		s["title"] = fmt.Sprintf("soundmetal learn, version %d", plan.Version)
		s["$defs"] = object(d)
	default:
		return nil, fmt.Errorf("no schema %q; there are %s", name, strings.Join(Names, ", "))
	}
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	return json.MarshalIndent(s, "", "  ")
}

type object = map[string]any

// file describes a struct as a person writes it: every field may be left out,
// and no other is allowed.
func file(t reflect.Type) object {
	properties := object{}
	for f := range t.Fields() {
		name := f.Tag.Get("yaml")
		if name == "" {
			continue
		}
		p := written(f.Type, f.Tag)
		if doc := f.Tag.Get("doc"); doc != "" {
			p["description"] = doc
		}
		properties[name] = p
	}
	return object{"type": "object", "properties": properties, "additionalProperties": false}
}

// written describes a value as a person writes it; anything may be unknown.
func written(t reflect.Type, tags reflect.StructTag) object {
	if t.Implements(reflect.TypeFor[job.Choice]()) {
		words := []string{"unknown"}
		for _, w := range reflect.Zero(t).Interface().(job.Choice).Words() {
			words = append(words, w.Value)
		}
		return object{"type": []string{"string", "boolean", "number", "null"}, "examples": words}
	}
	switch t.Kind() {
	case reflect.Struct:
		if _, maybe := t.FieldByName("Known"); maybe {
			return object{"type": []string{"string", "number", "null"}}
		}
		if tags.Get("short") != "" {
			return object{"anyOf": []object{file(t), {"type": []string{"string", "number", "null"}}}}
		}
		return object{"anyOf": []object{file(t), notKnown()}}
	case reflect.Slice:
		entry := written(t.Elem(), "")
		if t.Elem().Kind() == reflect.Struct {
			return object{"anyOf": []object{{"type": "array", "items": entry}, notKnown()}}
		}
		return object{"type": []string{"array", "string", "number", "null"}, "items": entry}
	case reflect.Map:
		return object{"anyOf": []object{{"type": "object", "additionalProperties": written(t.Elem(), "")}, notKnown()}}
	case reflect.Float64:
		return object{"type": []string{"string", "number", "null"}}
	case reflect.Int:
		return object{"type": []string{"integer", "string", "null"}}
	case reflect.String:
		return object{"type": []string{"string", "number", "boolean", "null"}}
	}
	panic("schema: no schema for " + t.String())
}

// notKnown is how a group of fields is written that nobody knows.
func notKnown() object { return object{"enum": []any{nil, "unknown", "?"}} }

// defs holds the structs of the plan by name; a struct may hold itself.
type defs object

// structure describes a struct as the program writes it. Fields may be added
// without a new version, so others are allowed.
func (d defs) structure(t reflect.Type) object {
	properties, required := object{}, []string{}
	for _, f := range reflect.VisibleFields(t) { // those of embedded structs stand among its own
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		p := d.value(f.Type)
		if doc := f.Tag.Get("doc"); doc != "" {
			p["description"] = doc
		}
		properties[name] = p
		if options == "" {
			required = append(required, name)
		}
	}
	s := object{"type": "object", "properties": properties}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

// value describes a value as the program writes it.
func (d defs) value(t reflect.Type) object {
	if t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return object{"type": "string"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return d.value(t.Elem())
	case reflect.Struct:
		name := defName(t)
		if _, done := d[name]; !done {
			d[name] = nil // so that a struct that holds itself ends here
			d[name] = d.structure(t)
		}
		return object{"$ref": "#/$defs/" + name}
	case reflect.Slice:
		return object{"type": []string{"array", "null"}, "items": d.value(t.Elem())}
	case reflect.Array:
		return object{"type": "array", "items": d.value(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Map:
		return object{"type": "object", "additionalProperties": d.value(t.Elem())}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	}
	panic("schema: no schema for " + t.String())
}

// defName is the package and type; every range of a quantity looks alike.
func defName(t reflect.Type) string {
	if strings.HasPrefix(t.Name(), "Of[") {
		return "range"
	}
	return strings.ToLower(t.String())
}
