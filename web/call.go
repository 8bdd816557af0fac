package web

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"soundmetal/book"
	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/plan"
	q "soundmetal/quantity"
)

// The phone screen: the questions that change the plan, in the order in which
// they are asked. Each may be left open.

// askedOnPhone are the questions.
func askedOnPhone(units job.Units) []Field {
	hand := slices.Concat(usual("hand-card", units), usual("hand-boot", units), usual("hand-arm", units))
	return []Field{
		heading("1 What machine?", "And what hangs on it: people, a hook, pressure, the road."),
		ask("j.machine.kind", "Machine, in your words").must().hint("tipper, screen, loader, press ..."),
		ask("j.machine.model", "Maker and model, as on the plate"),
		ask("j.machine.serial", "Serial number").hint("The same number finds earlier jobs on it."),
		ask("j.machine.hours", "Hours on the meter"),
		ask("j.machine.lifts_people", "Does it lift or carry people?"),
		ask("j.machine.hangs_load", "Does it hang a load on a hook or chain?"),
		ask("j.machine.on_road", "Does it run on the public road?"),
		ask("i.contains", "Does the part hold pressure, fuel, chemicals?"),
		heading("2 Which part?", "Left and right as you sit in it."),
		ask("i.part", "Part, in your words").must().hint("left loader arm, tipper cross member ..."),
		ask("i.role", "Is it one of these?").only("structure", "protective-structure", "wheel", "fork", "road-frame", "lifting-gear", "tank", "steering-brake-spring"),
		heading("3 How long is the crack?", fmt.Sprintf("A bank card is %s, a boot about %s, an arm about %s.", both("hand-card"), both("hand-boot"), both("hand-arm"))),
		ask("i.crack.length", "Length that can be seen", hand...),
		ask("i.crack.through", "Does it gape, or go right through?"),
		ask("i.crack.starts", "Where does it start?").only("edge", "weld-toe", "old-repair", "plate-end", "hole", "corner", "base"),
		ask("i.crack.ends", "Can he see where it ends?"),
		ask("i.crack.corner", "Does it run round a corner?"),
		heading("4 Welded there before?", ""),
		ask("i.history.welded", "Was it welded there before?"),
		ask("i.history.by", "By whom?"),
		ask("i.history.times", "How often?", "1", "2", "3"),
		ask("i.history.held", "How many hours did it hold?"),
		ask("i.history.plate_over", "Is there a plate over it or beside it?"),
		heading("5 What happened?", ""),
		ask("i.cause.event", "Was it hit, dropped or overloaded?"),
		ask("i.cause.loose_pins", "Slop in the pins?"),
		ask("i.history.mirror", "Is the other side cracked too?"),
		heading("6 How thick?", "At an edge, or through a hole. Knock on it: solid or hollow?"),
		ask("i.thickness", "Thickness of the wall", usual("plates", units)...),
		ask("i.shape", "Solid, plate or hollow?").only("plate", "box", "tube", "channel", "i-section", "solid", "casting"),
		heading("7 Can it be made ready?", ""),
		ask("j.machine.can_move", "Can it stand on flat, hard, dry ground?"),
		ask("j.machine.blocked", "Can the part be lowered and blocked?"),
		ask("i.behind", "What is behind it or beside it?"),
		heading("8 Where is it?", "Gate, dogs, signal, power, mud."),
		ask("j.site.where", "Place and way in"),
		ask("j.site.distance", "Distance, one way"),
		ask("j.site.drive_time", "Driving time, one way", usual("drive", units)...),
		ask("j.site.fire_ban", "Is a fire ban in force?"),
		ask("j.site.combustibles", "Dry grass, crop, straw, oil within "+both("fire-distance")+"?"),
		ask("j.site.signal", "Is there a phone signal?"),
		ask("j.site.alone", "Will you be alone there?"),
		ask("j.site.power_lines", "Overhead lines near?"),
		ask("j.site.rules", "Whose rules: mine, quarry, rail ...?"),
		heading("9 Who says yes?", ""),
		text("c.name", "Name of the caller"),
		text("c.phone", "Phone").mode("tel"),
		ask("j.customer.authority", "May he order the work: owner, no lease, no warranty?"),
		ask("j.wanted.by", "When does he need it?", "today", "tomorrow", "this week"),
		ask("j.wanted.temporary", "Does he only want to get through the week?"),
		ask("j.wanted.plate_over", "Does he ask to plate over the crack?"),
		heading("10 Photos", "Send him the list: it comes with the answer."),
	}
}

func (r *request) phoneForm(k known) Form {
	units := r.reg.Units()
	if u := job.Units(r.URL.Query().Get("units")); u == job.SI || u == job.US {
		units = u
	}
	if units == "" {
		units = job.SI
	}
	f := Form{Title: "New call", Icon: "call", Lead: "Ask in this order. Leave open what he does not know: nothing is guessed.",
		Submit: "May I touch it?", Action: "/new", Back: "/"}
	f.Fields = append([]Field{
		text("name", "Job, in a few words").hint("Left empty it is made of machine and part."),
		chips("units", "Units of bare numbers", Choice{"si", "mm and °C", ""}, Choice{"us", "inches and °F", ""}).is(string(units)),
	}, askedOnPhone(units)...)
	r.takeOver(&f, k)
	return f
}

// phoneView is the phone screen with what it can begin with.
type phoneView struct {
	Form
	Known known
}

func (r *request) phoneScreen() error {
	k, err := r.known(r.URL.Query())
	if err != nil {
		return err
	}
	f := r.phoneForm(k)
	f.fill(r.URL.Query())
	return r.render("phone", f.Title, phoneView{f, k})
}

// newJob reads the phone screen.
func (r *request) newJob(v values) book.NewJob {
	c := book.NewJob{Name: v.text("name"), Units: job.Units(v.text("units")), Set: map[string]string{}, CustomerFields: map[string]string{}, MachineFields: map[string]string{}}
	item := map[string]string{}
	for name, vs := range v.Values {
		path, kept := "", factValue(vs)
		if len(name) > 2 {
			path = name[2:]
		}
		if kept == "" {
			continue
		}
		switch {
		case strings.HasPrefix(name, "c."):
			c.CustomerFields[path] = kept
		case strings.HasPrefix(name, "i."):
			item[path] = kept
		case strings.HasPrefix(name, "j.machine.") && (path == "machine.kind" || path == "machine.model" || path == "machine.serial" || path == "machine.year"):
			c.MachineFields[strings.TrimPrefix(path, "machine.")] = kept
			c.Set[path] = kept
		case strings.HasPrefix(name, "j."):
			c.Set[path] = kept
		}
	}
	if c.CustomerFields["name"] == "" && c.CustomerFields["phone"] != "" {
		c.Set["customer.phone"] = c.CustomerFields["phone"]
	}
	if c.Name == "" {
		c.Name = strings.Join(nonEmpty(c.Set["machine.kind"], item["part"]), ", ")
	}
	if len(item) > 0 {
		c.Items = []map[string]string{item}
	}
	return c
}

func nonEmpty(all ...string) []string {
	var kept []string
	for _, s := range all {
		if s != "" {
			kept = append(kept, s)
		}
	}
	return kept
}

func (r *request) openJob() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	cmd := r.newJob(v)
	k, err := r.known(v.Values)
	if err != nil {
		return err
	}
	k.parties(&cmd, v, r.reg)
	err = k.takenInto(&cmd, v)
	for _, need := range []struct{ field, text string }{
		{"j.machine.kind", "say what machine it is: tipper, screen, loader"},
		{"i.part", "say which part it is: arm, cross member, hinge ear"},
	} {
		if err == nil && v.text(need.field) == "" {
			err = wrong(need.field, need.text)
		}
	}
	if err == nil {
		var res book.Result
		if res, err = r.Book.Do(r.Context(), r.now, v.Get("key"), cmd); err == nil {
			return r.goTo("/jobs/" + res.Job + "/answer")
		}
	}
	var no *book.Refusal
	if !errors.As(err, &no) {
		return err
	}
	f := r.phoneForm(k)
	f.fill(v.Values)
	f.refuse(no)
	return r.renderStatus(statusUnprocessableEntity, "phone", f.Title, phoneView{f, k})
}

// verdictSoFar answers the first question while he is still on the phone; nothing
// is logged.
func (r *request) verdictSoFar() error {
	v, err := r.read()
	if err != nil {
		return err
	}
	c := r.newJob(v)
	facts := book.Facts{Set: c.Set}
	facts.Set["units"] = string(c.Units)
	facts.Set["job"] = "call"
	for _, it := range c.Items {
		facts.Items = append(facts.Items, book.ItemFacts{ID: "i", Set: it})
	}
	j, _, ok, err := facts.Job()
	var no *book.Refusal
	switch {
	case errors.As(err, &no):
		return r.render("so-far", "So far", map[string]any{"Err": capital(no.Text)})
	case err != nil:
		return err
	case !ok:
		return r.render("so-far", "So far", map[string]any{"Err": "Name the part first."})
	}
	return r.render("so-far", "So far", map[string]any{"Verdict": gate.Screen(j, j.Items[0])})
}

// answerView is what the phone screen comes to.
type answerView struct {
	Plan   *planned
	Limits *book.Limits
	Items  []plan.Item
	Hours  string
	Text   string // to send to the customer
	Photos []string
	Before []book.Card // earlier jobs on the machine
}

// photoList is what the customer is asked to send.
var photoList = []string{"the whole machine", "the part, from 2 m (6 ft) away", "the crack with a tape beside it", "both ends of the crack, close",
	"the inside or the back of it", "the serial plate", "any plate or sticker: do not weld, load chart, cab protection"}

func (r *request) answer() error {
	p, err := r.plan()
	if err != nil {
		return err
	}
	v := answerView{Plan: p, Photos: photoList, Before: r.before()}
	if p == nil {
		return r.goTo("/jobs/" + r.job.ID)
	}
	v.Items = p.plan.Items
	v.Limits = &r.job.Plan().Limits
	if h := v.Limits.Hours; h != nil {
		quarter := func(t q.Time) float64 { return float64(q.RoundTo(t, 15*q.Minute)) / float64(q.Hour) }
		v.Hours = fmt.Sprintf("%.4g to %.4g h", quarter(h.Low), quarter(h.High))
	}
	v.Text = r.messageText(v)
	return r.render("answer", "May I touch it?", v)
}

// messageText is the text to the customer.
func (r *request) messageText(v answerView) string {
	var b strings.Builder
	for i, it := range v.Plan.plan.Items {
		if t := it.Touch.CustomerText; t != "" && (i == 0 || t != v.Plan.plan.Items[0].Touch.CustomerText) {
			b.WriteString(t + "\n\n")
		}
	}
	if v.Hours != "" && !v.Limits.Verdict.Worse(gate.Condition) {
		b.WriteString("From what you told me I reckon with " + v.Hours + " including the road, before I have seen it. What turns up under the paint or a plate is extra, and I ask you first.\n\n")
		if m := v.Limits.Price; m != nil {
			b.WriteString(fmt.Sprintf("Price as far as it can be told: %s to %s %s.\n\n", m.Low, m.High, m.Currency))
		}
	}
	b.WriteString("Please send photos of: " + strings.Join(v.Photos, "; ") + ".")
	return b.String()
}

// before lists earlier jobs on the machine.
func (r *request) before() []book.Card {
	if r.job.Machine == "" {
		return nil
	}
	var all []book.Card
	for _, c := range r.Book.OnMachine(r.job.Machine) {
		if c.ID != r.job.ID && !c.Opened.After(r.job.Opened) {
			all = append(all, c)
		}
	}
	return all
}
