package book

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"soundmetal/job"
)

// FieldsOfJob takes a job file apart into fields as they are typed: those of the
// job, and those of each damaged place. The file must be one that job.Read
// accepts.
func FieldsOfJob(name string, document []byte) (set map[string]string, items []map[string]string, err error) {
	j, err := job.Read(name, document)
	if err != nil {
		return nil, nil, refusalOf(err, nil)
	}
	all, err := flatten(document)
	if err != nil {
		return nil, nil, err
	}
	set = map[string]string{}
	jobKeys := keysOf(reflect.TypeFor[job.Job]())
	single := map[string]string{}
	for path, text := range all {
		head, _, _ := strings.Cut(path, ".")
		head, _, _ = strings.Cut(head, "[")
		var i int
		switch {
		case head == "version":
		case head == "items":
			if _, err := fmt.Sscanf(path, "items[%d].", &i); err != nil || i > maxItems {
				return nil, nil, refuse(CodeField, path, "up to %d damaged places are accepted", maxItems)
			}
			for len(items) <= i {
				items = append(items, map[string]string{})
			}
			items[i][path[strings.Index(path, "].")+2:]] = text
		case slices.Contains(jobKeys, head):
			set[path] = text
		default:
			single[path] = text
		}
	}
	if len(single) > 0 {
		items = append(items, single)
	}
	for len(items) < len(j.Items) { // a place of which nothing is known
		items = append(items, map[string]string{})
	}
	if err := checkFields(set); err != nil {
		return nil, nil, err
	}
	for _, it := range items {
		if err := checkFields(it); err != nil {
			return nil, nil, err
		}
	}
	return set, items, nil
}

// FieldsOfShop takes a shop file apart into fields as they are typed.
func FieldsOfShop(name string, document []byte) (map[string]string, error) {
	if _, err := job.ReadShop(name, document); err != nil {
		return nil, refusalOf(err, nil)
	}
	all, err := flatten(document)
	if err != nil {
		return nil, err
	}
	delete(all, "version")
	return all, checkFields(all)
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

// flatten gives path and text of every value of a YAML document.
func flatten(document []byte) (map[string]string, error) {
	file, err := parser.ParseBytes(document, 0)
	if err != nil {
		return nil, refuse(CodeField, "", "this is not YAML")
	}
	all := map[string]string{}
	for _, d := range file.Docs {
		if d.Body != nil {
			flattenNode(all, "", d.Body)
		}
	}
	return all, nil
}

func flattenNode(all map[string]string, path string, n ast.Node) {
	switch v := n.(type) {
	case *ast.MappingNode:
		for _, e := range v.Values {
			flattenNode(all, path, e)
		}
	case *ast.MappingValueNode:
		key := strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(scalarText(v.Key)))
		if path != "" {
			key = path + "." + key
		}
		flattenNode(all, key, v.Value)
	case *ast.SequenceNode:
		var words []string
		for i, e := range v.Values {
			if _, scalar := e.(ast.ScalarNode); scalar {
				words = append(words, scalarText(e))
			} else {
				flattenNode(all, fmt.Sprintf("%s[%d]", path, i), e)
			}
		}
		if words != nil {
			all[path] = strings.Join(words, ", ")
		}
	case ast.ScalarNode:
		if text := strings.TrimSpace(scalarText(v)); n.Type() != ast.NullType && text != "" {
			all[path] = text
		}
	}
}

// scalarText gives a scalar as it was written, without quotes.
func scalarText(n ast.Node) string {
	switch s := n.(type) {
	case *ast.StringNode:
		return s.Value
	case *ast.LiteralNode:
		return s.Value.Value
	case *ast.NullNode:
		return ""
	}
	if t := n.GetToken(); t != nil {
		return t.Value
	}
	return ""
}
