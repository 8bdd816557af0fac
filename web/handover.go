package web

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/url"
	"slices"
	"strconv"

	"soundmetal/book"
	"soundmetal/store"
)

// MaxTakeIn is the largest job file that the page takes in: it is read into the
// memory of a phone.
const MaxTakeIn = 64 << 20

// handOverView says what a job file holds before it is given away.
type handOverView struct {
	Name      string // of the file
	File, Few string // addresses with photos and without; Few is "" where there are none
	Entries   int
	Photos    int
	Plans     int
	Size, Bar string // with photos, without
	Devices   []string
	Customer  string
	Gone      int  // photos and plans that are not on this device
	Damaged   int  // entries left out
	Large     bool // too large to be taken in on a page
}

// handOver is the page before a job is handed over.
func (r *request) handOver() error {
	f, err := r.Book.JobFile(r.Context(), r.job.ID, true)
	if err != nil {
		return err
	}
	v := handOverView{Name: f.Name(r.job.Name), File: r.path("file.zip"), Entries: len(f.Entries), Photos: f.Photos, Plans: len(f.Files) - f.Photos,
		Size: bytesText(f.Size), Devices: r.devicesOf(r.job), Gone: f.Contents.Without, Damaged: len(f.Contents.Cut), Large: f.Size > MaxTakeIn}
	if f.Photos > 0 {
		few, err := r.Book.JobFile(r.Context(), r.job.ID, false)
		if err != nil {
			return err
		}
		v.Few, v.Bar = v.File+"?photos=no", bytesText(few.Size)
	}
	v.Customer = r.job.Facts.Set["customer.name"]
	if p, ok := r.reg.Customer(r.job.Customer); ok {
		v.Customer = p.Label()
	}
	return r.render("hand-over", "Hand this job over", v)
}

// devicesOf names the devices that wrote in a job.
func (r *request) devicesOf(j *book.Job) []string {
	var all []string
	for _, l := range j.Log {
		if n := r.reg.DeviceName(l.Ref.Device); !slices.Contains(all, n) {
			all = append(all, n)
		}
	}
	return all
}

// bytesText prints a size as a phone does.
func bytesText(n int64) string {
	if n < 1e6 {
		return strconv.FormatInt((n+999)/1000, 10) + " kB"
	}
	return strconv.FormatFloat(float64(n)/1e6, 'f', 1, 64) + " MB"
}

// jobFile gives the file.
func (r *request) jobFile() error {
	f, err := r.Book.JobFile(r.Context(), r.job.ID, r.FormValue("photos") != "no")
	if err != nil {
		return err
	}
	var out bytes.Buffer
	out.Grow(int(f.Size) + 64<<10)
	if err := f.Write(r.Context(), &out); err != nil {
		return err
	}
	h := r.w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="`+f.Name(r.job.Name)+`"`)
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	r.w.Write(out.Bytes())
	return nil
}

// takeInView is the page that takes a file in, and says what the last one brought.
type takeInView struct {
	Form
	Came    *book.Job // the job that came
	Book    bool      // a whole book came
	Devices []string
	Counts  map[string]int
}

// countsShown are the figures of what came, as the address carries them.
var countsShown = []string{"new", "known", "files", "missing", "against", "cut"}

func (r *request) takeInPage() error {
	v := takeInView{Counts: map[string]int{}}
	q := r.URL.Query()
	for _, name := range countsShown {
		v.Counts[name], _ = strconv.Atoi(q.Get(name))
	}
	if id := q.Get("job"); id != "" {
		j, err := r.Book.Job(r.Context(), id)
		if err != nil {
			return err
		}
		v.Came, v.Devices = j, r.devicesOf(j)
	}
	v.Book = q.Get("job") == "" && q.Has("new")
	return r.takeInForm(statusOK, v, nil)
}

func (r *request) takeInForm(status int, v takeInView, no *book.Refusal) error {
	v.Form = Form{Title: "Take in a job file", Icon: "plus", Submit: "Take it in", Multipart: true, Back: "/",
		Fields: []Field{{Name: "file", Label: "File", Kind: kindFile, Must: true,
			Hint: fmt.Sprintf("A job that another device has handed over, or a whole book that was taken away: up to %d MB.", MaxTakeIn>>20)}}}
	if no != nil {
		v.Form.refuse(no)
	}
	return r.renderStatus(status, "take-in", v.Title, v)
}

// takeIn takes a job file or the archive of a whole book.
func (r *request) takeIn() error {
	data, err := r.uploaded("file")
	if err == nil {
		var to url.Values
		if to, err = r.taken(r.Context(), data); err == nil {
			return r.goTo("/take-in?" + to.Encode() + "#came")
		}
	}
	var no *book.Refusal
	var big *tooLarge
	switch {
	case errors.As(err, &big):
		return r.takeInForm(statusRequestEntityTooLarge, takeInView{}, tooLargeFile)
	case errors.As(err, &no):
		no.Field = "file"
		return r.takeInForm(statusUnprocessableEntity, takeInView{}, no)
	}
	return err
}

var tooLargeFile = &book.Refusal{Code: book.CodeField, Field: "file",
	Text: fmt.Sprintf("this file is larger than %d MB: have it handed over without photos, or take it in with the program on a computer", MaxTakeIn>>20)}

// taken takes the bytes in and gives what the page is to say of it.
func (r *request) taken(ctx context.Context, data []byte) (url.Values, error) {
	file, size := bytes.NewReader(data), int64(len(data))
	counts := func(job string, n ...int) url.Values {
		v := url.Values{}
		if job != "" {
			v.Set("job", job)
		}
		for i, n := range n {
			v.Set(countsShown[i], strconv.Itoa(n))
		}
		return v
	}
	if book.IsJobFile(file, size) {
		f, err := book.OpenJobFile(ctx, file, size)
		if err != nil {
			return nil, notTaken(err, data)
		}
		t, err := r.Book.TakeIn(ctx, r.now, f)
		return counts(t.Job, t.Entries, t.Known, t.Files, t.Missing, t.Against, t.Cut), err
	}
	t, err := book.Import(ctx, r.Book.Store(), file, size)
	if err == nil {
		err = r.Book.Refresh(ctx)
	} else if !errors.Is(err, store.ErrFull) {
		err = notTaken(err, data)
	}
	return counts("", t.Entries, t.Known, t.Files, 0, 0, len(t.Cut)), err
}

// notTaken is a refusal with the reader's sentence.
func notTaken(err error, data []byte) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	text := err.Error()
	if errors.Is(err, book.ErrNoArchive) {
		text = "this is neither a job file nor the archive of a book"
		if _, no := zip.NewReader(bytes.NewReader(data), int64(len(data))); no != nil && bytes.HasPrefix(data, []byte("PK\x03\x04")) {
			text = "this file did not come over whole: have it sent again"
		}
	}
	return wrong("file", text)
}

// uploaded reads the file of a posted form into memory: a phone's worker has no
// place for a temporary file.
func (r *request) uploaded(field string) ([]byte, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, &fault{statusUnsupportedMediaType, "only forms of these pages are read here"}
	}
	for {
		var part *multipart.Part
		part, err = parts.NextPart()
		if err != nil {
			break
		}
		if part.FormName() != field {
			continue
		}
		var out bytes.Buffer
		out.Grow(int(min(max(r.ContentLength, 0), MaxTakeIn)))
		if _, err = io.Copy(&out, part); err != nil {
			break
		}
		if out.Len() == 0 {
			return nil, wrong(field, "the file is missing: choose one")
		}
		return out.Bytes(), nil
	}
	var big *tooLarge
	switch {
	case errors.Is(err, io.EOF):
		return nil, wrong(field, "the file is missing: choose one")
	case errors.As(err, &big):
		return nil, err
	}
	return nil, &fault{statusBadRequest, "this form cannot be read: send it again from its page"}
}
