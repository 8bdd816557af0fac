package store

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

// The forms as docs/book-format.md has them, as regular expressions.
var (
	nameForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)
	kindForm = regexp.MustCompile(`^[a-z][a-z0-9-]*(\.[a-z][a-z0-9-]*)*$`)
	keyForm  = regexp.MustCompile(`^[!-~]{1,120}$`)
)

func TestForms(t *testing.T) {
	check := func(t interface{ Errorf(string, ...any) }, s string) {
		if got, want := isName(s), nameForm.MatchString(s); got != want {
			t.Errorf("name %q: %v, want %v", s, got, want)
		}
		if got, want := isKind(s), kindForm.MatchString(s); got != want {
			t.Errorf("kind %q: %v, want %v", s, got, want)
		}
		if got, want := isKey(s), keyForm.MatchString(s); got != want {
			t.Errorf("key %q: %v, want %v", s, got, want)
		}
	}
	for _, s := range []string{"", "a", "-a", "a-", "9", "a.", ".a", "a..b", "a.b", "a.9", "a.-", "A", "a b", "ä", "a\n", "bead.done"} {
		check(t, s)
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.StringMatching(`[a-z0-9.\-]{0,45}`).Draw(t, "near"))
		check(t, rapid.StringOfN(rapid.RuneFrom([]rune("ab9-.! ~\n\x7fä")), 0, 130, -1).Draw(t, "any"))
	})
}
