package book

import (
	"archive/zip"
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strings"

	"soundmetal/store"
)

// Limits of what is read from an archive: far beyond a book, near enough to stop
// a file that was made to fill the disk.
const (
	maxArchiveFiles = 500_000
	maxContents     = 4 << 20
	maxLine         = store.MaxCarriedLine
	maxLogBytes     = 4 << 30
	maxFileBytes    = 64 << 30
	receivePart     = 500
)

// ImportReport says what an archive brought.
type ImportReport struct {
	Entries int            // new ones
	Known   int            // that were here already
	Files   int            // new ones
	Cut     []*store.Fault // damage of the book that the archive was written from
}

// Import takes an archive into a book: the union of both. Everything in the
// archive is checked before anything is stored; a forged, reordered or cut
// archive is refused, and so is one whose log of a device differs from the log
// that is here. Book.Refresh shows the new entries.
func Import(ctx context.Context, st store.Store, r io.ReaderAt, size int64) (ImportReport, error) {
	a, err := openArchive(r, size)
	if err != nil {
		return ImportReport{}, err
	}
	if err := a.check(ctx, st); err != nil {
		return ImportReport{}, err
	}
	return a.take(ctx, st)
}

// archive is an archive while it is read.
type archive struct {
	contents Contents
	logs     map[string]*zip.File
	files    map[store.Hash]*zip.File
}

func openArchive(r io.ReaderAt, size int64) (*archive, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoArchive, err)
	}
	if len(z.File) > maxArchiveFiles {
		return nil, fmt.Errorf("this archive has %d files; up to %d are read", len(z.File), maxArchiveFiles)
	}
	a := &archive{logs: map[string]*zip.File{}, files: map[store.Hash]*zip.File{}}
	var contents *zip.File
	var logBytes, fileBytes uint64
	for _, f := range z.File {
		if f.Method != zip.Store && f.Method != zip.Deflate {
			return nil, fmt.Errorf("%q is packed in a way that is not read here", clipped(f.Name))
		}
		switch name := f.Name; {
		case name == contentsName && contents == nil:
			contents = f
		case strings.HasPrefix(name, logsFolder) && strings.HasSuffix(name, logEnding):
			device := strings.TrimSuffix(strings.TrimPrefix(name, logsFolder), logEnding)
			if store.CheckDevice(device) != nil || a.logs[device] != nil {
				return nil, strangeFile(name)
			}
			a.logs[device] = f
			logBytes += f.UncompressedSize64
		case strings.HasPrefix(name, filesFolder):
			h, err := store.ReadHash(strings.TrimPrefix(name, filesFolder))
			if err != nil || a.files[h] != nil {
				return nil, strangeFile(name)
			}
			if f.UncompressedSize64 > store.MaxBlob {
				return nil, fmt.Errorf("file %s has %d bytes; up to %d are accepted", h, f.UncompressedSize64, store.MaxBlob)
			}
			a.files[h] = f
			fileBytes += f.UncompressedSize64
		default:
			return nil, strangeFile(name)
		}
		if logBytes > maxLogBytes || fileBytes > maxFileBytes {
			return nil, errors.New("this archive unpacks to more than a job book can hold")
		}
	}
	if contents == nil {
		return nil, ErrNoArchive
	}
	data, err := readWhole(contents, maxContents)
	if err != nil {
		return nil, err
	}
	a.contents, err = readContents(data)
	return a, err
}

func strangeFile(name string) error {
	return fmt.Errorf("%q does not belong into an archive of a job book, or is in it twice", clipped(name))
}

// readWhole unpacks a file, and no more of it than its list says and the limit
// allows.
func readWhole(f *zip.File, limit int64) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, unreadable(f, err)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, unreadable(f, err)
	}
	if int64(len(data)) > limit {
		return nil, fmt.Errorf("%q has more than %d bytes", clipped(f.Name), limit)
	}
	return data, nil
}

func unreadable(f *zip.File, err error) error {
	return fmt.Errorf("%q cannot be unpacked: %w", clipped(f.Name), err)
}

// check reads everything once and stores nothing.
func (a *archive) check(ctx context.Context, st store.Store) error {
	heads, err := st.Heads(ctx)
	if err != nil {
		return err
	}
	if len(a.contents.Logs) != len(a.logs) || a.contents.Files != len(a.files) {
		return fmt.Errorf("the archive is not whole: its list names %d logs and %d files, it holds %d and %d",
			len(a.contents.Logs), a.contents.Files, len(a.logs), len(a.files))
	}
	for _, l := range a.contents.Logs {
		if a.logs[l.Device] == nil {
			return fmt.Errorf("the archive is not whole: the log of %s is missing", clipped(l.Device))
		}
		if err := a.checkLog(ctx, st, heads, l); err != nil {
			return err
		}
	}
	for h, f := range a.files {
		data, err := readWhole(f, store.MaxBlob)
		if err != nil {
			return err
		}
		if len(data) == 0 || store.HashOf(data) != h {
			return fmt.Errorf("file %s: its bytes are not those of its name", h)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

// checkLog follows the chain of one log and compares it with the log that is
// here: where the last entry that both have is the same, all before it are.
func (a *archive) checkLog(ctx context.Context, st store.Store, heads []store.Head, l LogContents) error {
	here := store.Head{Device: l.Device}
	for _, h := range heads {
		if h.Device == l.Device {
			here = h
		}
	}
	common := min(here.Seq, l.Entries)
	var mine store.Hash
	if common > 0 {
		seen := store.VectorOf(heads)
		seen[l.Device] = common - 1
		entries, err := st.Since(ctx, seen, 1)
		if err != nil {
			return err
		}
		if len(entries) == 1 && entries[0].Device == l.Device && entries[0].Seq == common {
			mine = entries[0].Hash
		}
	}
	sum := sha256.New()
	at := store.Head{Device: l.Device}
	err := a.eachLine(ctx, l.Device, sum, func(e *store.Entry) error {
		if err := e.Follows(at); err != nil {
			return err
		}
		at = e.Head()
		if e.Seq == common && e.Hash != mine {
			return &store.Fault{Device: e.Device, Seq: e.Seq, Kind: store.Forked,
				Text: "the log of this device in the archive and the one here have grown apart: it was written on from a copy"}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case at.Seq != l.Entries || at.Hash != l.Last || [32]byte(sum.Sum(nil)) != l.Sum:
		return fmt.Errorf("the log of %s is not the one that the archive's list names: it was cut or changed", l.Device)
	}
	return nil
}

// eachLine reads the entries of a log.
func (a *archive) eachLine(ctx context.Context, device string, sum io.Writer, each func(*store.Entry) error) error {
	f := a.logs[device]
	r, err := f.Open()
	if err != nil {
		return unreadable(f, err)
	}
	defer r.Close()
	lines := bufio.NewReaderSize(io.TeeReader(io.LimitReader(r, maxLogBytes), sum), 64<<10)
	var line []byte
	for n := int64(1); ; n++ {
		part, err := lines.ReadSlice('\n')
		line = append(line[:0], part...)
		for errors.Is(err, bufio.ErrBufferFull) && len(line) <= maxLine {
			part, err = lines.ReadSlice('\n')
			line = append(line, part...)
		}
		switch {
		case errors.Is(err, io.EOF) && len(line) == 0:
			return nil
		case errors.Is(err, io.EOF):
			return &store.Fault{Device: device, Seq: n, Kind: store.Malformed, Text: "its line is cut off"}
		case len(line) > maxLine:
			return &store.Fault{Device: device, Seq: n, Kind: store.Malformed, Text: "its line is too long for an entry"}
		case err != nil:
			return unreadable(f, err)
		}
		e, err := store.ReadLine(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			var fault *store.Fault
			if errors.As(err, &fault) {
				return err
			}
			return &store.Fault{Device: device, Seq: n, Kind: store.Malformed, Text: err.Error()}
		}
		if e.Device != device {
			return &store.Fault{Device: device, Seq: n, Kind: store.Malformed, Text: "it is of another device's log"}
		}
		if err := each(&e); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
}

// take stores what was checked: files first, so that no entry names one that is
// still to come.
func (a *archive) take(ctx context.Context, st store.Store) (ImportReport, error) {
	r := ImportReport{Cut: a.contents.Cut}
	have, err := held(ctx, st)
	if err != nil {
		return r, err
	}
	for h, f := range a.files {
		if have[h] {
			continue
		}
		data, err := readWhole(f, store.MaxBlob)
		if err != nil {
			return r, err
		}
		if _, err := st.PutBlob(ctx, data); err != nil {
			return r, err
		}
		r.Files++
	}
	for _, l := range a.contents.Logs {
		var part []store.Entry
		send := func() error {
			fresh, err := st.Receive(ctx, part)
			r.Entries += len(fresh)
			r.Known += len(part) - len(fresh)
			part = nil
			return err
		}
		err := a.eachLine(ctx, l.Device, io.Discard, func(e *store.Entry) error {
			if part = append(part, *e); len(part) < receivePart {
				return nil
			}
			return send()
		})
		if err == nil {
			err = send()
		}
		if err != nil {
			return r, err
		}
	}
	return r, nil
}
