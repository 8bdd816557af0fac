package plan

import (
	"fmt"
	"reflect"

	"soundmetal/job"
	q "soundmetal/quantity"
)

// echo lists the measures of a job as they were understood, in both systems,
// without those of the items that may not be touched.
func echo(j job.Job, items []Item, sys q.System) []Echo {
	all := []Echo{}
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		switch {
		case v.Kind() == reflect.Struct && v.NumField() == 2 && v.Type().Field(1).Name == "Known":
			if v.Field(1).Bool() {
				if t, ok := v.Field(0).Interface().(interface{ Text(q.System) string }); ok {
					all = append(all, Echo{path, t.Text(sys)})
				}
			}
		case v.Kind() == reflect.Struct:
			for i := range v.NumField() {
				key := v.Type().Field(i).Tag.Get("yaml")
				if path != "" {
					key = path + "." + key
				}
				walk(v.Field(i), key)
			}
		case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
			for i := range v.Len() {
				if path == "items" && !items[i].Planned {
					continue
				}
				walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i+1))
			}
		}
	}
	walk(reflect.ValueOf(j), "")
	return all
}
