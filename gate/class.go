package gate

import (
	"fmt"
	"slices"
	"strings"
)

// Class is the answer to "may I touch it?", worst first. The zero Class
// refuses, so a verdict that nobody made never lets an arc through.
type Class uint8

const (
	Refuse    Class = iota // do not weld this
	Escalate               // no arc until the named approval is there in writing
	Condition              // may be done with the named extra duty
	Go                     // nothing found that stands against it
)

var classWords = []string{"refuse", "escalate", "condition", "go"}

// Worse says whether c is stricter than other.
func (c Class) Worse(other Class) bool { return c < other }

// Worst is the strictest of the classes; of none it is Go.
func Worst(classes ...Class) Class { return slices.Min(append(classes, Go)) }

// String gives refuse, escalate, condition or go.
func (c Class) String() string {
	if int(c) < len(classWords) {
		return classWords[c]
	}
	return fmt.Sprintf("class %d", uint8(c))
}

// MarshalText gives the word of String.
func (c Class) MarshalText() ([]byte, error) {
	if int(c) >= len(classWords) {
		return nil, fmt.Errorf("no word for class %d", uint8(c))
	}
	return []byte(classWords[c]), nil
}

// UnmarshalText reads the word of String.
func (c *Class) UnmarshalText(text []byte) error {
	i := slices.Index(classWords, string(text))
	if i < 0 {
		return fmt.Errorf("no class %q; there are %s", text, strings.Join(classWords, ", "))
	}
	*c = Class(i)
	return nil
}
