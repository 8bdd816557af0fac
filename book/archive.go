package book

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"soundmetal/store"
)

// The archive is a zip of
//
//	book.json            what is in it, see Contents
//	logs/<device>.jsonl  one entry a line, in sequence
//	files/<sha-256>      photos and kept plans
//
// It is described in docs/book-format.md. Nothing in it depends on when or where
// it was written, so the same book gives the same bytes.

// ArchiveVersion is the version of the archive; it rises when an older build
// could not read it.
const ArchiveVersion = 1

const (
	contentsName = "book.json"
	logsFolder   = "logs/"
	filesFolder  = "files/"
	logEnding    = ".jsonl"
)

// Contents lists what an archive holds.
type Contents struct {
	Format  string         `json:"format"` // "soundmetal book"
	Version int            `json:"version"`
	Logs    []LogContents  `json:"logs"`
	Files   int            `json:"files"`
	Cut     []*store.Fault `json:"cut,omitempty"` // damage in the book it was written from
}

// ArchiveName is what an archive of the day is called where it is saved.
func ArchiveName(day time.Time) string {
	return "soundmetal-book-" + day.Format(time.DateOnly) + ".zip"
}

// LogContents is one log of an archive.
type LogContents struct {
	Device  string     `json:"device"`
	Entries int64      `json:"entries"`
	Last    store.Hash `json:"last"` // hash of the last entry
	Sum     store.Hash `json:"sum"`  // SHA-256 of the file's bytes
}

const archiveFormat = "soundmetal book"

// archiveDay stands at every file of an archive; a zip cannot do without a date.
var archiveDay = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// ExportReport says what was written.
type ExportReport struct {
	Entries int64
	Files   int
	Faults  []*store.Fault // a damaged log is written up to the entry before
	Other   []string       // files that are damaged and left out
}

// Export writes the whole book as one archive: what was stored before the call.
// Where the book is damaged it writes what is whole, and says in the report and
// in the archive what is not.
func Export(ctx context.Context, st store.Store, w io.Writer) (ExportReport, error) {
	var r ExportReport
	heads, err := st.Heads(ctx)
	if err != nil {
		return r, err
	}
	contents := Contents{Format: archiveFormat, Version: ArchiveVersion, Logs: []LogContents{}}
	for _, h := range heads { // once to know what there is
		sum := sha256.New()
		l, fault, err := writeLog(ctx, st, heads, h, sum)
		if err != nil {
			return r, err
		}
		if fault != nil {
			r.Faults = append(r.Faults, fault)
		}
		if l.Entries == 0 {
			continue
		}
		copy(l.Sum[:], sum.Sum(nil))
		contents.Logs = append(contents.Logs, l)
		r.Entries += l.Entries
	}
	files, err := wholeFiles(ctx, st, &r)
	if err != nil {
		return r, err
	}
	contents.Files, contents.Cut = len(files), r.Faults
	z := zip.NewWriter(w)
	data, err := encode(contents)
	if err != nil {
		return r, err
	}
	if err := addFile(z, contentsName, append(data, '\n')); err != nil {
		return r, err
	}
	for _, l := range contents.Logs { // and once to write it, up to the same place
		part, err := create(z, logsFolder+l.Device+logEnding)
		if err != nil {
			return r, err
		}
		again, _, err := writeLog(ctx, st, heads, store.Head{Device: l.Device, Seq: l.Entries}, part)
		if err == nil && (again.Entries != l.Entries || again.Last != l.Last) {
			err = fmt.Errorf("the log of %s changed while it was written; this must not be", l.Device)
		}
		if err != nil {
			return r, err
		}
	}
	for _, h := range files {
		data, err := st.Blob(ctx, h)
		if err != nil {
			return r, err
		}
		if err := addFile(z, filesFolder+h.String(), data); err != nil {
			return r, err
		}
	}
	return r, z.Close()
}

// writeLog writes one device's log up to its head, or up to the first damage.
func writeLog(ctx context.Context, st store.Store, heads []store.Head, to store.Head, w io.Writer) (LogContents, *store.Fault, error) {
	const part = 500
	l := LogContents{Device: to.Device}
	seen := store.VectorOf(heads)
	seen[to.Device] = 0
	at := store.Head{Device: to.Device}
	for l.Entries < to.Seq {
		entries, err := st.Since(ctx, seen, part)
		if err != nil {
			return l, nil, err
		}
		moved := false
		for i := range entries {
			e := &entries[i]
			seen[e.Device] = max(seen[e.Device], e.Seq) // of other devices: what came just now
			moved = true
			if e.Device != to.Device || e.Seq > to.Seq {
				continue
			}
			var fault *store.Fault
			if err := errors.Join(e.Check(), e.Follows(at)); errors.As(err, &fault) {
				return l, fault, nil
			}
			line, err := e.Line()
			if err != nil {
				return l, nil, err
			}
			if _, err := w.Write(append(line, '\n')); err != nil {
				return l, nil, err
			}
			at = e.Head()
			l.Entries, l.Last = e.Seq, e.Hash
		}
		if !moved {
			return l, &store.Fault{Device: to.Device, Seq: l.Entries + 1, Kind: store.Missing, Text: "it was stored and is gone"}, nil
		}
	}
	return l, nil, nil
}

// wholeFiles lists the files whose bytes are those of their hash.
func wholeFiles(ctx context.Context, st store.Store, r *ExportReport) ([]store.Hash, error) {
	infos, err := st.Blobs(ctx)
	if err != nil {
		return nil, err
	}
	var all []store.Hash
	for _, i := range infos {
		switch _, err := st.Blob(ctx, i.Hash); {
		case errors.Is(err, store.ErrDamagedBlob), errors.Is(err, store.ErrNoBlob):
			r.Other = append(r.Other, fmt.Sprintf("file %s: %v", i.Hash, err))
		case err != nil:
			return nil, err
		default:
			all = append(all, i.Hash)
		}
	}
	r.Files = len(all)
	return all, nil
}

// create begins a file. Files are stored, not packed: the bytes of a packed file
// would depend on the packer's version.
func create(z *zip.Writer, name string) (io.Writer, error) {
	return z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store, Modified: archiveDay})
}

func addFile(z *zip.Writer, name string, data []byte) error {
	w, err := create(z, name)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// readContents reads and checks the list of an archive.
func readContents(data []byte) (Contents, error) {
	var c Contents
	dec := json.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&c); err != nil || c.Format != archiveFormat {
		return c, ErrNoArchive
	}
	if c.Version > ArchiveVersion {
		return c, fmt.Errorf("this archive has version %d; this build reads up to %d: update the program", c.Version, ArchiveVersion)
	}
	if c.Version < 1 {
		return c, ErrNoArchive
	}
	return c, nil
}

// ErrNoArchive is a file of something else.
var ErrNoArchive = errors.New("this is no archive of a job book")
