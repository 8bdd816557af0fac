package store

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Hash is a SHA-256 sum; its text is 64 lower-case hexadecimal digits.
type Hash [sha256.Size]byte

// HashOf is the sum of the data.
func HashOf(data []byte) Hash { return sha256.Sum256(data) }

// IsZero says whether it is the zero hash, which stands before the first entry
// of a log.
func (h Hash) IsZero() bool { return h == Hash{} }

// String gives 64 hexadecimal digits.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText is String.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText reads exactly what String prints.
func (h *Hash) UnmarshalText(text []byte) error {
	got, err := ReadHash(string(text))
	if err != nil {
		return err
	}
	*h = got
	return nil
}

// ReadHash reads exactly what String prints.
func ReadHash(text string) (Hash, error) {
	var h Hash
	if len(text) == 2*len(h) {
		if _, err := hex.Decode(h[:], []byte(text)); err == nil && h.String() == text {
			return h, nil
		}
	}
	return Hash{}, fmt.Errorf("%q is not a hash; it is 64 lower-case hexadecimal digits", clip(text))
}

// clip shortens what is shown of a wrong value.
func clip(s string) string {
	const most = 80
	if len(s) > most {
		return s[:most] + "..."
	}
	return s
}
