package web

import (
	"context"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/textproto"
	"net/url"
	"strconv"
	"strings"
)

// Request is what a visitor asks for, by whichever host it comes: as an
// http.Request as far as pages use one. net/http itself is for hosts: with it the
// phone's program would carry TLS and its ciphers, a tenth of its size.
type Request struct {
	Method        string
	URL           *url.URL
	Header        textproto.MIMEHeader
	Host          string
	Secure        bool // by TLS
	ContentLength int64
	Body          io.Reader // nil: none

	ctx         context.Context
	named       map[string]string // values of the path
	parsed      bool
	all, posted url.Values // once parsed: with the query, and without it
	multi       *multipart.Form
}

// Writer takes an answer, as http.ResponseWriter does.
type Writer interface {
	Header() textproto.MIMEHeader
	WriteHeader(status int)
	Write([]byte) (int, error)
}

// NewRequest gives a request; what it has besides is set afterwards.
func NewRequest(ctx context.Context, method string, at *url.URL) *Request {
	return &Request{ctx: ctx, Method: method, URL: at, Host: at.Host, Header: textproto.MIMEHeader{}}
}

// Context ends when the visitor has gone.
func (r *Request) Context() context.Context { return r.ctx }

// PathValue gives a value of the path by its name in the pattern.
func (r *Request) PathValue(name string) string { return r.named[name] }

// ParseForm reads the query, and a form that is posted without files.
func (r *Request) ParseForm() (err error) {
	if r.parsed {
		return nil
	}
	r.parsed, r.posted = true, url.Values{}
	if media, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); r.Method == methodPost && r.Body != nil && media == "application/x-www-form-urlencoded" {
		var data []byte
		if data, err = io.ReadAll(r.Body); err == nil {
			r.posted, err = url.ParseQuery(string(data))
		}
	}
	query, wrong := url.ParseQuery(r.URL.RawQuery)
	r.all = url.Values{}
	for _, from := range []url.Values{r.posted, query} {
		for name, values := range from {
			r.all[name] = append(r.all[name], values...)
		}
	}
	if err == nil {
		err = wrong
	}
	return err
}

var (
	errNoParts     = errors.New("the form is not one of several parts")
	errMissingFile = errors.New("no such file in the form")
)

// MultipartReader gives the parts of a posted form as they come.
func (r *Request) MultipartReader() (*multipart.Reader, error) {
	media, params, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || media != "multipart/form-data" || params["boundary"] == "" || r.Body == nil {
		return nil, errNoParts
	}
	return multipart.NewReader(r.Body, params["boundary"]), nil
}

// ParseMultipartForm reads a posted form with files, so many bytes of them in
// memory.
func (r *Request) ParseMultipartForm(memory int64) error {
	err := r.ParseForm()
	if r.multi != nil {
		return err
	}
	parts, no := r.MultipartReader()
	if no != nil {
		return no
	}
	form, no := parts.ReadForm(memory)
	if no != nil {
		return no
	}
	r.multi = form
	for name, values := range form.Value {
		r.all[name] = append(r.all[name], values...)
		r.posted[name] = append(r.posted[name], values...)
	}
	return err
}

// FormFile gives a file of a form that was read.
func (r *Request) FormFile(name string) (multipart.File, *multipart.FileHeader, error) {
	if r.multi == nil || len(r.multi.File[name]) == 0 {
		return nil, nil, errMissingFile
	}
	head := r.multi.File[name][0]
	f, err := head.Open()
	return f, head, err
}

const formMemory = 32 << 20

// FormValue gives a value of the form or of the query.
func (r *Request) FormValue(name string) string {
	r.ParseMultipartForm(formMemory)
	return r.all.Get(name)
}

// PostFormValue gives a value of the form.
func (r *Request) PostFormValue(name string) string {
	r.ParseMultipartForm(formMemory)
	return r.posted.Get(name)
}

// tooLarge is the failure to read more than a limit.
type tooLarge struct{ Limit int64 }

func (t *tooLarge) Error() string { return "larger than " + strconv.FormatInt(t.Limit, 10) + " bytes" }

// limited reads up to a limit; more is an error, not an end.
type limited struct {
	from        io.Reader
	left, limit int64
	err         error
}

func (l *limited) Read(p []byte) (int, error) {
	if l.err != nil || len(p) == 0 {
		return 0, l.err
	}
	if int64(len(p))-1 > l.left {
		p = p[:l.left+1]
	}
	n, err := l.from.Read(p)
	if int64(n) > l.left {
		n, err = int(l.left), &tooLarge{l.limit}
	}
	l.left -= int64(n)
	l.err = err
	return n, err
}

// redirect sends the browser on to a path of these pages.
func redirect(w Writer, path string) {
	var ascii strings.Builder
	for _, b := range []byte(path) {
		if b < 0x80 {
			ascii.WriteByte(b)
		} else {
			ascii.WriteString("%" + strconv.FormatUint(uint64(b), 16))
		}
	}
	w.Header().Set("Location", ascii.String())
	w.WriteHeader(statusSeeOther)
}

// plainError answers with one line of text.
func plainError(w Writer, text string, status int) {
	h := w.Header()
	h.Del("Content-Length")
	h.Set("Content-Type", "text/plain; charset=utf-8")
	h.Set("X-Content-Type-Options", "nosniff")
	w.WriteHeader(status)
	io.WriteString(w, text+"\n")
}

const methodGet, methodHead, methodPost = "GET", "HEAD", "POST"

// The answers of these pages; RFC 9110 and 6585 (statusInsufficientStorage: RFC 4918).
const (
	statusOK                    = 200
	statusNoContent             = 204
	statusSeeOther              = 303
	statusBadRequest            = 400
	statusNotFound              = 404
	statusConflict              = 409
	statusRequestEntityTooLarge = 413
	statusUnsupportedMediaType  = 415
	statusUnprocessableEntity   = 422
	statusInternalServerError   = 500
	statusServiceUnavailable    = 503
	statusInsufficientStorage   = 507
)
