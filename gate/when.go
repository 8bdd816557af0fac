package gate

import "soundmetal/job"

// trigger gives the facts that meet a rule, in his words; none: not met.
type trigger func(*facts) []string

// touchWhen holds the predicate of each row of touch.csv.
var touchWhen = map[string]trigger{
	"fire-ban":          func(f *facts) []string { return is("fire ban", f.site.FireBan) },
	"protective-frame":  func(f *facts) []string { return f.means(protectFrame) },
	"wheel":             func(f *facts) []string { return f.means(string(job.Wheel)) },
	"wheel-heat":        wheelHeat,
	"tyre-near":         tyreNear,
	"lifting-gear":      func(f *facts) []string { return f.means(string(job.LiftingGear)) },
	"lifting-lug":       func(f *facts) []string { return f.means(string(job.LiftingLug)) },
	"crane":             crane,
	"hangs-load":        hangsLoad,
	"fork":              func(f *facts) []string { return f.means(string(job.Fork)) },
	"truck-mast":        func(f *facts) []string { return f.means(string(job.TruckMast)) },
	"people-lift":       peopleLift,
	"pressure-vessel":   pressureVessel,
	"air-reservoir":     func(f *facts) []string { return f.means(string(job.AirReservoir)) },
	"tank":              tank,
	"sealed-hollow":     sealedHollow,
	"fuel-near":         func(f *facts) []string { return f.behind("fuel", "oil", "tank") },
	"road-frame":        roadFrame,
	"frame-maker":       frameMaker,
	"road-safety-part":  func(f *facts) []string { return f.means(string(job.CouplingPart), string(job.SteeringBrake)) },
	"cylinder":          func(f *facts) []string { return f.means(string(job.CylinderPart)) },
	"cylinder-clevis":   func(f *facts) []string { return f.means(clevis) },
	"iron-running-gear": ironRunningGear,
	"iron-casting":      ironCasting,
	"hard-material":     hardMaterial,
	"fastener":          func(f *facts) []string { return f.means(string(job.Fastener)) },
	"shaft":             func(f *facts) []string { return f.means(shaft) },
	"confined-space":    func(f *facts) []string { return is("get inside to weld", f.site.ConfinedSpace) },
	"mine":              func(f *facts) []string { return f.rules("mine") },
	"landfill":          func(f *facts) []string { return f.rules("landfill") },
	"refinery":          func(f *facts) []string { return f.rules("refinery") },
	"ship":              func(f *facts) []string { return f.rules("ship") },
	"rail":              func(f *facts) []string { return f.rules("rail") },
	"energised-plant":   func(f *facts) []string { return f.rules("energised-plant") },
	"over-water":        func(f *facts) []string { return f.rules("over-water") },
	"quarry":            func(f *facts) []string { return f.rules("quarry") },
	"public-road":       func(f *facts) []string { return f.rules("public-road") },
	"forest":            func(f *facts) []string { return f.rules("forest") },
	"sign-off":          func(f *facts) []string { return is("asks for a sign-off", f.wanted.SignOff) },
	"plate-over":        func(f *facts) []string { return is("asks to plate over", f.wanted.PlateOver) },
	"skip-tests":        func(f *facts) []string { return is("asks to skip the tests", f.wanted.SkipTests) },
	"hung-up":           func(f *facts) []string { return no("can be lowered, blocked and pinned", f.machine.Blocked) },
	"own-repeat":        ownRepeat,
	"repaired-before":   repairedBefore,
	"insurance":         func(f *facts) []string { return no("insured for this", f.site.Insured) },
	"not-his":           func(f *facts) []string { return no("may authorise the work", f.owner.Authority) },
	"temporary":         func(f *facts) []string { return is("asks for a get-me-through repair", f.wanted.Temporary) },
	"answer-first":      answerFirst,
}

func (f *facts) tyre() []string {
	return either(is("tyre close to the heat", f.machine.Tyres), f.behind("tyre"))
}

func wheelHeat(f *facts) []string { return both(f.means(hub, string(job.Wheel)), f.tyre()) }

func tyreNear(f *facts) []string {
	if wheelHeat(f) != nil {
		return nil
	}
	return f.tyre()
}

// crane: on a crane every part counts that is not plainly away from the load.
func crane(f *facts) []string {
	if because := f.means(string(job.CraneStructure)); because != nil || f.away() {
		return because
	}
	return f.has(craneTag)
}

func hangsLoad(f *facts) []string {
	if f.away() {
		return nil
	}
	return is("hangs a load", f.machine.HangsLoad)
}

func peopleLift(f *facts) []string {
	return either(f.means(string(job.PeopleLift)), is("lifts people", f.machine.LiftsPeople), f.has(peopleTag))
}

func pressureVessel(f *facts) []string {
	return either(f.means(string(job.PressureVessel)), f.contains("gas", "pressure"))
}

func tank(f *facts) []string {
	return either(f.means(string(job.Tank)), f.contains("fuel", "oil", "chemical", "grain"))
}

func sealedHollow(f *facts) []string {
	return either(f.behind("closed-hollow"), f.contains("water", "air"))
}

// roadFrame: a rail or drawbar may be on the road as long as nobody says it is not.
func roadFrame(f *facts) []string {
	return both(f.means(string(job.RoadFrame), drawbar), mayBe("runs on the road", f.machine.OnRoad))
}

func frameMaker(f *facts) []string {
	return either(
		both(f.means(string(job.RoadFrame), drawbar), no("runs on the road", f.machine.OnRoad)),
		both(f.plainly(framePart), is("runs on the road", f.machine.OnRoad)))
}

func (f *facts) iron() []string {
	return either(f.means(iron),
		when(f.item.Steel.Spark == "short-dull-red", "spark", string(f.item.Steel.Spark)),
		when(f.item.Steel.Chip == "crumbles", "chip", string(f.item.Steel.Chip)))
}

func (f *facts) holdsWheel() []string {
	return f.means(wheelHolder, hub, string(job.Wheel), string(job.SteeringBrake))
}

func ironRunningGear(f *facts) []string { return both(f.holdsWheel(), f.iron()) }

func ironCasting(f *facts) []string {
	if f.holdsWheel() != nil {
		return nil
	}
	return f.iron()
}

// hardMaterial: manganese steel and 300-series hold no magnet or hardly.
func hardMaterial(f *facts) []string {
	s := f.item.Steel
	return either(f.means(string(job.WearPart)), is("wear plate", s.Wear),
		when(s.Magnet == "none" || s.Magnet == "weak", "magnet", string(s.Magnet)),
		when(s.File == "skates", "file", string(s.File)),
		when(s.Spark == "forks-twice" || s.Spark == "bushy", "spark", string(s.Spark)))
}

// failedRepairs is the number of repairs of his own from which the cause counts
// as not understood (touch.csv, own-repeat).
const failedRepairs = 2

func ownRepeat(f *facts) []string {
	h := f.item.History
	if f.away() || h.By != "me" || !h.Times.Known || h.Times.V < failedRepairs {
		return nil
	}
	return []string{say("repaired by", string(h.By)), f.times()}
}

func (f *facts) times() string {
	return say("times repaired here", plainNumber(f.item.History.Times.V))
}

func repairedBefore(f *facts) []string {
	h := f.item.History
	if ownRepeat(f) != nil {
		return nil
	}
	because := either(is("welded here before", h.Welded), when(h.By != "", "repaired by", string(h.By)))
	if h.Times.Known && h.Times.V > 0 {
		because = append(because, f.times())
	}
	return because
}

func answerFirst(f *facts) []string {
	var because []string
	for _, a := range f.asks {
		because = append(because, a.Because...)
	}
	return unique(because)
}
