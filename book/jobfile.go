package book

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"soundmetal/store"
)

// The job file is a zip of
//
//	job.json         what is in it, see JobContents
//	entries.jsonl    one entry a line, in the order of their clocks
//	files/<sha-256>  photos and kept plans
//
// It holds one job and what the job needs of its customer, its machine and the
// names of its devices, so that it can be handed over where there is no network.
// It is described in docs/book-format.md. The same entries give the same bytes.

// JobFileVersion is the version of the job file; it rises when an older build
// could not read it.
const JobFileVersion = 1

// JobFileEnding ends the name of a job file.
const JobFileEnding = ".soundmetal-job.zip"

const (
	jobContentsName = "job.json"
	entriesName     = "entries.jsonl"
	jobFormat       = "soundmetal job"
)

// JobContents lists what a job file holds.
type JobContents struct {
	Format  string         `json:"format"` // "soundmetal job"
	Version int            `json:"version"`
	Job     string         `json:"job"`
	Entries int            `json:"entries"`
	Sum     store.Hash     `json:"sum"` // SHA-256 of entries.jsonl
	Files   int            `json:"files"`
	Without int            `json:"without,omitempty"` // files that entries name and that are not in it
	Cut     []*store.Fault `json:"cut,omitempty"`     // damage in the book it was written from
}

// JobFile is one job, ready to be handed over or taken in.
type JobFile struct {
	Contents JobContents
	Entries  []store.Entry    // as they were written, in order
	Files    []store.BlobInfo // by hash
	Photos   int              // of them
	Size     int64            // of the file, in bytes, but for the frame of the zip

	lines []byte
	read  func(context.Context, store.Hash) ([]byte, error)
}

// JobFile gathers a job to be handed over, with or without its photos. What the
// job needs besides its own entries: those of its customer, of its machine and
// the machine's owner, and the names of the devices that wrote in it. The shop's
// fields are not in it: a plan is kept with the shop that it was made with.
func (b *Book) JobFile(ctx context.Context, id string, photos bool) (*JobFile, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	j, err := b.job(ctx, id)
	if err != nil {
		return nil, err
	}
	if b.state.streams[""] == nil {
		if err := b.read(ctx, ""); err != nil {
			return nil, err
		}
	}
	f := &JobFile{Contents: JobContents{Format: jobFormat, Version: JobFileVersion, Job: id}, read: b.store.Blob}
	if err := f.gather(ctx, b, id, b.needs(j)); err != nil {
		return nil, err
	}
	if err := f.pick(ctx, b.store, photos); err != nil {
		return nil, err
	}
	return f, nil
}

// needs says which entries of no job the job needs.
func (b *Book) needs(j *Job) func(*record) bool {
	parties, devices := map[string]bool{j.Customer: true, j.Machine: true}, map[string]bool{}
	if m, ok := b.state.registry.Machine(j.Machine); ok {
		parties[m.Get("customer")] = true
	}
	delete(parties, "")
	for _, l := range j.Log {
		devices[l.Ref.Device] = true
	}
	return func(r *record) bool {
		switch b := r.body.(type) {
		case CustomerSet:
			return parties[b.ID]
		case MachineSet:
			return parties[b.ID]
		case DeviceNamed:
			return devices[b.Device]
		}
		return false
	}
}

// gather takes the entries that count, each once and as it was written.
func (f *JobFile) gather(ctx context.Context, b *Book, id string, needed func(*record) bool) error {
	want := map[known]bool{}
	for _, st := range []*stream{b.state.streams[id], b.state.streams[""]} {
		count, _ := counting(st.records)
		for _, r := range count {
			want[known{r.ref, r.hash}] = r.job != "" || needed(r)
		}
	}
	for e, err := range b.store.Load(ctx, store.Query{Jobs: []string{id, ""}}) {
		var fault *store.Fault
		switch {
		case errors.As(err, &fault):
			f.Contents.Cut = append(f.Contents.Cut, fault)
			continue
		case err != nil:
			return err
		}
		in, _, err := original(&e)
		if at := (known{RefOf(&in), in.Hash}); err == nil && want[at] {
			want[at] = false
			f.Entries = append(f.Entries, in)
		}
	}
	slices.SortFunc(f.Entries, func(x, y store.Entry) int { return x.Compare(&y) })
	f.follow()
	var out bytes.Buffer
	for i := range f.Entries {
		line, err := f.Entries[i].Line()
		if err != nil {
			return err
		}
		out.Write(line)
		out.WriteByte('\n')
	}
	if out.Len() > maxJobLines || len(f.Entries) > maxJobEntries {
		return errTooLarge
	}
	f.lines = out.Bytes()
	f.Contents.Entries, f.Contents.Sum = len(f.Entries), store.HashOf(f.lines)
	f.Size = int64(out.Len())
	return nil
}

// follow leaves out what does not follow the entry before it in its device's
// log: of a log that was written twice, from a copy, both parts may be here.
func (f *JobFile) follow() {
	last := map[string]store.Head{}
	f.Entries = slices.DeleteFunc(f.Entries, func(e store.Entry) bool {
		var fault *store.Fault
		if errors.As(follows(last, &e), &fault) {
			f.Contents.Cut = append(f.Contents.Cut, fault)
			return true
		}
		last[e.Device] = e.Head()
		return false
	})
}

// follows says whether an entry may come after the last one of its log that is
// in the file. The error is a *store.Fault.
func follows(last map[string]store.Head, e *store.Entry) error {
	head, ok := last[e.Device]
	switch {
	case !ok || e.Seq > head.Seq+1:
		return nil
	case e.Seq == head.Seq+1:
		return e.Follows(head)
	}
	return &store.Fault{Device: e.Device, Seq: e.Seq, Kind: store.Broken, Text: "it comes after one that its device logged later"}
}

var errTooLarge = refuse(CodeState, "", "this job is too large for one file: take the whole book away instead")

// pick takes the files that the entries name.
func (f *JobFile) pick(ctx context.Context, st store.Store, photos bool) error {
	infos, err := st.Blobs(ctx)
	if err != nil {
		return err
	}
	here := make(map[store.Hash]store.BlobInfo, len(infos))
	for _, i := range infos {
		here[i.Hash] = i
	}
	seen := map[store.Hash]bool{}
	for i := range f.Entries {
		h, ok := FileOf(&f.Entries[i])
		if !ok || seen[h] {
			continue
		}
		seen[h] = true
		photo := Kind(f.Entries[i].Kind) == KindPhoto
		info, ok := here[h]
		if photo && !photos || !ok {
			f.Contents.Without++
			continue
		}
		if photo {
			f.Photos++
		}
		f.Files = append(f.Files, info)
		f.Size += info.Size
	}
	slices.SortFunc(f.Files, func(x, y store.BlobInfo) int { return bytes.Compare(x.Hash[:], y.Hash[:]) })
	f.Contents.Files = len(f.Files)
	if len(f.Files) > maxJobFiles-2 || f.Size > maxJobFileBytes {
		return errTooLarge
	}
	return nil
}

// Name is what the file is called: the job's name in plain letters.
func (f *JobFile) Name(job string) string {
	name := strings.Map(func(c rune) rune {
		switch {
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			return c
		case 'A' <= c && c <= 'Z':
			return c + 'a' - 'A'
		}
		return ' '
	}, job)
	const most = 60
	name = strings.Join(strings.Fields(name), "-")
	if len(name) > most {
		name = strings.TrimRight(name[:most], "-")
	}
	if name == "" {
		name = f.Contents.Job
	}
	return name + JobFileEnding
}

// Write writes the file. Where a photo or plan turns out to be damaged nothing
// useful is written and the error says which.
func (f *JobFile) Write(ctx context.Context, w io.Writer) error {
	z := zip.NewWriter(w)
	list, err := encode(f.Contents)
	if err != nil {
		return err
	}
	if err := addFile(z, jobContentsName, append(list, '\n')); err != nil {
		return err
	}
	if err := addFile(z, entriesName, f.lines); err != nil {
		return err
	}
	for _, i := range f.Files {
		data, err := f.read(ctx, i.Hash)
		if err != nil {
			return fmt.Errorf("file %s: %w", i.Hash, err)
		}
		if err := addFile(z, filesFolder+i.Hash.String(), data); err != nil {
			return err
		}
	}
	return z.Close()
}

// readJobContents reads and checks the list of a job file.
func readJobContents(data []byte) (JobContents, error) {
	var c JobContents
	if err := json.NewDecoder(bytes.NewReader(data)).Decode(&c); err != nil || c.Format != jobFormat || c.Version < 1 {
		return c, errNoJobFile
	}
	if c.Version > JobFileVersion {
		return c, fmt.Errorf("this job file has version %d; this build reads up to %d: update the program", c.Version, JobFileVersion)
	}
	if !jobID.MatchString(c.Job) {
		return c, errNoJobFile
	}
	return c, nil
}

var errNoJobFile = errors.New("this is no job file")
