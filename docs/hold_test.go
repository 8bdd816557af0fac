package docs

import (
	"reflect"
	"strings"
	"testing"

	"soundmetal/plan"
)

// The fields of the answer to "will it hold"; what it shares with the plan
// stands in the plan's page.
func TestHoldFormatIsCurrent(t *testing.T) {
	page := read(t, "hold.md")
	done := map[reflect.Type]bool{}
	p := &written{t: t, done: done, comments: map[string]map[string]string{}}
	p.table(reflect.TypeFor[plan.Plan]())
	w := &written{t: t, done: done, comments: p.comments}
	w.table(reflect.TypeFor[plan.HoldReport]())
	text := strings.NewReplacer("](#helditem)", "](#helditem)", "](#", "](plan-format.md#").Replace(w.b.String())
	current(t, "hold.md", fill(t, page, "fields of the hold answer", text))
}
