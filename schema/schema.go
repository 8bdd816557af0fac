// Package schema makes JSON Schemas (draft 2020-12) from the Go types of the
// job file, the shop file and the plan, so that they cannot drift apart.
package schema

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"soundmetal/job"
	"soundmetal/plan"
)

// Names are the schemas there are.
var Names = []string{"job", "shop", "plan"}

// For gives the schema of one of Names as indented JSON.
func For(name string) ([]byte, error) {
	var s object
	switch name {
	case "job":
		s = fileSchema(reflect.TypeFor[job.Job](), "soundmetal job file, version 1")
		// a job with one damaged place may give the item's fields at the top level
		top, item := s["properties"].(object), objectOf(reflect.TypeFor[job.Item](), "yaml")["properties"].(object)
		for k, v := range item {
			if _, taken := top[k]; !taken {
				top[k] = v
			}
		}
	case "shop":
		s = fileSchema(reflect.TypeFor[job.Shop](), "soundmetal shop file, version 1")
	case "plan":
		s = objectOf(reflect.TypeFor[plan.Plan](), "json")
		s["title"] = fmt.Sprintf("soundmetal plan, version %d", plan.Version)
	default:
		return nil, fmt.Errorf("no schema %q; there are %s", name, strings.Join(Names, ", "))
	}
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	return json.MarshalIndent(s, "", "  ")
}

type object = map[string]any

func fileSchema(t reflect.Type, title string) object {
	s := objectOf(t, "yaml")
	s["title"] = title
	return s
}

// objectOf describes a struct; the tag is yaml for what a person writes and
// json for what the program writes.
func objectOf(t reflect.Type, tag string) object {
	properties, required := object{}, []string{}
	for f := range t.Fields() {
		name, options, _ := strings.Cut(f.Tag.Get(tag), ",")
		if name == "" || name == "-" {
			if f.Anonymous {
				for k, v := range objectOf(f.Type, tag)["properties"].(object) {
					properties[k] = v
				}
			}
			continue
		}
		p := typeOf(f.Type, tag, f.Tag)
		if doc := f.Tag.Get("doc"); doc != "" {
			p["description"] = doc
		}
		properties[name] = p
		if tag == "json" && !strings.Contains(options, "omitempty") && !strings.Contains(options, "omitzero") {
			required = append(required, name)
		}
	}
	s := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

var choice = reflect.TypeFor[job.Choice]()

func typeOf(t reflect.Type, tag string, tags reflect.StructTag) object {
	if tag == "yaml" {
		if s, ok := written(t, tags); ok {
			return s
		}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return typeOf(t.Elem(), tag, tags)
	case reflect.Struct:
		return objectOf(t, tag)
	case reflect.Slice, reflect.Array:
		list := object{"type": "array", "items": typeOf(t.Elem(), tag, tags)}
		if tag == "json" && t.Kind() == reflect.Slice {
			return object{"type": []string{"array", "null"}, "items": list["items"]}
		}
		return list
	case reflect.Map:
		return object{"type": "object", "additionalProperties": typeOf(t.Elem(), tag, "")}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Int64:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Uint8:
		return object{"type": "string"} // a named byte with MarshalText
	}
	panic("schema: no schema for " + t.String())
}

// written describes a value as a person writes it; anything may be unknown.
func written(t reflect.Type, tags reflect.StructTag) (object, bool) {
	switch {
	case t.Implements(choice):
		words := []string{"unknown"}
		for _, w := range reflect.Zero(t).Interface().(job.Choice).Words() {
			words = append(words, w.Value)
		}
		return object{"type": []string{"string", "boolean", "number", "null"}, "examples": words}, true
	case t.Kind() == reflect.Struct && t.NumField() == 2 && t.Field(1).Name == "Known",
		t.Kind() == reflect.Float64:
		return object{"type": []string{"string", "number", "null"}}, true
	case t.Kind() == reflect.String:
		return object{"type": []string{"string", "number", "boolean", "null"}}, true
	case t.Kind() == reflect.Slice && t.Elem().Kind() != reflect.Struct:
		return object{"type": []string{"array", "string", "number", "null"}, "items": typeOf(t.Elem(), "yaml", "")}, true
	case t.Kind() == reflect.Struct && tags.Get("short") != "":
		return object{"anyOf": []object{objectOf(t, "yaml"), {"type": []string{"string", "number", "null"}}}}, true
	}
	return nil, false
}
