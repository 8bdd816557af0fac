package plan

import (
	"soundmetal/gate"
	"soundmetal/job"
	"soundmetal/source"
)

// lookSection says what else to look at before the first cut.
func (w *work) lookSection() Section {
	s, _ := w.section("look", "Look further")
	it, c, h := w.it, w.it.Crack, w.it.History
	s.say("look-wash")
	switch {
	case h.Mirror == job.Yes:
		s.say("look-mirror-found")
	case h.Mirror != job.No:
		s.say("look-mirror")
	}
	if h.PlateOver == job.Yes {
		s.say("look-under-plate")
	} else {
		s.say("look-plate-near")
	}
	hollow := it.Shape == job.Box || it.Shape == job.Tube || has(it.Behind, "closed-hollow")
	s.sayIf(hollow, "look-inside")
	s.sayIf(c.Starts == "weld-toe" || c.Starts == "weld-root" || c.Starts == "old-repair" || h.Welded == job.Yes, "look-other-end")
	s.sayIf(c.Ends != "both" && c.Ends != "at-edge", "look-ends-hidden")
	s.sayIf(c.Branched == job.Yes, "look-branched")
	s.sayIf(h.Welded == job.Yes, "look-repeat")
	s.sayIf(it.Cause.LoosePins != job.No, "look-pins")
	s.sayIf(hollow || it.Cause.RustInCrack == job.Yes || it.Cause.Thinned.Known, "look-thin")
	w.inspection(&s)
	s.say("look-warm")
	return s
}

// inspection adds how cracks can be found today.
func (w *work) inspection(s *Section) {
	var kit job.TestKit
	if w.shop != nil {
		kit = w.shop.Tests
	}
	for _, m := range gate.InspectionMethods(w.j.Site.Steel, gate.SurfaceOf(w.j.Site, w.it), kit, w.sys) {
		if m.ID == "ut" && m.Have != job.Yes {
			continue
		}
		if m.ID == "mt" && !w.magnetic() {
			s.add(Caution, m.Title+": does not take this steel; use dye.", nil)
			continue
		}
		kind, text := Note, m.Title+": "+m.Why
		switch {
		case m.Class == gate.Refuse:
			kind, text = Caution, m.Title+": a clean result proves nothing here and now."
		case m.Have == job.No:
			text += " Not on the truck."
		}
		b := source.Basis{Method: "inspect-" + m.ID, Title: m.Title, Why: m.Why, Ref: m.Source}
		s.add(kind, text, &b)
		for _, l := range m.Limits {
			lb := l.Basis()
			s.add(Caution, m.Title+": "+l.Title+". "+l.Why, &lb)
		}
	}
}

func has[T comparable](list []T, v T) bool {
	for _, l := range list {
		if l == v {
			return true
		}
	}
	return false
}
