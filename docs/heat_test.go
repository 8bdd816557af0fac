package docs

import (
	"reflect"
	"strings"
	"testing"

	"soundmetal/plan"
)

// The fields of the simulated heat; what it shares with the plan stands in the
// plan's page.
func TestHeatFormatIsCurrent(t *testing.T) {
	page := read(t, "heat.md")
	w := &written{t: t, done: map[reflect.Type]bool{reflect.TypeFor[plan.Section](): true}, comments: map[string]map[string]string{}}
	w.table(reflect.TypeFor[plan.ThermalAnswer]())
	text := strings.ReplaceAll(w.b.String(), "](#section)", "](plan-format.md#section)")
	current(t, "heat.md", fill(t, page, "fields of the heat answer", text))
}
