package plan

import (
	"fmt"
	"strings"

	"soundmetal/heat"
	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// heatSection is how hot, how wide, how to read it, and what if no heat fits.
func (w *work) heatSection() Section {
	s, f := w.section("heat", "Heat")
	h := w.held
	floor := h.floor.floor
	w.holdsFor(&s)
	fb := w.floorBasis()
	s.figure(one(f, "preheat", "before every bead, at least", floor.Minimum.Minimum(w.sys), preheatText(floor.Minimum, w.sys), w.sys, fb))
	s.add(Note, fmt.Sprintf("set by %s: %s", h.floor.family.Name, methodName(floor.By)), &fb)
	w.restraintLine(&s)
	if cet := w.rod.weldCET; cet.Known && heat.GoverningCET(h.floor.steel.CET, cet.V) > h.floor.steel.CET && !h.floor.steel.Unknown {
		s.add(Note, "For the CET method the rod counts here, not the steel: its deposit is the harder of the two.", nil)
	}
	for _, r := range floor.Explain() {
		if id := r.Basis.Method; id != floor.By && id != "" {
			s.figure(one(f, "by-"+id, "  "+methodName(id), r.Value, r.Value.Text(w.sys)+rowNote(floor, id), w.sys, r.Basis))
		}
	}
	if h.ceiling != nil {
		s.figure(one(f, "interpass", "before every bead, at most", h.ceiling.ceiling.Maximum(w.sys), h.ceiling.ceiling.MaximumText(w.sys), w.sys, h.ceiling.ceilBasis))
		s.add(Note, "set by "+h.ceiling.family.Name, &h.ceiling.ceilBasis)
	} else {
		s.add(Note, "No highest interpass temperature is published for this steel.", nil)
	}
	switch {
	case !h.open() && len(h.steels) == 1:
		s.add(Hold, "No window is left: this steel needs more heat before the bead than it bears between the beads. Do not weld it so. A drier rod, a joint that can shrink freely or a soft austenitic rod may open one: ask the steelmaker or an engineer.", nil)
	case !h.open():
		s.add(Hold, "No window is left: the lowest heat that one steel needs is above the highest that another bears. Do not weld before a test has told which it is.", nil)
	case !h.workable():
		s.add(Caution, "Little room between the two: heat slowly, read before every bead, and wait rather than rush.", nil)
	}
	w.coldLines(&s, f)
	w.hardnessLine(&s, f)
	w.readingLines(&s, f)
	w.torchLines(&s, f)
	if t1, t2 := w.it.Thickness, w.it.Thickness2; t2.Known && t1.V != t2.V {
		s.add(Do, "Two thicknesses meet: the heat is planned by the thicker, "+nice(w.t, w.sys)+". Give the thick part most of the flame and read both.", nil)
	}
	s.sayIf(w.heats(), "heat-even")
	s.sayIf(w.shop == nil || w.shop.Measure.IR != job.No, "heat-ir")
	s.say("heat-crayon")
	s.sayIf(w.heats(), "heat-hold")
	s.say("heat-keep")
	return s
}

// roomWarm is the temperature up to which steel counts as warm enough.
var roomWarm = q.Temperature(rateOf("room-warm").Likely)

// gougesWarm says that the part has to be warmed before it is gouged.
func (w *work) gougesWarm() bool {
	return w.held.floor.floor.Minimum > q.Temperature(rateOf("gouge-warm").Likely)
}

// heats says that the part has to be warmed above room temperature.
func (w *work) heats() bool {
	return w.held.floor.floor.Minimum > roomWarm
}

// preheatText prints a floor; at and below room temperature it is dry and not frozen.
func preheatText(t q.Temperature, sys q.System) string {
	text := t.MinimumText(sys)
	if t <= roomWarm {
		text += ": take the chill off and dry it"
	}
	return text
}

// methodNames are the short names of the preheat methods.
var methodNames = map[string]string{
	"preheat-cet": "CET method", "preheat-si": "hydrogen control", "preheat-prequalified": "prequalified table",
	"preheat-special": "rule of the family", "preheat-ms": "high-carbon practice", "cold-steel": "frozen steel",
	"preheat-ito": "Ito-Bessyo", "preheat-seferian": "Seferian",
}

func methodName(id string) string {
	if n := methodNames[id]; n != "" {
		return n
	}
	return id
}

// rowNote says what a method's row counts for.
func rowNote(f heat.Floor, method string) string {
	for _, r := range f.Rows {
		if r.Method == method {
			switch r.Role {
			case heat.Check:
				return ", cross check only"
			case heat.AtLimit:
				return ", at the end of its range"
			}
		}
	}
	return ""
}

// floorBasis is the working of the governing method with what the plan assumed.
func (w *work) floorBasis() source.Basis {
	h := w.held
	b := h.floor.floor.Result().Basis
	b.Notes = append(append([]string(nil), b.Notes...),
		fmt.Sprintf("highest over the steels the plan holds for: %s", names(h.steels, 6)),
		"composition: worst that the family allows, unless it was analysed")
	if w.it.Restraint == "" {
		b.Notes = append(b.Notes, w.restraintWhy())
	}
	return b
}

// holdsFor says which steels the window holds for, where that is not all.
func (w *work) holdsFor(s *Section) {
	if h := w.held; len(h.left) > 0 {
		s.add(Note, "Holds for "+groupNames(cases(h.steels), "and")+"; see What steel is it? for what must be ruled out first.", nil)
	}
}

// coldLines are the rules for frozen steel and cold air.
func (w *work) coldLines(s *Section, f figures) {
	site := w.j.Site
	cold, err := heat.ColdWeather(site.Air, site.Steel, site.Shelter == job.Yes)
	if err != nil {
		return
	}
	if cold.Value.TooCold {
		s.add(Caution, "Too cold to weld in the open: put a heated shelter round the work first.", &cold.Basis)
	}
	if cold.Value.WarmTo > 0 {
		s.figure(one(f, "cold", "frozen steel: warm to", cold.Value.WarmTo, cold.Value.WarmTo.MinimumText(w.sys)+" and keep it there", w.sys, cold.Basis))
	}
}

// hardnessLine is the hardness beside the weld at the floor, over the steels held.
func (w *work) hardnessLine(s *Section, f figures) {
	shape, err := heat.ShapeFactors(heat.ButtFill)
	if err != nil {
		return
	}
	k := arcEfficiency()
	in := heat.CoolingInput{Start: max(w.held.floor.floor.Minimum, 0), HeatInput: q.HeatInput(float64(w.rod.fill.window.Low) * float64(k.Value)),
		Thickness: w.t, F2: shape.Value.F2.Low, F3: shape.Value.F3}
	cooling, err := heat.CoolingTime(in)
	if err != nil {
		return
	}
	var worst source.Result[heat.Hardness]
	for _, l := range w.held.steels {
		if l.steel.Unknown || l.family.Group == "manganese" || l.family.Group == "stainless" {
			continue
		}
		if r, err := heat.HAZHardness(heat.HardnessInput{Steel: l.steel, Cooling: cooling.Value.Time}); err == nil && r.Value.HV > worst.Value.HV {
			worst = r
		}
	}
	if worst.Value.HV > 0 {
		v := worst.Value
		s.figure(one(f, "t85", "cooling time t8/5, shortest", cooling.Value.Time, fmt.Sprintf("%.1f s from 800 to 500 °C (1472 to 932 °F)", float64(cooling.Value.Time)), w.sys, cooling.Basis))
		s.figure(between(f, "hardness", "hardness beside the weld", q.Of[q.Vickers]{Low: v.Low, High: v.High},
			fmt.Sprintf("about %.0f HV, models %.0f to %.0f", float64(v.HV), float64(v.Low), float64(v.High)), w.sys, worst.Basis))
	}
}

// readingLines are where, when and with what the heat is read.
func (w *work) readingLines(s *Section, f figures) {
	if r, err := heat.MeasureDistance(w.t); err == nil {
		s.figure(one(f, "read-at", "read it from the groove edge at", r.Value, nice(r.Value, w.sys), w.sys, r.Basis))
	}
	if r, err := heat.HeatBand(w.t); err == nil && w.heats() {
		s.figure(one(f, "band", "hot all round the weld, at least", r.Value, niceUp(r.Value, w.sys), w.sys, r.Basis))
	}
	if r, err := heat.ReadingWait(w.t); err == nil && w.heats() {
		s.figure(one(f, "wait", "flame away, wait before reading", r.Value, niceWait(r.Value, w.sys), w.sys, r.Basis))
	}
	low, high := w.crayons()
	var marks []string
	switch {
	case !w.heats():
	case low.Known:
		marks = append(marks, low.V.Text(w.sys)+" from the truck must melt")
	default:
		marks = append(marks, "one that melts at "+w.held.floor.floor.Minimum.MinimumText(w.sys)+" or just above must melt")
	}
	switch {
	case w.held.ceiling == nil:
	case high.Known:
		marks = append(marks, high.V.Text(w.sys)+" must not")
	default:
		marks = append(marks, "one just below "+w.held.ceiling.ceiling.MaximumText(w.sys)+" must not")
	}
	if len(marks) > 0 {
		text := "Crayons: " + strings.Join(marks, ", ")
		if !strings.Contains(text, "must melt") {
			text += " melt"
		}
		s.add(Do, text+".", nil)
	}
}

// crayons picks from the truck the lowest one not below the floor and the
// highest one not above the ceiling.
func (w *work) crayons() (low, high q.Maybe[q.Temperature]) {
	if w.shop == nil {
		return
	}
	floor := w.held.floor.floor.Minimum
	for _, c := range w.shop.Measure.Crayons {
		if !q.Under(c, floor) && (!low.Known || c < low.V) {
			low = q.Known(c)
		}
		if w.held.ceiling != nil && !q.Over(c, w.held.ceiling.ceiling) && (!high.Known || c > high.V) {
			high = q.Known(c)
		}
	}
	if low.Known && w.held.ceiling != nil && low.V > w.held.ceiling.ceiling {
		low.Known = false
	}
	if low.Known && high.Known && high.V <= low.V {
		high.Known = false
	}
	return low, high
}

// torchLines are minutes of torch and soak, first cut; the transient answer is
// the heat command's.
func (w *work) torchLines(s *Section, f figures) {
	t, ok := w.torchTime()
	if !ok {
		return
	}
	s.figure(between(f, "torch", "torch, first estimate", t.Value, niceTimes(t.Value, w.sys), w.sys, t.Basis))
	if r, err := heat.Soak(w.t); err == nil {
		s.figure(one(f, "soak", "soak through", r.Value, niceWait(r.Value, w.sys)+" or more", w.sys, r.Basis))
	}
	w.bottleLine(s, f)
}

// torchTime is the time to bring the band to the floor; ok is false where the
// steel is warm enough or the torch is not known to the tables.
func (w *work) torchTime() (source.Result[q.Of[q.Time]], bool) {
	var none source.Result[q.Of[q.Time]]
	start := w.j.Site.Steel.Or(w.j.Site.Air.Or(10))
	rise := q.TempDiff(w.held.floor.floor.Minimum - start)
	if rise <= 0 {
		return none, false
	}
	band, err := heat.HeatBand(w.t)
	if err != nil {
		return none, false
	}
	in := heat.TorchInput{Rise: rise, Mass: heat.BandMass(w.removed().Low+2*band.Value, band.Value, w.t)}
	in.Kind, _ = w.torch()
	if w.shop != nil && len(w.shop.Torches) > 0 {
		in.Power, in.Efficiency = w.shop.Torches[0].Power, w.shop.Factors.TorchEfficiency
	}
	r, err := heat.TorchTime(in)
	return r, err == nil
}
