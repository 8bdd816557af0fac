package web

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"
	"time"

	"soundmetal/book"
	"soundmetal/gate"
	"soundmetal/plan"
	q "soundmetal/quantity"
	"soundmetal/sheet/view"
	"soundmetal/source"
)

//go:embed templates
var templateFiles embed.FS

// shared is base.html with the parts, parsed once.
var shared = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("base").Funcs(functions).ParseFS(templateFiles, "templates/base.html", "templates/parts.html"))
})

// parsed keeps each page's template, parsed when it is first asked for: a phone
// starts the program anew for every few pages.
var parsed sync.Map

// templateOf gives the template of a page: the shared parts and one file.
func templateOf(name string) (*template.Template, error) {
	if t, ok := parsed.Load(name); ok {
		return t.(*template.Template), nil
	}
	base, err := shared().Clone()
	if err != nil {
		return nil, err
	}
	t, err := base.ParseFS(templateFiles, "templates/"+name+".html")
	if err != nil {
		return nil, err
	}
	kept, _ := parsed.LoadOrStore(name, t)
	return kept.(*template.Template), nil
}

// page is what every template gets.
type page struct {
	R     *scene
	Title string
	Data  any
	Part  bool
}

// Refresh is after how many seconds a browser without scripts loads the page
// again; 0: never.
func (p page) Refresh() int {
	if v, ok := p.Data.(interface{ Refresh() int }); ok {
		return v.Refresh()
	}
	return 0
}

// Job is the job of the page, or nil.
func (p page) Job() *book.Job { return p.R.job }

// Setting gives a setting of the book.
func (p page) Setting(name string) string { return p.R.setting(name) }

// Now is the time of the request.
func (p page) Now() time.Time { return p.R.now }

// Key gives an idempotency key for one more form.
func (p page) Key() string { return p.R.newKey() }

// In turns a text's figures so that the system of the job leads.
func (p page) In(text string) string { return view.Lead(text, p.R.system()) }

// Clock prints a time of day, with the day where it is not today.
func (p page) Clock(t time.Time) string { return p.R.clock(t) }

// URL gives a path below the job.
func (p page) URL(rest ...string) string {
	return "/jobs/" + p.R.job.ID + "/" + strings.Join(rest, "/")
}

// Place names a damaged place where the job has more than one.
func (p page) Place(item string) string { return p.R.placeName(item) }

// With hands the page and a value to a part.
func (p page) With(v any) page { p.Data = v; return p }

// clockText prints a time of day, with the day where it is not that of now.
func clockText(t, now time.Time) string {
	t = t.In(now.Location())
	switch y, m, d := t.Date(); {
	case t.IsZero():
		return ""
	case y == now.Year() && m == now.Month() && d == now.Day():
		return t.Format("15:04")
	case y == now.Year():
		return t.Format("2 Jan 15:04")
	}
	return t.Format("2 Jan 2006")
}

// write executes a template into w.
func (r *request) write(w io.Writer, name, title string, data any) error {
	t, err := templateOf(name)
	if err != nil {
		return err
	}
	p := page{R: r.scene, Title: title, Data: data, Part: r.part()}
	block := "base"
	if p.Part {
		block = "main"
	}
	return t.ExecuteTemplate(w, block, p)
}

var functions = template.FuncMap{
	"asset":   assetPath,
	"icon":    icon,
	"sprite":  sprite,
	"verdict": verdictOf,
	"span":    span,
	"iso":     func(t time.Time) string { return t.UTC().Format(time.RFC3339) },
	"step":    stepText,
	"weak":    func(s source.Status) bool { return s.Weak() },
	"first":   firstSentence,
	"rest":    restSentences,
	"join":    strings.Join,
	"list":    func(v ...any) []any { return v },
	"has":     strings.Contains,
	"upper":   capital,
	"plus":    func(a, b int) int { return a + b },
	"minus":   func(a, b int) int { return a - b },
	"word":    word,
	"many":    many,
	"placename": func(it plan.Item) string {
		if it.Name != "" {
			return it.Name
		}
		return it.Part
	},
}

// many counts things: 1 photo, 2 photos.
func many(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}

// capital begins a sentence.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// verdictWord is a verdict as a page shows it.
type verdictWord struct{ Class, Icon, Word, Text string }

var verdictWords = map[gate.Class]verdictWord{
	gate.Refuse:    {"refuse", "stop", "No", "Do not weld this."},
	gate.Escalate:  {"escalate", "wait", "Not yet", "No arc until the approval named below is in your hand, in writing."},
	gate.Condition: {"condition", "ask", "Yes, if", "Only with the conditions below."},
	gate.Go:        {"go", "done", "Yes", "Make safe first."},
}

func verdictOf(c gate.Class) verdictWord { return verdictWords[c] }

// span prints a duration as a person says it.
func span(d time.Duration) string {
	late := d < 0
	if late {
		d = -d
	}
	s := ""
	switch m := int(d.Round(time.Minute) / time.Minute); {
	case d < 90*time.Second:
		s = fmt.Sprintf("%d s", int(d/time.Second))
	case m < 90:
		s = fmt.Sprintf("%d min", m)
	case m < 48*60:
		s = fmt.Sprintf("%d h %02d min", m/60, m%60)
	default:
		s = fmt.Sprintf("%d days", (m+12*60)/(24*60))
	}
	if late {
		return s + " over"
	}
	return s
}

// firstSentence is what a hold point's line begins with: its heading.
func firstSentence(s string) string {
	a, _ := cutSentence(s)
	return a
}

func restSentences(s string) string {
	_, b := cutSentence(s)
	return b
}

func cutSentence(s string) (head, rest string) {
	for _, mark := range []string{". ", ": "} {
		if i := strings.Index(s, mark); i > 0 && i < 70 {
			return s[:i], strings.TrimSpace(s[i+len(mark):])
		}
	}
	return s, ""
}

// stepText is a line of the working: formula, with his figures, outcome.
func stepText(s source.Step) string {
	var parts []string
	for _, p := range []string{s.Formula, s.With} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if s.Text != "" {
		parts = append(parts, s.Text)
	} else {
		parts = append(parts, strings.TrimSpace(plainNumber(s.Value)+" "+s.Unit))
	}
	return strings.Join(parts, " = ")
}

// plainNumber prints four significant figures, without an exponent as far as
// people read numbers without one.
func plainNumber(v float64) string {
	if a := math.Abs(v); a >= 1e4 && a < 1e9 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

// Post is a button that is a form by itself.
type Post struct {
	Path, Label, Icon, Class, Key string
	Fields                        [][2]string
}

// Post makes a button of a path below the job, a word, an icon, a class and
// names with values.
func (p page) Post(path, label, icon, class string, fields ...string) Post {
	b := Post{Path: p.R.path(path), Label: label, Icon: icon, Class: class, Key: p.R.newKey()}
	var h *book.Hold
	for i := 0; i+1 < len(fields); i += 2 {
		b.Fields = append(b.Fields, [2]string{fields[i], fields[i+1]})
		if fields[i] == "hold" {
			h = p.R.job.Hold(fields[i+1])
		}
	}
	if path == "hold" || path == "step" {
		for _, f := range p.R.shown(h) {
			b.Fields = append(b.Fields, [2]string{f.Name, f.Value})
		}
	}
	return b
}

// Meas prints a measured value in both systems; nothing where it is not said.
func (p page) Meas(v any) string {
	sys := p.R.system()
	switch s := v.(type) {
	case *book.Said[q.Length]:
		if s != nil {
			return s.SI.Text(sys)
		}
	case *book.Said[q.Temperature]:
		if s != nil {
			return s.SI.Text(sys)
		}
	case *book.Said[q.Current]:
		if s != nil {
			return s.SI.Text(sys)
		}
	case *q.Temperature:
		if s != nil {
			return s.Text(sys)
		}
	case *q.Length:
		if s != nil {
			return s.Text(sys)
		}
	case q.Length:
		return s.Text(sys)
	case *book.Crayon:
		if s != nil {
			return s.At.SI.Text(sys)
		}
	}
	return ""
}

// PerRod is the weld length from one rod.
func (p page) PerRod(b book.Bead) string {
	if run, ok := b.PerRod(); ok {
		return run.Text(p.R.system())
	}
	return ""
}

// Left is what a clock has to go, Elapsed what it has run.
func (p page) Left(c book.Clock) string { return span(c.Left(p.R.now)) }

// Elapsed is how long a clock has run.
func (p page) Elapsed(c book.Clock) string { return span(c.Elapsed(p.R.now)) }

// Signature draws the lines of a signature.
func (p page) Signature(y book.Yes) template.HTML {
	if len(y.Strokes) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(`<svg class="signature" viewBox="0 0 1000 400" role="img" aria-label="Drawn signature">`)
	for _, line := range y.Strokes {
		b.WriteString(`<polyline points="`)
		for _, at := range line {
			fmt.Fprintf(&b, "%d,%d ", at[0], at[1])
		}
		b.WriteString(`"/>`)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// inWords are the short words of the record in full.
var inWords = map[string]string{"pt": "dye", "mt": "magnetic yoke", "ut": "ultrasonic", "eye": "eye and lamp", "find": "to find the ends", "gone": "whether the crack is out",
	"final": "final look", "later": "looked again", "clear": "no crack", "found": "crack", "doubtful": "not sure", "held": "it held", "cracked": "it cracked", "not-looked": "nobody looked",
	"signed": "signed", "phone": "by phone", "message": "by message"}

func word(s any) string {
	if w, ok := inWords[fmt.Sprint(s)]; ok {
		return w
	}
	return strings.ReplaceAll(fmt.Sprint(s), "-", " ")
}

// Hand says that a clock was started by hand.
func (p page) Hand(c book.Clock) bool {
	switch c.What {
	case book.WaitClock, book.FireWatch, book.CheckInClock, book.WorkClock, book.TravelClock, book.StandbyClock:
		return true
	}
	return false
}

// Over says that a time has passed.
func (p page) Over(t time.Time) bool { return t.Before(p.R.now) }

// Late says that a clock has run out.
func (p page) Late(c book.Clock) bool { return c.Due != nil && c.Due.Before(p.R.now) }

// Until is the time to go.
func (p page) Until(t time.Time) string { return span(t.Sub(p.R.now)) }
