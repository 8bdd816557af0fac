package web

import (
	"fmt"
	"strconv"
	"time"

	"soundmetal/book"
	q "soundmetal/quantity"
)

// scene is what a template may know of its request: neither the
// request nor the service, of which the linker would keep every exported method
// because templates find methods by reflection.
type scene struct {
	Home  home
	now   time.Time
	reg   *book.Registry
	job   *book.Job // of /jobs/{job}/..., else nil
	fresh func() string
	only  func() *onlyHere
	key   string
	n     int // keys given out
}

// home is what the foot and the head of every page say of the host.
type home struct {
	Where, Export, Logout, LogoutAll, Manifest, Script string
	Devices                                            bool
}

func (s *site) request(w Writer, hr *Request) *request {
	r := &request{site: s, Request: hr, w: w, scene: &scene{now: s.Now(), reg: s.Book.Registry(), fresh: s.Key,
		Home: home{s.Where, s.Export, s.Logout, s.LogoutAll, s.Manifest, s.Script, s.Devices != nil}}}
	r.scene.only = r.only
	return r
}

// newKey gives an idempotency key for one more form of this page.
func (s *scene) newKey() string {
	if s.key == "" {
		s.key = s.fresh()
	}
	s.n++
	return fmt.Sprintf("%s-%d", s.key, s.n)
}

// setting gives a setting; one without a default is empty until it is set.
// (Registry.Setting indexes the words of a setting that has none: "welder".)
func (s *scene) setting(name string) (text string) {
	defer func() {
		if recover() != nil {
			text = ""
		}
	}()
	return s.reg.Setting(name)
}

func (s *scene) path(rest string) string { return "/jobs/" + s.job.ID + "/" + rest }

func (s *scene) placeName(item string) string {
	if s.job == nil || item == "" || len(s.job.Standing()) < 2 {
		return ""
	}
	pl, _ := s.job.Place(item)
	return pl.Name
}

// system leads in the texts of the page.
func (s *scene) system() q.System {
	if s.job != nil {
		return s.job.System()
	}
	if s.reg.Units() == "us" {
		return q.US
	}
	return q.SI
}

func (s *scene) clock(t time.Time) string { return clockText(t, s.now) }

// shown are hidden fields that say what the page showed: the plan in force and
// how often the hold point was answered.
func (s *scene) shown(h *book.Hold) []Field {
	var all []Field
	if p := s.job.Plan(); p != nil {
		all = append(all, hidden("plan", p.PlanMade.ID).fixed())
	}
	if h != nil && len(h.Answers) > 0 { // left out it is none: the sheet is to be light
		all = append(all, hidden("seen", strconv.Itoa(len(h.Answers))).fixed())
	}
	return all
}
