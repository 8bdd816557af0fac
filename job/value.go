package job

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	q "soundmetal/quantity"
)

// value fills one field from a node.
func (r *reader) value(v reflect.Value, n ast.Node, path string, tag reflect.StructTag) error {
	if err := r.plain(n, path); err != nil {
		return err
	}
	if isUnknown(n) {
		return nil // the zero value of every field is "unknown"
	}
	t := v.Type()
	if _, choice := v.Interface().(Choice); choice {
		return r.choice(v, n, path)
	}
	if kind, ok := kinds[t]; ok {
		return r.quantity(v, kind, n, path, tag)
	}
	switch {
	case isMaybe(t):
		if err := r.value(v.Field(0), n, path, tag); err != nil {
			return err
		}
		v.Field(1).SetBool(true)
		return nil
	case t.Kind() == reflect.String:
		text, err := r.scalar(n, path, "text")
		v.SetString(strings.TrimSpace(text))
		return err
	case t.Kind() == reflect.Int, t.Kind() == reflect.Float64:
		return r.number(v, n, path)
	case t.Kind() == reflect.Slice:
		return r.list(v, n, path, tag)
	case t.Kind() == reflect.Map:
		return r.analysis(v, n, path)
	case t.Kind() == reflect.Struct:
		if short := tag.Get("short"); short != "" && isScalar(n) {
			index := fieldIndex(t, short)
			r.note(join(path, short), n)
			return r.value(v.Field(index), n, join(path, short), t.Field(index).Tag)
		}
		body, err := r.mapping(n, path)
		if err != nil {
			return err
		}
		return r.structure(v, body, path)
	}
	panic("job: no reader for a field of type " + t.String())
}

func isMaybe(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && t.NumField() == 2 && t.Field(0).Name == "V" && t.Field(1).Name == "Known"
}

// plain refuses the parts of YAML that a job file has no use for.
func (r *reader) plain(n ast.Node, path string) error {
	switch n.Type() {
	case ast.AnchorType, ast.AliasType, ast.MergeKeyType, ast.TagType:
		return r.faultAt(n, path, "anchors, aliases and tags are not used in a job file; write the value itself")
	}
	return nil
}

func isScalar(n ast.Node) bool {
	_, ok := n.(ast.ScalarNode)
	return ok
}

// scalarText gives a scalar as it was written, without quotes.
func scalarText(n ast.Node) string {
	switch s := n.(type) {
	case *ast.StringNode:
		return s.Value
	case *ast.LiteralNode:
		return s.Value.Value
	}
	if t := n.GetToken(); t != nil {
		return t.Value
	}
	return ""
}

func isUnknown(n ast.Node) bool {
	if n.Type() == ast.NullType {
		return true
	}
	if !isScalar(n) {
		return false
	}
	switch strings.ToLower(strings.TrimSpace(scalarText(n))) {
	case "unknown", "?", "don't know", "dont know", "dunno", "":
		return true
	}
	return false
}

func (r *reader) scalar(n ast.Node, path, wanted string) (string, error) {
	if !isScalar(n) {
		return "", r.faultAt(n, path, "expected one value ("+wanted+"), found a list or a group of fields")
	}
	return scalarText(n), nil
}

func (r *reader) number(v reflect.Value, n ast.Node, path string) error {
	text, err := r.scalar(n, path, "a number")
	if err != nil {
		return err
	}
	f, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsInf(f, 0) || math.IsNaN(f) || f < 0 {
		return r.faultAt(n, path, fmt.Sprintf("%q is not a number of zero or more", text))
	}
	if f != 0 && f < 1e-6 || f > 1e12 {
		return r.faultAt(n, path, fmt.Sprintf("%q cannot be; give a number a person would count", text))
	}
	if v.Kind() == reflect.Int {
		if f != math.Trunc(f) || f > 1e9 {
			return r.faultAt(n, path, fmt.Sprintf("%q is not a whole number", text))
		}
		v.SetInt(int64(f))
		return nil
	}
	v.SetFloat(f)
	return nil
}

// list fills a slice from a YAML list, or from one value or comma-separated words.
func (r *reader) list(v reflect.Value, n ast.Node, path string, tag reflect.StructTag) error {
	elem := v.Type().Elem()
	if s, ok := n.(*ast.SequenceNode); ok {
		for i, item := range s.Values {
			at := fmt.Sprintf("%s[%d]", path, i)
			r.note(at, item)
			e := reflect.New(elem).Elem()
			if isUnknown(item) {
				continue
			}
			if err := r.value(e, item, at, tag); err != nil {
				return err
			}
			v.Set(reflect.Append(v, e))
		}
		return nil
	}
	if elem.Kind() == reflect.Struct {
		return r.faultAt(n, path, "expected a list, each entry begun with  - ")
	}
	text, err := r.scalar(n, path, "or a list")
	if err != nil {
		return err
	}
	for part := range strings.SplitSeq(text, ",") {
		e := reflect.New(elem).Elem()
		if err := r.word(e, n, strings.TrimSpace(part), path, tag); err != nil {
			return err
		}
		v.Set(reflect.Append(v, e))
	}
	return nil
}

func (r *reader) word(e reflect.Value, n ast.Node, text, path string, tag reflect.StructTag) error {
	if _, choice := e.Interface().(Choice); choice {
		return r.setChoice(e, n, text, path)
	}
	if kind, ok := kinds[e.Type()]; ok {
		return r.setQuantity(e, kind, n, text, path, tag)
	}
	e.SetString(text)
	return nil
}

func (r *reader) choice(v reflect.Value, n ast.Node, path string) error {
	text, err := r.scalar(n, path, "a word")
	if err != nil {
		return err
	}
	return r.setChoice(v, n, text, path)
}

func (r *reader) setChoice(v reflect.Value, n ast.Node, text, path string) error {
	written := strings.ToLower(strings.TrimSpace(text))
	plain := strings.NewReplacer(" ", "-", "_", "-").Replace(written)
	var all []string
	for _, w := range v.Interface().(Choice).Words() {
		all = append(all, w.Value)
		if plain == w.Value || has(w.Also, plain) || has(w.Also, written) {
			v.SetString(w.Value)
			return nil
		}
	}
	msg := fmt.Sprintf("%q is not one of: %s, unknown", text, strings.Join(all, ", "))
	if near := nearest(plain, all); near != "" {
		msg += fmt.Sprintf("; did you mean %q?", near)
	}
	return r.faultAt(n, path, msg)
}

// kinds maps the quantity types to their kind for reading.
var kinds = map[reflect.Type]q.Kind{}

func kind[T ~float64]() { kinds[reflect.TypeFor[T]()] = q.KindOf[T]() }

func init() {
	kind[q.Length]()
	kind[q.Volume]()
	kind[q.Mass]()
	kind[q.Temperature]()
	kind[q.Time]()
	kind[q.Speed]()
	kind[q.Stress]()
	kind[q.Pressure]()
	kind[q.Current]()
	kind[q.Voltage]()
	kind[q.Resistance]()
	kind[q.Power]()
	kind[q.Vickers]()
	kind[q.Brinell]()
	kind[q.Flow]()
	kind[q.Ratio]()
}

func (r *reader) quantity(v reflect.Value, kind q.Kind, n ast.Node, path string, tag reflect.StructTag) error {
	text, err := r.scalar(n, path, "a value with its unit")
	if err != nil {
		return err
	}
	return r.setQuantity(v, kind, n, text, path, tag)
}

// setQuantity reads a value. The tag bare="us,si" overrides the unit of a bare
// number ("-" for none); the tag sane="low..high" gives plausible limits.
func (r *reader) setQuantity(v reflect.Value, kind q.Kind, n ast.Node, text, path string, tag reflect.StructTag) error {
	field := path[strings.LastIndex(path, ".")+1:]
	as := q.ReadAs{What: strings.ReplaceAll(field, "_", " ")}
	us, si := bareUnits(kind, tag)
	switch r.units {
	case US:
		as.Bare, as.OtherBare = us, si
	case SI:
		as.Bare, as.OtherBare = si, us
	default:
		if us == si { // amps, volts, %: the same in both systems
			as.Bare = us
		}
	}
	if sane := tag.Get("sane"); sane != "" {
		as.Low, as.High = saneLimits(kind, sane)
	}
	f, err := q.ReadKind(kind, text, as)
	if err == nil {
		v.SetFloat(f)
		return nil
	}
	msg := err.Error()
	var bad *q.ReadError
	if errors.As(err, &bad) {
		msg = strings.TrimPrefix(msg, as.What+" ")
	}
	return r.faultAt(n, path, msg)
}

// bareUnits gives the unit of a number written without one, per system.
func bareUnits(kind q.Kind, tag reflect.StructTag) (us, si string) {
	if b := tag.Get("bare"); b != "" {
		us, si, _ = strings.Cut(b, ",")
		return us, si
	}
	switch kind {
	case q.KindOf[q.Length]():
		return "in", "mm"
	case q.KindOf[q.Temperature]():
		return "F", "C"
	case q.KindOf[q.Speed]():
		return "mph", "km/h"
	case q.KindOf[q.Mass]():
		return "lb", "kg"
	case q.KindOf[q.Pressure]():
		return "psi", "bar"
	case q.KindOf[q.Flow]():
		return "cfm", "L/min"
	case q.KindOf[q.Stress]():
		return "ksi", "MPa"
	case q.KindOf[q.Current]():
		return "A", "A"
	case q.KindOf[q.Voltage]():
		return "V", "V"
	case q.KindOf[q.Ratio]():
		return "%", "%"
	}
	return "", "" // time, power, hardness, volume: a bare number says too little
}

func saneLimits(kind q.Kind, sane string) (low, high float64) {
	a, b, ok := strings.Cut(sane, "..")
	x, errA := q.ReadKind(kind, a, q.ReadAs{})
	y, errB := q.ReadKind(kind, b, q.ReadAs{})
	if !ok || errA != nil || errB != nil {
		panic("job: tag sane=" + sane)
	}
	return x, y
}

var elements = []string{"C", "Si", "Mn", "Cr", "Mo", "V", "Ni", "Cu", "Nb", "B"}

// analysis reads element: per cent lines.
func (r *reader) analysis(v reflect.Value, n ast.Node, path string) error {
	body, err := r.mapping(n, path)
	if err != nil {
		return err
	}
	all := map[string]float64{}
	for _, entry := range body {
		written := scalarText(entry.Key)
		name := ""
		for _, e := range elements {
			if strings.EqualFold(e, written) {
				name = e
			}
		}
		at := join(path, written)
		r.note(at, entry.Value)
		if name == "" {
			return r.faultAt(entry.Key, path, fmt.Sprintf("%q is not an element used here; known: %s", written, strings.Join(elements, ", ")))
		}
		if _, twice := all[name]; twice {
			return r.faultAt(entry.Key, at, "is given twice; keep one")
		}
		if isUnknown(entry.Value) {
			continue
		}
		text, err := r.scalar(entry.Value, at, "per cent by mass")
		if err != nil {
			return err
		}
		p, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%")), ",", ".", 1), 64)
		if err != nil || !(p >= 0 && p <= 40) {
			return r.faultAt(entry.Value, at, fmt.Sprintf("%q is not a share in %% by mass between 0 and 40", text))
		}
		all[name] = p
	}
	v.Set(reflect.ValueOf(all))
	return nil
}
