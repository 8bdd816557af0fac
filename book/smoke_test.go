package book_test

import (
	"context"
	"testing"
	"time"

	"soundmetal/book"
	"soundmetal/demo"
	"soundmetal/store/memory"
)

func TestSmoke(t *testing.T) {
	ctx := context.Background()
	b, err := book.Open(ctx, memory.New(), "office", book.Options{})
	if err != nil {
		t.Fatal(err)
	}
	data, _ := demo.Files.ReadFile("blade-arm.yaml")
	set, items, err := book.FieldsOfJob("blade-arm.yaml", data)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	r, err := b.Do(ctx, now, "k1", book.NewJob{Set: set, Items: items})
	if err != nil {
		t.Fatal(err)
	}
	j, err := b.Job(ctx, r.Job)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range j.Holds {
		t.Log(h.ID, h.Passed, h.Text)
	}
	for _, s := range j.Steps {
		t.Log(s.ID, s.Text)
	}
	l, _ := j.Limits(j.Places[0].ID)
	t.Logf("%+v", l)
	t.Log(*l.Floor, *l.Ceiling, *l.Length, *l.Depth, *l.Delay)
	f, err := b.Plan(ctx, j.Plan())
	t.Log(len(f.Plan), err, string(f.Job))
}
