package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"soundmetal/book"
	"soundmetal/store"
	"soundmetal/store/sqlite"
	"soundmetal/web"
)

// nativeBook is a job book in a folder: book.sqlite and the id of this device.
type nativeBook struct {
	*book.Book
	store *sqlite.Store
}

// Close closes the database.
func (b *nativeBook) Close() error { return b.store.Close() }

const bookFile = "book.sqlite"

// openBook opens the book of a folder, which is made where it is missing.
func openBook(ctx context.Context, dir string) (*nativeBook, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, errBadInput{fmt.Errorf("cannot make the folder %s: %w; name another with --data", dir, err)}
	}
	device, err := deviceID(filepath.Join(dir, "device"))
	if err != nil {
		return nil, err
	}
	st, err := sqlite.Open(ctx, filepath.Join(dir, bookFile))
	if err != nil {
		return nil, errBadInput{fmt.Errorf("cannot open the book in %s: %w", dir, err)}
	}
	b, err := book.Open(ctx, st, device, book.Options{Price: web.Price})
	if err != nil {
		st.Close()
		return nil, err
	}
	return &nativeBook{b, st}, nil
}

// existing opens a book that must be there.
func existing(ctx context.Context, dir string) (*nativeBook, error) {
	if !exists(filepath.Join(dir, bookFile)) {
		return nil, errBadInput{fmt.Errorf("there is no job book in %s; name its folder with --data", dir)}
	}
	return openBook(ctx, dir)
}

// deviceID is the id under which this folder logs. A folder must not be copied
// and then used at both places: the two logs would part.
func deviceID(path string) (string, error) {
	data, err := os.ReadFile(path)
	if err == nil {
		return strings.TrimSpace(string(data)), nil
	}
	if !errors.Is(err, os.ErrNotExist) {
		return "", err
	}
	id := store.NewDevice("office")
	return id, writeFile(path, []byte(id+"\n"))
}

// writeFile writes a file that only its owner can read, as a whole or not at all.
func writeFile(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// exportCmd writes the whole book, or one job of it, as one zip.
type exportCmd struct {
	Data     string `help:"Folder of the job book." default:"soundmetal-book" placeholder:"DIR"`
	Job      string `help:"One job instead of the whole book: its id, as in the address of its page." placeholder:"ID"`
	NoPhotos bool   `help:"Leave the photos of the job out."`
	File     string `arg:"" help:"Zip to write; it must not be there yet." placeholder:"FILE"`
}

func (c *exportCmd) Run(to *console) (err error) {
	ctx := context.Background()
	if c.NoPhotos && c.Job == "" {
		return errBadInput{errors.New("--no-photos goes with --job: the whole book is taken away with its photos")}
	}
	b, err := existing(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	var job *book.JobFile
	if c.Job != "" {
		if job, err = b.JobFile(ctx, c.Job, !c.NoPhotos); err != nil {
			return errBadInput{err}
		}
	}
	f, err := os.OpenFile(c.File, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return errBadInput{fmt.Errorf("cannot write %s: %w", c.File, err)}
	}
	var report book.ExportReport
	if job != nil {
		report = book.ExportReport{Entries: int64(job.Contents.Entries), Files: job.Contents.Files, Faults: job.Contents.Cut}
		err = job.Write(ctx, f)
	} else {
		report, err = book.Export(ctx, b.store, f)
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(c.File)
		return err
	}
	fmt.Fprintf(to.out, "%d entries and %d files are in %s\n", report.Entries, report.Files, c.File)
	if job != nil && job.Contents.Without > 0 && !c.NoPhotos {
		fmt.Fprintf(to.err, "%d photos or plans are not in this book, and not in the file\n", job.Contents.Without)
	}
	for _, f := range report.Faults {
		fmt.Fprintln(to.err, "damaged and left out:", f)
	}
	for _, s := range report.Other {
		fmt.Fprintln(to.err, "damaged and left out:", s)
	}
	return nil
}

// importCmd takes such a zip into the book.
type importCmd struct {
	Data string `help:"Folder of the job book; it is made where it is missing." default:"soundmetal-book" placeholder:"DIR"`
	File string `arg:"" help:"Zip of a whole book or of one job." placeholder:"FILE"`
}

func (c *importCmd) Run(to *console) error {
	ctx := context.Background()
	f, err := os.Open(c.File)
	if err != nil {
		return errBadInput{fmt.Errorf("cannot read %s: %w", c.File, err)}
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	b, err := openBook(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	if book.IsJobFile(f, info.Size()) {
		return c.takeIn(ctx, to, b, f, info.Size())
	}
	before := b.Mark()
	if _, err := book.Import(ctx, b.store, f, info.Size()); err != nil {
		return errBadInput{fmt.Errorf("%s was not taken in: %w; the book is as it was", c.File, err)}
	}
	if err := b.Refresh(ctx); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%d entries came in; the book has %d\n", b.Mark()-before, b.Mark())
	return nil
}

// takeIn takes a job file in.
func (c *importCmd) takeIn(ctx context.Context, to *console, b *nativeBook, file io.ReaderAt, size int64) error {
	f, err := book.OpenJobFile(ctx, file, size)
	if err != nil {
		return errBadInput{fmt.Errorf("%s was not taken in: %w; the book is as it was", c.File, err)}
	}
	t, err := b.TakeIn(ctx, time.Now(), f)
	var no *book.Refusal
	if errors.As(err, &no) {
		return errBadInput{fmt.Errorf("%s was not taken in: %w; the book is as it was", c.File, err)}
	}
	if err != nil {
		return err
	}
	card, _ := b.Card(t.Job)
	fmt.Fprintf(to.out, "job %s, %s: %d entries and %d files came in, %d entries were here already\n", t.Job, card.Name, t.Entries, t.Files, t.Known)
	for _, more := range []struct {
		n    int
		text string
	}{{t.Against, "entries contradict what is here and are left out"}, {t.Missing, "photos or plans of it are not here yet"},
		{t.Cut, "entries were damaged in the book it came from and are not in it"}} {
		if more.n > 0 {
			fmt.Fprintln(to.err, more.n, more.text)
		}
	}
	return nil
}

// backupCmd copies the database while it is in use.
type backupCmd struct {
	Data string `help:"Folder of the job book." default:"soundmetal-book" placeholder:"DIR"`
	File string `arg:"" optional:"" help:"Copy to write; left out: backup-DATE.sqlite in the folder." placeholder:"FILE"`
}

func (c *backupCmd) Run(to *console) error {
	ctx := context.Background()
	b, err := existing(ctx, c.Data)
	if err != nil {
		return err
	}
	defer b.Close()
	path := c.File
	if path == "" {
		path = filepath.Join(c.Data, "backup-"+time.Now().Format("2006-01-02-150405")+".sqlite")
	}
	if err := b.store.Backup(ctx, path); err != nil {
		return errBadInput{fmt.Errorf("cannot write %s: %w", path, err)}
	}
	fmt.Fprintln(to.out, "a whole and verified copy is in", path)
	return nil
}

// passphraseCmd sets the passphrase of the pages.
type passphraseCmd struct {
	Data string `help:"Folder of the job book." default:"soundmetal-book" placeholder:"DIR"`
}

func (c *passphraseCmd) Run(to *console) error {
	if err := os.MkdirAll(c.Data, 0o700); err != nil {
		return errBadInput{err}
	}
	fmt.Fprintln(to.err, "type the new passphrase, then Enter:")
	data, err := io.ReadAll(io.LimitReader(os.Stdin, maxPass+2))
	if err != nil {
		return err
	}
	line, _, _ := strings.Cut(string(data), "\n")
	if err := setPassphrase(filepath.Join(c.Data, loginFile), strings.TrimRight(line, "\r")); err != nil {
		return errBadInput{err}
	}
	fmt.Fprintln(to.err, "set; whoever was logged in is asked for it")
	return nil
}
