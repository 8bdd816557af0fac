package plan_test

import (
	"fmt"
	"reflect"
	"strings"

	"pgregory.net/rapid"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// Random jobs and shops from the words of the job format: every field may be
// unknown, every choice takes any of its words, every measure lies inside the
// limits that the reader allows.

// free are things to write into free text fields, by the field's key.
var free = map[string][]string{
	"name":     {"", "left one", "place 2"},
	"part":     {"", "side plate", "cross beam", "hinge ear", "bucket lip", "gear blank", "screen frame", "counterweight"},
	"kind":     {"", "vibrating screen", "excavator", "conveyor", "press", "tipper"},
	"grade":    {"", "A36", "S355", "A514", "S690QL", "AR400", "4140", "1045", "Hadfield", "304", "grey iron", "A27", "zorg"},
	"family":   {"", "a36", "s355", "ar500", "mn-steel", "stainless-304"},
	"class":    {"E7018-H4R", "E7018", "E7016", "E6010", "E6013", "E11018-M", "E8018-C3", "E309L", "E312", "EFeMn-A", "ENiFe-CI", "ER70S-6", "E71T-1", "7018", "mystery"},
	"currency": {"", "USD"},
	"filler":   {"", "E7018"},
}

// calm draws jobs that the gate mostly lets through.
var calm = map[string]string{
	"Machine.LiftsPeople": "no", "Machine.HangsLoad": "no", "Machine.OnRoad": "no", "Machine.Blocked": "yes", "Site.FireBan": "no",
	"Site.ConfinedSpace": "no", "Wanted.PlateOver": "", "Wanted.SkipTests": "", "Wanted.SignOff": "", "Wanted.Waiver": "", "Wanted.Temporary": "",
	"Customer.Authority": "yes", "Items.Contains": "nothing", "Items.Role": "structure", "Items.Coating": "paint", "Site.Rules": "", "Items.Behind": "",
	"Site.Wet": "dry", "Items.History.By": "other",
}

// drawer fills a struct by its field tags.
type drawer struct {
	t    *rapid.T
	calm bool
}

func (d drawer) fill(v reflect.Value, path string) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Type == reflect.TypeFor[[]job.Item]() {
			continue // drawn by drawJob
		}
		at := strings.TrimPrefix(path+"."+f.Name, ".")
		if d.calm {
			if word, ok := calm[at]; ok {
				if v.Field(i).Kind() == reflect.String {
					v.Field(i).SetString(word)
				}
				continue
			}
		}
		d.field(v.Field(i), f.Tag, at)
	}
}

func (d drawer) maybe(at string) bool { return rapid.Bool().Draw(d.t, at+" known") }

func (d drawer) field(v reflect.Value, tag reflect.StructTag, at string) {
	key := tag.Get("yaml")
	if c, ok := v.Interface().(job.Choice); ok {
		words := []string{""}
		for _, w := range c.Words() {
			words = append(words, w.Value)
		}
		v.SetString(rapid.SampledFrom(words).Draw(d.t, at))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if v.NumField() == 2 && v.Type().Field(1).Name == "Known" {
			if d.maybe(at) {
				v.Field(1).SetBool(true)
				d.field(v.Field(0), tag, at)
			}
			return
		}
		d.fill(v, at)
	case reflect.Float64:
		v.SetFloat(d.measure(v, tag, at))
	case reflect.Int:
		if key == "year" && d.maybe(at) {
			v.SetInt(int64(rapid.IntRange(1950, 2025).Draw(d.t, at)))
		}
	case reflect.String:
		if words, ok := free[key]; ok {
			v.SetString(rapid.SampledFrom(words).Draw(d.t, at))
		}
	case reflect.Slice:
		for i := range rapid.IntRange(0, 3).Draw(d.t, at+" count") {
			e := reflect.New(v.Type().Elem()).Elem()
			if e.Kind() == reflect.Struct && e.NumField() != 2 || e.Kind() == reflect.Struct && e.Type().Field(1).Name != "Known" {
				d.fill(e, fmt.Sprintf("%s%d", at, i))
			} else {
				d.field(e, tag, at)
			}
			v.Set(reflect.Append(v, e))
		}
	case reflect.Map:
		if d.maybe(at) {
			m := map[string]float64{}
			for _, symbol := range []string{"C", "Mn", "Cr"} {
				m[symbol] = rapid.Float64Range(0, 2).Draw(d.t, at+symbol)
			}
			v.Set(reflect.ValueOf(m))
		}
	}
}

// usualSizes are the sizes that stand on tins and boxes.
var usualSizes = map[string][]float64{
	"Rods": {0.0024, 0.0025, 0.0032, 0.0032, 0.004, 0.005}, "Carbons": {0.0032, 0.004, 0.0048, 0.00635, 0.007, 0.008, 0.0095, 0.013},
}

// spans are the values drawn for measures without limits of their own, in SI.
var spans = map[reflect.Type][2]float64{
	reflect.TypeFor[q.Time](): {1, 360000}, reflect.TypeFor[q.Mass](): {0.1, 20}, reflect.TypeFor[q.Ratio](): {0.01, 1}, reflect.TypeFor[q.Length](): {0.001, 10},
	reflect.TypeFor[q.Pressure](): {1e5, 1e6}, reflect.TypeFor[q.Flow](): {0.001, 0.03}, reflect.TypeFor[q.Current](): {50, 800}, reflect.TypeFor[q.Voltage](): {20, 110},
	reflect.TypeFor[q.Power](): {1000, 100000}, reflect.TypeFor[q.Stress](): {1e8, 1.4e9}, reflect.TypeFor[q.Volume](): {0.1, 10}, reflect.TypeFor[float64](): {0.001, 5000},
}

func (d drawer) measure(v reflect.Value, tag reflect.StructTag, at string) float64 {
	for list, sizes := range usualSizes {
		if strings.HasPrefix(at, list) && strings.HasSuffix(at, ".Size") {
			return rapid.SampledFrom(sizes).Draw(d.t, at)
		}
	}
	low, high := 0.0, 1.0
	if s, ok := spans[v.Type()]; ok {
		low, high = s[0], s[1]
	}
	if sane := tag.Get("sane"); sane != "" {
		a, b, _ := strings.Cut(sane, "..")
		kind := v.Interface().(interface{ Kind() q.Kind }).Kind()
		var errA, errB error
		low, errA = q.ReadKind(kind, a, q.ReadAs{})
		high, errB = q.ReadKind(kind, b, q.ReadAs{})
		if errA != nil || errB != nil {
			panic("sane=" + sane)
		}
	}
	// half of the lengths are of a size that is met on machines
	if v.Type() == reflect.TypeFor[q.Length]() && low < 0.3 && d.maybe(at+" usual") {
		low, high = max(low, 0.003), min(high, 0.3)
	}
	return rapid.Float64Range(low, high).Draw(d.t, at)
}

// drawJob draws a job of one to three items. Facts that contradict each other
// are mended the way the reader would ask for.
func drawJob(t *rapid.T) job.Job {
	d := drawer{t, rapid.IntRange(0, 3).Draw(t, "calm") > 0}
	var j job.Job
	d.fill(reflect.ValueOf(&j).Elem(), "")
	for i := range rapid.IntRange(1, 2).Draw(t, "items") {
		var it job.Item
		d.fill(reflect.ValueOf(&it).Elem(), "Items")
		if i > 0 {
			it.Name = fmt.Sprint("item ", i+1)
		}
		if c := &it.Crack; c.Depth.Known && it.Thickness.Known {
			c.Depth.V = min(c.Depth.V, it.Thickness.V)
			if c.Through == job.Yes {
				c.Depth.Known = false
			}
		}
		j.Items = append(j.Items, it)
	}
	return j
}

// drawShop draws a shop, or none.
func drawShop(t *rapid.T) *job.Shop {
	if rapid.IntRange(0, 3).Draw(t, "no shop") == 0 {
		return nil
	}
	var s job.Shop
	drawer{t, false}.fill(reflect.ValueOf(&s).Elem(), "")
	return &s
}

func drawSystem(t *rapid.T) q.System {
	return rapid.SampledFrom([]q.System{q.US, q.SI}).Draw(t, "system")
}
