package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

// migrations are numbered SQL files, each run once in one transaction. A file
// that was released is never changed: its checksum is kept in the book.

//go:embed migrations/*.sql
var migrationFiles embed.FS

type migration struct {
	number   int
	name     string
	sql      string
	checksum string
}

func migrations() ([]migration, error) {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	var all []migration
	for i, path := range names {
		data, err := migrationFiles.ReadFile(path)
		if err != nil {
			return nil, err
		}
		name := strings.TrimSuffix(strings.TrimPrefix(path, "migrations/"), ".sql")
		digits, _, _ := strings.Cut(name, "_")
		n, err := strconv.Atoi(digits)
		if err != nil || n != i+1 {
			return nil, fmt.Errorf("migration %s is out of order", name)
		}
		sum := sha256.Sum256(data)
		all = append(all, migration{n, name, string(data), hex.EncodeToString(sum[:])})
	}
	return all, nil
}

// migrate brings the tables of a book up to this build.
func migrate(ctx context.Context, db *sql.DB) error {
	all, err := migrations()
	if err != nil {
		return err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after Commit it does nothing
	if _, err := tx.ExecContext(ctx, "CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL, checksum TEXT NOT NULL) STRICT"); err != nil {
		return err
	}
	done, err := doneMigrations(ctx, tx)
	if err != nil {
		return err
	}
	for number, checksum := range done {
		switch {
		case number > len(all):
			return fmt.Errorf("this book was written by a newer version (tables of step %d, this build knows %d); update the program", number, len(all))
		case checksum != all[number-1].checksum:
			return fmt.Errorf("step %d of this book's tables is not the one of this build: the file was not made by a released version", number)
		}
	}
	for _, m := range all[min(len(done), len(all)):] {
		if _, err := tx.ExecContext(ctx, m.sql); err != nil {
			return fmt.Errorf("step %s: %w", m.name, err)
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO migration (number, name, checksum) VALUES (?, ?, ?)", m.number, m.name, m.checksum); err != nil {
			return err
		}
	}
	return tx.Commit()
}

func doneMigrations(ctx context.Context, tx *sql.Tx) (map[int]string, error) {
	rows, err := tx.QueryContext(ctx, "SELECT number, checksum FROM migration")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	done := map[int]string{}
	for rows.Next() {
		var n int
		var sum string
		if err := rows.Scan(&n, &sum); err != nil {
			return nil, err
		}
		done[n] = sum
	}
	return done, rows.Err()
}
