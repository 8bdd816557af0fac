package sqlite

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"soundmetal/store"
)

// PutBlob is described at store.Store.
func (s *Store) PutBlob(ctx context.Context, data []byte) (store.Hash, error) {
	if err := store.CheckBlob(data); err != nil {
		return store.Hash{}, err
	}
	err := s.inTx(ctx, func(tx *sql.Tx) error { return s.putBlob(ctx, tx, data) })
	return store.HashOf(data), err
}

func (s *Store) putBlob(ctx context.Context, tx *sql.Tx, data []byte) error {
	h := store.HashOf(data)
	_, err := tx.StmtContext(ctx, s.stmts.blob).ExecContext(ctx, h[:], len(data), data)
	return err
}

// Blob is described at store.Store.
func (s *Store) Blob(ctx context.Context, h store.Hash) ([]byte, error) {
	var data []byte
	err := s.read.QueryRowContext(ctx, "SELECT data FROM blob WHERE hash = ?", h[:]).Scan(&data)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil, store.ErrNoBlob
	case err != nil:
		return nil, explain(err)
	case store.HashOf(data) != h:
		return nil, store.ErrDamagedBlob
	}
	return data, nil
}

// Blobs is described at store.Store.
func (s *Store) Blobs(ctx context.Context) ([]store.BlobInfo, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT hash, size FROM blob ORDER BY hash")
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	all := []store.BlobInfo{}
	for rows.Next() {
		var i store.BlobInfo
		var hash []byte
		if err := rows.Scan(&hash, &i.Size); err != nil {
			return nil, explain(err)
		}
		copy(i.Hash[:], hash)
		all = append(all, i)
	}
	return all, explain(rows.Err())
}

// PutSnapshot is described at store.Store.
func (s *Store) PutSnapshot(ctx context.Context, snap store.Snapshot) error {
	vector, err := json.Marshal(snap.Vector)
	if err != nil {
		return err
	}
	return s.inTx(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "INSERT INTO snapshot (name, version, vector, ms, n, data) VALUES (?, ?, ?, ?, ?, ?) "+
			"ON CONFLICT (name) DO UPDATE SET version = excluded.version, vector = excluded.vector, ms = excluded.ms, n = excluded.n, data = excluded.data",
			snap.Name, snap.Version, string(vector), snap.Latest.MS, int64(snap.Latest.N), snap.Data)
		return err
	})
}

// Snapshot is described at store.Store.
func (s *Store) Snapshot(ctx context.Context, name string) (store.Snapshot, error) {
	snap := store.Snapshot{Name: name}
	var vector string
	err := s.read.QueryRowContext(ctx, "SELECT version, vector, ms, n, data FROM snapshot WHERE name = ?", name).
		Scan(&snap.Version, &vector, &snap.Latest.MS, &snap.Latest.N, &snap.Data)
	if errors.Is(err, sql.ErrNoRows) {
		return snap, store.ErrNoSnapshot
	}
	if err != nil {
		return snap, explain(err)
	}
	if json.Unmarshal([]byte(vector), &snap.Vector) != nil {
		return snap, store.ErrNoSnapshot // a damaged one is of no use
	}
	return snap, nil
}

// Verify is described at store.Store.
func (s *Store) Verify(ctx context.Context) (store.Report, error) {
	var r store.Report
	if err := s.checkFile(ctx, &r); err != nil {
		return r, err
	}
	heads, err := s.Heads(ctx)
	if err != nil {
		return r, err
	}
	ends := map[string]store.Head{}
	for _, h := range heads {
		ends[h.Device] = h
	}
	if err := s.checkEntries(ctx, &r, ends); err != nil {
		if ctx.Err() != nil {
			return r, ctx.Err()
		}
		r.Other = append(r.Other, fmt.Sprintf("the entries can only be read in part: %v", err))
	}
	infos, err := s.Blobs(ctx)
	if err != nil {
		return r, err
	}
	r.Blobs = len(infos)
	for _, i := range infos {
		if _, err := s.Blob(ctx, i.Hash); err != nil {
			r.Other = append(r.Other, fmt.Sprintf("file %s: %v", i.Hash, err))
		}
	}
	return r, ctx.Err()
}

// checkFile lets SQLite check its own tables and indexes.
func (s *Store) checkFile(ctx context.Context, r *store.Report) error {
	rows, err := s.read.QueryContext(ctx, "PRAGMA integrity_check(20)")
	if err != nil {
		r.Other = append(r.Other, err.Error())
		return ctx.Err()
	}
	defer rows.Close()
	for rows.Next() {
		var line string
		if err := rows.Scan(&line); err != nil {
			return err
		}
		if line != "ok" {
			r.Other = append(r.Other, "the file: "+line)
		}
	}
	if err := rows.Err(); err != nil {
		r.Other = append(r.Other, explain(err).Error())
	}
	return ctx.Err()
}

// checkEntries goes along every log and compares its end with what was last stored.
func (s *Store) checkEntries(ctx context.Context, r *store.Report, ends map[string]store.Head) error {
	rows, err := s.read.QueryContext(ctx, "SELECT "+columns+" FROM entry ORDER BY device, seq")
	if err != nil {
		return err
	}
	defer rows.Close()
	var c *store.Checker
	end := func() {
		if c != nil {
			c.End(ends[c.Device])
			delete(ends, c.Device)
			r.Faults = append(r.Faults, c.Faults...)
		}
	}
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			end()
			return explain(err)
		}
		if c == nil || c.Device != e.Device {
			end()
			c = &store.Checker{Device: e.Device}
			r.Devices++
		}
		r.Entries++
		c.Add(&e)
	}
	end()
	for device, h := range ends { // logs that are gone as a whole
		gone := store.Checker{Device: device}
		gone.End(h)
		r.Faults = append(r.Faults, gone.Faults...)
	}
	return explain(rows.Err())
}

// Backup writes a copy of the book while it is in use: a consistent one, with
// everything that was stored before the call. The copy is read back and verified
// before it gets its name. A file that is there is not written over.
func (s *Store) Backup(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s is there already; give a new name", path)
	}
	part := path + ".part"
	for _, f := range []string{part, part + "-wal", part + "-shm", part + "-journal"} { // of a backup that was cut off
		if err := os.Remove(f); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	f, err := os.OpenFile(part, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600) // for its owner alone from the start
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	db, err := connect(s.path, false)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, "VACUUM INTO ?", part)
	if err := errors.Join(explain(err), db.Close()); err != nil {
		return errors.Join(err, removed(part))
	}
	if err := verified(ctx, part); err != nil {
		return errors.Join(fmt.Errorf("the backup is not whole and was thrown away: %w", err), removed(part))
	}
	if err := syncFile(part); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncFile(filepath.Dir(path))
}

func removed(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

func verified(ctx context.Context, path string) (err error) {
	s, err := Open(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	r, err := s.Verify(ctx)
	if err == nil && !r.OK() {
		err = errors.New(r.String())
	}
	return err
}

func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
