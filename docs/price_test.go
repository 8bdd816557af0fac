package docs

import (
	"reflect"
	"strings"
	"testing"

	"soundmetal/job"
	"soundmetal/plan"
	"soundmetal/source"
)

// The fields of the answers of price and learn, and of the file of finished jobs.
func TestPriceFormatIsCurrent(t *testing.T) {
	page := read(t, "price.md")
	done := map[reflect.Type]bool{}
	p := &written{t: t, done: done, comments: map[string]map[string]string{}}
	p.table(reflect.TypeFor[plan.Plan]())
	for _, shared := range []reflect.Type{reflect.TypeFor[source.Basis](), reflect.TypeFor[source.Ref](), reflect.TypeFor[plan.Section](), reflect.TypeFor[plan.Need]()} {
		if !done[shared] {
			t.Errorf("%s does not stand in the plan's page", shared)
		}
	}
	for name, answer := range map[string]reflect.Type{"fields of the price": reflect.TypeFor[plan.Priced](), "fields of the learned": reflect.TypeFor[plan.Learned]()} {
		w := &written{t: t, done: map[reflect.Type]bool{}, comments: p.comments}
		for k := range done {
			w.done[k] = true
		}
		w.table(answer)
		text := w.b.String()
		for _, shared := range []string{"section", "basis", "ref", "need"} {
			text = strings.ReplaceAll(text, "](#"+shared+")", "](plan-format.md#"+shared+")")
		}
		page = fill(t, page, name, text)
	}
	f := &files{done: map[reflect.Type]bool{}}
	f.table("The file of finished jobs", reflect.TypeFor[job.Actuals]())
	page = fill(t, page, "fields of finished jobs", strings.ReplaceAll(f.b.String(), "](#words)", "](job-format.md#words)"))
	current(t, "price.md", page)
}

// The page names every price of the shop file, and the example of finished jobs
// is one.
func TestPricesAreDocumented(t *testing.T) {
	page := read(t, "price.md")
	for f := range reflect.TypeFor[job.Prices]().Fields() {
		if key := f.Tag.Get("yaml"); !strings.Contains(page, "`"+key+"`") {
			t.Errorf("price.md does not name prices.%s", key)
		}
	}
	_, rest, _ := strings.Cut(page, "```\nunits: us\n")
	text, _, ok := strings.Cut(rest, "```")
	if !ok {
		t.Fatal("price.md shows no file of finished jobs")
	}
	a, err := job.ReadActuals("price.md", []byte("units: us\n"+text))
	if err != nil || len(a.Jobs) != 2 {
		t.Errorf("the example of finished jobs: %d jobs, %v", len(a.Jobs), err)
	}
}
