package sqlite

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"iter"
	"slices"
	"strings"

	"soundmetal/store"
)

// Append is described at store.Store.
func (s *Store) Append(ctx context.Context, b store.Batch) (store.Appended, error) {
	var out store.Appended
	err := s.inTx(ctx, func(tx *sql.Tx) error {
		known, err := entriesOf(tx.StmtContext(ctx, s.stmts.find).QueryContext(ctx, b.Key))
		if err != nil {
			return err
		}
		if len(known) > 0 {
			out = store.Appended{Entries: known, Again: true}
			return nil
		}
		heads, err := headsOf(tx.StmtContext(ctx, s.stmts.heads).QueryContext(ctx))
		if err != nil {
			return err
		}
		if b.After != store.Anywhere && b.After != store.VectorOf(heads).Mark() {
			return store.ErrMoved
		}
		head := store.Head{Device: b.Device}
		for _, h := range heads {
			if h.Device == b.Device {
				head = h
			}
		}
		if out.Entries, err = store.Seal(head, store.LatestOf(heads), b); err != nil {
			return err
		}
		for _, data := range b.Blobs {
			if err := s.putBlob(ctx, tx, data); err != nil {
				return err
			}
		}
		return s.insert(ctx, tx, out.Entries)
	})
	if err != nil {
		return store.Appended{}, err
	}
	return out, nil
}

// insert writes entries and the ends of their logs.
func (s *Store) insert(ctx context.Context, tx *sql.Tx, entries []store.Entry) error {
	insert := tx.StmtContext(ctx, s.stmts.insert)
	heads := map[string]store.Head{}
	for i := range entries {
		e := &entries[i]
		if _, err := insert.ExecContext(ctx, e.Device, e.Seq, e.Prev[:], e.Hash[:], e.Clock.MS, int64(e.Clock.N), e.Wall, e.Kind, e.Job, e.Key, string(e.Body)); err != nil {
			return err
		}
		heads[e.Device] = e.Head()
	}
	for _, h := range heads {
		if _, err := tx.StmtContext(ctx, s.stmts.setHead).ExecContext(ctx, h.Device, h.Seq, h.Hash[:], h.Clock.MS, int64(h.Clock.N)); err != nil {
			return err
		}
	}
	return nil
}

// Find is described at store.Store.
func (s *Store) Find(ctx context.Context, key string) ([]store.Entry, error) {
	all, err := entriesOf(s.read.QueryContext(ctx, "SELECT "+columns+" FROM entry WHERE key = ? ORDER BY device, seq", key))
	return all, explain(err)
}

// Receive is described at store.Store.
func (s *Store) Receive(ctx context.Context, entries []store.Entry) ([]store.Entry, error) {
	var fresh []store.Entry
	err := s.inTx(ctx, func(tx *sql.Tx) error {
		heads, err := headsOf(tx.StmtContext(ctx, s.stmts.heads).QueryContext(ctx))
		if err != nil {
			return err
		}
		byDevice := map[string]store.Head{}
		for _, h := range heads {
			byDevice[h.Device] = h
		}
		fresh, err = store.Admit(byDevice, func(device string, seq int64) (store.Hash, error) {
			var hash []byte
			var h store.Hash
			err := tx.QueryRowContext(ctx, "SELECT hash FROM entry WHERE device = ? AND seq = ?", device, seq).Scan(&hash)
			if errors.Is(err, sql.ErrNoRows) {
				return h, &store.Fault{Device: device, Seq: seq, Kind: store.Missing, Text: "it was stored here and is gone"}
			}
			copy(h[:], hash)
			return h, err
		}, entries)
		if err != nil {
			return err
		}
		return s.insert(ctx, tx, fresh)
	})
	if err != nil {
		return nil, err
	}
	return fresh, nil
}

const headsQuery = "SELECT device, seq, hash, ms, n FROM head ORDER BY device"

// Heads is described at store.Store.
func (s *Store) Heads(ctx context.Context) ([]store.Head, error) {
	all, err := headsOf(s.read.QueryContext(ctx, headsQuery))
	return all, explain(err)
}

func headsOf(rows *sql.Rows, err error) ([]store.Head, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []store.Head
	for rows.Next() {
		var h store.Head
		var hash []byte
		if err := rows.Scan(&h.Device, &h.Seq, &hash, &h.Clock.MS, &h.Clock.N); err != nil {
			return nil, err
		}
		copy(h.Hash[:], hash)
		all = append(all, h)
	}
	return all, rows.Err()
}

// Load is described at store.Store.
func (s *Store) Load(ctx context.Context, q store.Query) iter.Seq2[store.Entry, error] {
	return func(yield func(store.Entry, error) bool) {
		where, args, err := s.where(ctx, q)
		if err != nil {
			yield(store.Entry{}, explain(err))
			return
		}
		rows, err := s.read.QueryContext(ctx, "SELECT "+columns+" FROM entry WHERE "+where+" ORDER BY ms, n, device, seq", args...)
		if err != nil {
			yield(store.Entry{}, explain(err))
			return
		}
		defer rows.Close()
		for rows.Next() {
			e, err := scan(rows)
			if err != nil {
				yield(store.Entry{}, explain(err))
				return
			}
			if !yield(e, e.Check()) {
				return
			}
		}
		if err := rows.Err(); err != nil {
			yield(store.Entry{}, explain(err))
		}
	}
}

// where turns a query into a condition that the indexes serve.
func (s *Store) where(ctx context.Context, q store.Query) (string, []any, error) {
	var parts []string
	var args []any
	if q.Jobs != nil {
		jobs := slices.Compact(slices.Sorted(slices.Values(q.Jobs)))
		if len(jobs) == 0 {
			return "0", nil, nil
		}
		for _, j := range jobs {
			args = append(args, j)
		}
		parts = append(parts, "job IN (?"+strings.Repeat(", ?", len(jobs)-1)+")")
		for device, seq := range q.After {
			parts = append(parts, "NOT (device = ? AND seq <= ?)")
			args = append(args, device, seq)
		}
		return strings.Join(parts, " AND "), args, nil
	}
	if len(q.After) == 0 {
		return "1", nil, nil
	}
	heads, err := s.Heads(ctx)
	if err != nil {
		return "", nil, err
	}
	for _, h := range heads {
		if after := q.After[h.Device]; after < h.Seq {
			parts = append(parts, "(device = ? AND seq > ?)")
			args = append(args, h.Device, after)
		}
	}
	if parts == nil {
		return "0", nil, nil
	}
	return strings.Join(parts, " OR "), args, nil
}

// Since is described at store.Store.
func (s *Store) Since(ctx context.Context, seen store.Vector, limit int) ([]store.Entry, error) {
	heads, err := s.Heads(ctx)
	if err != nil {
		return nil, err
	}
	var all []store.Entry
	for _, h := range heads {
		if len(all) >= limit {
			break
		}
		more, err := entriesOf(s.read.QueryContext(ctx, "SELECT "+columns+" FROM entry WHERE device = ? AND seq > ? ORDER BY seq LIMIT ?", h.Device, seen[h.Device], limit-len(all)))
		if err != nil {
			return nil, explain(err)
		}
		all = append(all, more...)
	}
	return all, nil
}

func entriesOf(rows *sql.Rows, err error) ([]store.Entry, error) {
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []store.Entry
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, e)
	}
	return all, rows.Err()
}

// scan reads a row. Damage shows in the entry's hash, so what does not fit is
// taken as it is.
func scan(rows *sql.Rows) (store.Entry, error) {
	var e store.Entry
	var prev, hash sql.RawBytes
	var n int64
	var body sql.RawBytes
	if err := rows.Scan(&e.Device, &e.Seq, &prev, &hash, &e.Clock.MS, &n, &e.Wall, &e.Kind, &e.Job, &e.Key, &body); err != nil {
		return e, err
	}
	e.Clock.N = uint16(n)
	copy(e.Prev[:], prev)
	copy(e.Hash[:], hash)
	e.Body = json.RawMessage(slices.Clone(body))
	return e, nil
}
