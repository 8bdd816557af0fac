package store

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Clock is a hybrid logical clock: the wall clock in milliseconds, with a
// counter for what happens within one, and never behind any entry already
// known. It orders the entries of all devices so that an effect never stands
// before its cause, even where a device's own clock is wrong or was set back.
type Clock struct {
	MS int64  // milliseconds since 1970, UTC
	N  uint16 // counts entries within one millisecond
}

// Next is the clock of an entry made when the wall clock reads now, where c is
// the latest clock known.
func (c Clock) Next(now int64) Clock {
	switch {
	case now > c.MS:
		return Clock{MS: now}
	case c.N == math.MaxUint16:
		return Clock{MS: c.MS + 1}
	}
	return Clock{c.MS, c.N + 1}
}

// Compare orders two clocks: -1, 0 or 1.
func (c Clock) Compare(o Clock) int {
	switch {
	case c.MS < o.MS, c.MS == o.MS && c.N < o.N:
		return -1
	case c == o:
		return 0
	}
	return 1
}

// Time is the wall-clock part.
func (c Clock) Time() time.Time { return time.UnixMilli(c.MS).UTC() }

// String gives milliseconds and counter: 1767225600123.4.
func (c Clock) String() string {
	return strconv.FormatInt(c.MS, 10) + "." + strconv.FormatUint(uint64(c.N), 10)
}

// MarshalText is String.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads exactly what String prints.
func (c *Clock) UnmarshalText(text []byte) error {
	ms, n, ok := strings.Cut(string(text), ".")
	a, errA := strconv.ParseInt(ms, 10, 64)
	b, errB := strconv.ParseUint(n, 10, 16)
	got := Clock{a, uint16(b)}
	if !ok || errA != nil || errB != nil || a < 0 || got.String() != string(text) {
		return fmt.Errorf("%q is not a clock; it is milliseconds, a point and a counter up to 65535", text)
	}
	*c = got
	return nil
}
