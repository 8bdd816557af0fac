package book

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"

	"soundmetal/store"
)

// Limits of what is read from a job file: far beyond a job, near enough to stop a
// file that was made to fill a phone.
const (
	maxJobEntries   = 100_000
	maxJobLines     = 128 << 20
	maxJobFiles     = 5_000
	maxJobFileBytes = 1 << 30
	takePart        = 4 << 20 // bytes of entries stored at once
	mostAhead       = 10 * 365 * 24 * time.Hour
)

var jobID = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// IsJobFile says whether a zip is a job file rather than the archive of a book.
func IsJobFile(r io.ReaderAt, size int64) bool {
	z, err := zip.NewReader(r, size)
	return err == nil && slices.ContainsFunc(z.File, func(f *zip.File) bool { return f.Name == jobContentsName })
}

// OpenJobFile reads and checks all of a job file and stores nothing: its list,
// the spelling, hash and order of every entry, that entries of one log which
// stand next to each other in it follow each other, and every file against its
// name. r is read again when it is taken in.
func OpenJobFile(ctx context.Context, r io.ReaderAt, size int64) (*JobFile, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errNoJobFile, err)
	}
	if len(z.File) > maxJobFiles {
		return nil, fmt.Errorf("this job file has %d parts; up to %d are read", len(z.File), maxJobFiles)
	}
	f := &JobFile{}
	parts := map[string]*zip.File{}
	files := map[store.Hash]*zip.File{}
	var total uint64
	for _, p := range z.File {
		if p.Method != zip.Store && p.Method != zip.Deflate {
			return nil, fmt.Errorf("%q is packed in a way that is not read here", clipped(p.Name))
		}
		if rest, ok := strings.CutPrefix(p.Name, filesFolder); ok {
			h, err := store.ReadHash(rest)
			if err != nil || files[h] != nil {
				return nil, strangePart(p.Name)
			}
			if p.UncompressedSize64 > store.MaxBlob {
				return nil, fmt.Errorf("file %s has %d bytes; up to %d are accepted", h, p.UncompressedSize64, store.MaxBlob)
			}
			files[h] = p
			f.Files = append(f.Files, store.BlobInfo{Hash: h, Size: int64(p.UncompressedSize64)})
			total += p.UncompressedSize64
		} else if (p.Name == jobContentsName || p.Name == entriesName) && parts[p.Name] == nil {
			parts[p.Name] = p
		} else {
			return nil, strangePart(p.Name)
		}
		if total > maxJobFileBytes {
			return nil, errors.New("this job file unpacks to more than a job can hold")
		}
	}
	if parts[jobContentsName] == nil || parts[entriesName] == nil {
		return nil, errNoJobFile
	}
	f.read = func(_ context.Context, h store.Hash) ([]byte, error) {
		p := files[h]
		data, err := readWhole(p, int64(p.UncompressedSize64)) // no more than its list says
		if err == nil && (len(data) == 0 || store.HashOf(data) != h) {
			err = fmt.Errorf("file %s: its bytes are not those of its name", h)
		}
		return data, err
	}
	slices.SortFunc(f.Files, func(x, y store.BlobInfo) int { return bytes.Compare(x.Hash[:], y.Hash[:]) })
	return f, f.check(ctx, parts[jobContentsName], parts[entriesName])
}

func strangePart(name string) error {
	return fmt.Errorf("%q does not belong into a job file, or is in it twice", clipped(name))
}

// check reads everything once.
func (f *JobFile) check(ctx context.Context, list, entries *zip.File) error {
	data, err := readWhole(list, maxContents)
	if err != nil {
		return err
	}
	if f.Contents, err = readJobContents(data); err != nil {
		return err
	}
	if f.lines, err = readWhole(entries, min(int64(entries.UncompressedSize64), maxJobLines)); err != nil {
		return err
	}
	if store.HashOf(f.lines) != f.Contents.Sum {
		return errors.New("the entries are not those that the list of the job file names: it was cut or changed")
	}
	if err := f.checkEntries(ctx); err != nil {
		return err
	}
	if len(f.Entries) != f.Contents.Entries || len(f.Files) != f.Contents.Files {
		return fmt.Errorf("the job file is not whole: its list names %d entries and %d files, it holds %d and %d",
			f.Contents.Entries, f.Contents.Files, len(f.Entries), len(f.Files))
	}
	f.Size = int64(len(f.lines))
	for _, i := range f.Files {
		if _, err := f.read(ctx, i.Hash); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		f.Size += i.Size
	}
	return nil
}

// checkEntries reads the lines. Within the file the hashes of a log's entries
// hold each other: one that was changed does not fit the one after it.
func (f *JobFile) checkEntries(ctx context.Context) error {
	seen := map[Ref]bool{}
	last := map[string]store.Head{}
	ofJob := false
	n := 0
	for line := range bytes.Lines(f.lines) {
		n++
		text, whole := bytes.CutSuffix(line, []byte("\n"))
		if !whole || n > maxJobEntries || len(text) > store.MaxLine {
			return fmt.Errorf("line %d of the job file is cut off or too long", n)
		}
		e, err := store.ReadLine(text)
		if err != nil {
			return fmt.Errorf("line %d of the job file: %w", n, err)
		}
		ref := RefOf(&e)
		switch {
		case e.Kind == store.Carried:
			return fmt.Errorf("entry %s: a carried entry is carried as it was written, not inside another", ref)
		case e.Job != f.Contents.Job && (e.Job != "" || !besideJob[Kind(e.Kind)]):
			return fmt.Errorf("entry %s does not belong to the job of the file", ref)
		case seen[ref]:
			return fmt.Errorf("entry %s is in the job file twice", ref)
		case len(f.Entries) > 0 && f.Entries[len(f.Entries)-1].Compare(&e) >= 0:
			return fmt.Errorf("entry %s is out of order", ref)
		}
		if err := follows(last, &e); err != nil {
			return err
		}
		seen[ref], last[e.Device] = true, e.Head()
		ofJob = ofJob || e.Job != ""
		f.Entries = append(f.Entries, e)
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	if !ofJob {
		return errors.New("the job file holds no entry of its job")
	}
	return nil
}

// besideJob are the kinds of no job that a job file may hold: it cannot change
// the shop or the settings of who takes it in.
var besideJob = map[Kind]bool{KindCustomer: true, KindMachine: true, KindDevice: true}

// TakenIn says what a job file brought.
type TakenIn struct {
	Job     string
	Entries int // new ones
	Known   int // that were here already, directly or carried
	Against int // of the new ones: contradict an entry that is here, and are left out
	Files   int // new ones
	Missing int // photos and plans of the job that are not here yet
	Cut     int // damaged entries of the book that it was written from
}

// TakeIn takes a job file into the book. The entries go into the log of this
// device, each inside an entry of its own, so that they reach the other devices
// with it. Taken in a second time it adds nothing. An error names what was wrong
// with the file; then nothing of it is shown.
func (b *Book) TakeIn(ctx context.Context, now time.Time, f *JobFile) (TakenIn, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	t := TakenIn{Job: f.Contents.Job, Cut: len(f.Contents.Cut)}
	if err := b.catchUp(ctx); err != nil {
		return t, err
	}
	fresh, against, err := b.unknown(ctx, now, f)
	if err != nil {
		return t, err
	}
	t.Entries, t.Known, t.Against = len(fresh), len(f.Entries)-len(fresh), against
	if t.Files, err = b.takeFiles(ctx, f); err != nil {
		return t, err
	}
	var later store.Clock
	if n := len(f.Entries); n > 0 {
		later = f.Entries[n-1].Clock // no entry of this book comes before what it follows
	}
	for len(fresh) > 0 {
		n, size := 0, 0
		for n < len(fresh) && n < store.MaxBatch && size < takePart {
			size += len(fresh[n].Body)
			n++
		}
		batch, err := carryAll(fresh[:n])
		if err != nil {
			return t, err
		}
		batch.Device, batch.Now, batch.Later = b.device, now, later
		if _, err := b.store.Append(ctx, batch); err != nil {
			return t, err
		}
		fresh = fresh[n:]
	}
	if err := b.catchUp(ctx); err != nil {
		return t, err
	}
	t.Missing, err = b.missing(ctx, f)
	return t, err
}

// unknown gives the entries that the book has not, and how many of them
// contradict one that it has.
func (b *Book) unknown(ctx context.Context, now time.Time, f *JobFile) (fresh []store.Entry, against int, err error) {
	refs := map[string]map[Ref]bool{}
	streams := map[string]*stream{}
	for _, id := range []string{f.Contents.Job, ""} {
		if b.state.streams[id] == nil && (id == "" || b.state.cards[id] != nil) {
			if err := b.read(ctx, id); err != nil {
				return nil, 0, err
			}
		}
		refs[id], streams[id] = map[Ref]bool{}, b.state.streams[id]
		if streams[id] == nil {
			streams[id] = &stream{}
		}
		for _, r := range streams[id].records {
			refs[id][r.ref] = true
		}
	}
	b.use(f.Contents.Job)
	own := b.state.vector[b.device]
	for i := range f.Entries {
		e := &f.Entries[i]
		if e.Clock.Time().After(now.Add(mostAhead)) {
			return nil, 0, refuse(CodeState, "file", "entry %s is dated %d: no clock can be that wrong", RefOf(e), e.Clock.Time().Year())
		}
		if streams[e.Job].has(e) {
			continue
		}
		if e.Device == b.device && e.Seq > own {
			return nil, 0, errOwnLog
		}
		if refs[e.Job][RefOf(e)] {
			against++
		}
		fresh = append(fresh, *e)
	}
	return fresh, against, nil
}

var errOwnLog = refuse(CodeState, "file", "the file holds entries that this device is said to have logged and has not: its book was copied or put back from an older copy; give this book a new device id first")

// carryAll makes a batch of entries. Its key follows from them, so that the same
// entries are not stored twice.
func carryAll(entries []store.Entry) (store.Batch, error) {
	batch := store.Batch{After: store.Anywhere}
	var all []byte
	for i := range entries {
		body, err := carry(&entries[i])
		if err != nil {
			return batch, err
		}
		all = append(all, entries[i].Hash[:]...)
		batch.Drafts = append(batch.Drafts, store.Draft{Kind: store.Carried, Job: entries[i].Job, Body: body})
	}
	batch.Key = "carried-" + store.HashOf(all).String()
	return batch, nil
}

// takeFiles stores the files first, so that no entry names one that is still to
// come.
func (b *Book) takeFiles(ctx context.Context, f *JobFile) (n int, err error) {
	have, err := held(ctx, b.store)
	if err != nil {
		return 0, err
	}
	for _, i := range f.Files {
		if have[i.Hash] {
			continue
		}
		data, err := f.read(ctx, i.Hash)
		if err != nil {
			return n, err
		}
		if _, err := b.store.PutBlob(ctx, data); err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// missing counts the files that the entries name and that are not here.
func (b *Book) missing(ctx context.Context, f *JobFile) (n int, err error) {
	have, err := held(ctx, b.store)
	if err != nil {
		return 0, err
	}
	for i := range f.Entries {
		if h, ok := FileOf(&f.Entries[i]); ok && !have[h] {
			have[h] = true
			n++
		}
	}
	return n, nil
}
