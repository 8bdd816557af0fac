//go:build !js

package exchange_test

import (
	"context"
	"testing"

	"soundmetal/store"
	"soundmetal/store/memory"
)

// since gives all entries of a store, log by log.
func since(t tester, st store.Store) []store.Entry {
	t.Helper()
	all, err := st.Since(context.Background(), nil, 1<<30)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return all
}

// storeOf is a copy that ends drop entries earlier in each log, without files.
func storeOf(t *testing.T, from store.Store, drop int64) store.Store {
	t.Helper()
	heads, err := from.Heads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	ends := store.VectorOf(heads)
	st := memory.New()
	for _, e := range since(t, from) {
		if e.Seq <= ends[e.Device]-drop {
			if _, err := st.Receive(t.Context(), []store.Entry{e}); err != nil {
				t.Fatal(err)
			}
		}
	}
	return st
}

// missingAt counts entries of one book that another has not.
func missingAt(t tester, here, there *place) int {
	t.Helper()
	n := 0
	heads, err := there.st.Heads(context.Background())
	if err != nil {
		t.Fatalf("%v", err)
	}
	have := store.VectorOf(heads)
	for _, e := range since(t, here.st) {
		if !have.Has(&e) {
			n++
		}
	}
	return n
}
