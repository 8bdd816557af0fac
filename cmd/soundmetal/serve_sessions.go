package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver
)

// sessionStore keeps who is logged in, in a SQLite file of its own beside the
// book, so that a restart logs nobody out. Tokens come in hashed. It is no part
// of the book: thrown away, everybody logs in again.
type sessionStore struct {
	db  *sql.DB
	now func() time.Time
}

const sessionFile = "sessions.sqlite"

// touched is by how much an expiry must move before it is written again: every
// page moves it a little.
const touched = time.Hour

const sessionTables = `
CREATE TABLE IF NOT EXISTS session (token TEXT PRIMARY KEY, data BLOB NOT NULL, expiry INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX IF NOT EXISTS session_expiry ON session (expiry);
CREATE TABLE IF NOT EXISTS round (one INTEGER PRIMARY KEY CHECK (one = 1), n INTEGER NOT NULL);
INSERT INTO round VALUES (1, 1) ON CONFLICT DO NOTHING;`

// openSessions opens the file. One that is damaged is put aside: nobody is
// locked out of the book by it.
func openSessions(ctx context.Context, path string, log *slog.Logger) (*sessionStore, error) {
	s, err := trySessions(ctx, path)
	if err == nil {
		return s, nil
	}
	log.Warn("who was logged in cannot be read; everybody logs in again", "err", err)
	for _, more := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(path + more); err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
	}
	return trySessions(ctx, path)
}

func trySessions(ctx context.Context, path string) (*sessionStore, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	f.Close()
	q := url.Values{"_txlock": {"immediate"}, "_pragma": {"busy_timeout(10000)", "journal_mode(WAL)", "synchronous(NORMAL)", "trusted_schema(0)"}}
	name := (&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}).EscapedPath()
	db, err := sql.Open("sqlite", "file:"+strings.ReplaceAll(name, "?", "%3f")+"?"+q.Encode())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	s := &sessionStore{db, time.Now}
	if _, err = db.ExecContext(ctx, sessionTables); err == nil {
		err = s.clean(ctx)
	}
	if err != nil {
		db.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return s, nil
}

// clean takes out what has expired.
func (s *sessionStore) clean(ctx context.Context) error {
	_, err := s.db.ExecContext(ctx, "DELETE FROM session WHERE expiry <= ?", s.now().Unix())
	return err
}

// cleaning goes on until ctx ends.
func (s *sessionStore) cleaning(ctx context.Context, every time.Duration, log *slog.Logger) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if err := s.clean(ctx); err != nil && ctx.Err() == nil {
				log.Warn("expired logins are not cleaned away", "err", err)
			}
		}
	}
}

// Find is of scs.Store.
func (s *sessionStore) Find(token string) ([]byte, bool, error) {
	var data []byte
	err := s.db.QueryRow("SELECT data FROM session WHERE token = ? AND expiry > ?", token, s.now().Unix()).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return data, err == nil, err
}

// Commit is of scs.Store.
func (s *sessionStore) Commit(token string, data []byte, expiry time.Time) error {
	_, err := s.db.Exec(`INSERT INTO session VALUES (?, ?, ?) ON CONFLICT (token) DO UPDATE SET data = excluded.data, expiry = excluded.expiry
		WHERE data <> excluded.data OR abs(expiry - excluded.expiry) >= ?`, token, data, expiry.Unix(), int64(touched/time.Second))
	return err
}

// Delete is of scs.Store.
func (s *sessionStore) Delete(token string) error {
	_, err := s.db.Exec("DELETE FROM session WHERE token = ?", token)
	return err
}

// everybodyOut ends all sessions. The round that begins makes even those void
// that a request on its way writes once more.
func (s *sessionStore) everybodyOut(ctx context.Context) error {
	_, err := s.db.ExecContext(ctx, "UPDATE round SET n = n + 1; DELETE FROM session")
	return err
}

// round is how often everybody was logged out.
func (s *sessionStore) round(ctx context.Context) (n int64, err error) {
	err = s.db.QueryRowContext(ctx, "SELECT n FROM round").Scan(&n)
	return n, err
}

// Close closes the file.
func (s *sessionStore) Close() error { return s.db.Close() }
