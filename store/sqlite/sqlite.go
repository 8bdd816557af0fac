// Package sqlite keeps a book in one SQLite file.
//
// A batch is one transaction with synchronous=FULL on a write-ahead log: when
// Append returns, the entries have been handed to the disk. One connection
// writes, a few others read. The hash chain is the book's own proof; SQLite's
// check of the file is run beside it by Verify.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"soundmetal/store"
)

// Store is a book in a file.
type Store struct {
	path  string
	write *sql.DB // one connection
	read  *sql.DB
	stmts statements
}

var (
	_ store.Store    = (*Store)(nil)
	_ store.Backuper = (*Store)(nil)
)

// statements are those of the writing connection, prepared once.
type statements struct {
	find, heads, insert, setHead, blob *sql.Stmt
}

const columns = "device, seq, prev, hash, ms, n, wall, kind, job, key, body"

// Open opens the book in a file, or makes a new one that only its owner can
// read. A file of a newer version, or one whose tables were changed by hand, is
// refused.
func Open(ctx context.Context, path string) (*Store, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(abs, os.O_CREATE|os.O_RDWR, 0o600) // the log files beside it inherit its mode
	if err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	s := &Store{path: abs}
	if s.write, err = connect(abs, false); err != nil {
		return nil, err
	}
	s.write.SetMaxOpenConns(1)
	if err := s.open(ctx); err != nil {
		s.Close()
		return nil, fmt.Errorf("%s: %w", path, explain(err))
	}
	return s, nil
}

func (s *Store) open(ctx context.Context) error {
	if err := migrate(ctx, s.write); err != nil {
		return err
	}
	var err error
	if s.read, err = connect(s.path, true); err != nil {
		return err
	}
	s.read.SetMaxOpenConns(4)
	for at, query := range map[**sql.Stmt]string{
		&s.stmts.find:   "SELECT " + columns + " FROM entry WHERE key = ? ORDER BY device, seq",
		&s.stmts.heads:  headsQuery,
		&s.stmts.insert: "INSERT INTO entry (" + columns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
		&s.stmts.setHead: "INSERT INTO head (device, seq, hash, ms, n) VALUES (?, ?, ?, ?, ?) " +
			"ON CONFLICT (device) DO UPDATE SET seq = excluded.seq, hash = excluded.hash, ms = excluded.ms, n = excluded.n",
		&s.stmts.blob: "INSERT INTO blob (hash, size, data) VALUES (?, ?, ?) ON CONFLICT (hash) DO NOTHING",
	} {
		if *at, err = s.write.PrepareContext(ctx, query); err != nil {
			return err
		}
	}
	return nil
}

// connect opens a pool of connections. busy_timeout lets a second process, such
// as a backup, wait its turn.
func connect(path string, readOnly bool) (*sql.DB, error) {
	q := url.Values{}
	q.Set("_txlock", "immediate")
	pragmas := []string{"busy_timeout(10000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "trusted_schema(0)", "cell_size_check(1)"}
	if readOnly {
		q.Set("_txlock", "deferred")
		pragmas = append(pragmas, "query_only(1)")
	}
	for _, p := range pragmas {
		q.Add("_pragma", p)
	}
	name := (&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}).EscapedPath()
	return sql.Open("sqlite", "file:"+strings.ReplaceAll(name, "?", "%3f")+"?"+q.Encode())
}

// Close is described at store.Store.
func (s *Store) Close() error {
	var err error
	if s.read != nil {
		err = s.read.Close()
	}
	return errors.Join(err, s.write.Close())
}

// explain puts the common troubles of a file into words.
func explain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w (%w)", store.ErrFull, err)
	case sqlite3.SQLITE_IOERR:
		if os.IsPermission(err) {
			return err
		}
		return fmt.Errorf("%w (%w)", errWrite, err)
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return fmt.Errorf("the file is damaged; keep it, and restore the last backup or export beside it (%w)", err)
	case sqlite3.SQLITE_BUSY:
		return fmt.Errorf("another program keeps the file locked (%w)", err)
	}
	return err
}

var errWrite = errors.New("the disk did not take it: this is not saved")

// inTx runs f in one transaction of the writing connection.
func (s *Store) inTx(ctx context.Context, f func(tx *sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return explain(err)
	}
	if err := f(tx); err != nil {
		return errors.Join(explain(err), ignoreDone(tx.Rollback()))
	}
	return explain(tx.Commit())
}

// ignoreDone passes over the rollback of what SQLite has rolled back itself.
func ignoreDone(err error) error {
	var e *sqlite.Error
	if errors.Is(err, sql.ErrTxDone) || errors.As(err, &e) {
		return nil
	}
	return err
}
