package exchange

import (
	"context"

	"soundmetal/store"
)

// beyond is a sequence number that no log reaches: a vector with it asks for
// nothing of a device.
const beyond = maxSeq

// hashAt is the hash of an entry that is here; ok is false where it is not.
func hashAt(ctx context.Context, st store.Store, heads []store.Head, device string, seq int64) (h store.Hash, ok bool, err error) {
	for _, head := range heads {
		if head.Device == device && head.Seq == seq {
			return head.Hash, true, nil
		}
	}
	seen := store.Vector{}
	for _, head := range heads {
		seen[head.Device] = beyond
	}
	seen[device] = seq - 1
	entries, err := st.Since(ctx, seen, 1)
	if err != nil || len(entries) == 0 || entries[0].Device != device || entries[0].Seq != seq {
		return store.Hash{}, false, err
	}
	return entries[0].Hash, true, nil
}

// compare finds the logs that have grown apart, as far as this side can tell:
// those that do not end earlier here than there.
func compare(ctx context.Context, st store.Store, mine, theirs []store.Head) ([]Parted, error) {
	have := store.VectorOf(mine)
	parted := []Parted{}
	for _, t := range theirs {
		if have[t.Device] < t.Seq {
			continue
		}
		h, ok, err := hashAt(ctx, st, mine, t.Device, t.Seq)
		if err != nil {
			return nil, err
		}
		if ok && h != t.Hash {
			parted = append(parted, Parted{t.Device, t.Seq})
		}
	}
	return parted, nil
}

// more counts the entries of have that are not in seen; without is left out.
func more(have, seen store.Vector, without func(device string) bool) int64 {
	var n int64
	for device, seq := range have {
		if without == nil || !without(device) {
			n += max(0, seq-seen[device])
		}
	}
	return n
}
