package docs

import (
	"reflect"
	"strings"
	"testing"

	"soundmetal/plan"
)

// The fields of the rig's answer; what it shares with the plan stands in the
// plan's page.
func TestRigFormatIsCurrent(t *testing.T) {
	page := read(t, "rig.md")
	w := &written{t: t, done: map[reflect.Type]bool{reflect.TypeFor[plan.Section](): true}, comments: map[string]map[string]string{}}
	w.table(reflect.TypeFor[plan.RigAnswer]())
	text := strings.ReplaceAll(w.b.String(), "](#section)", "](plan-format.md#section)")
	current(t, "rig.md", fill(t, page, "fields of the rig answer", text))
}
