package gate

import (
	_ "embed"
	"slices"
	"strings"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// methods.csv: the ways to find a crack. inspect.csv: what limits each; refuse
// means that a clean test proves nothing here, condition the extra duty.

//go:embed methods.csv
var methodsCSV string

//go:embed inspect.csv
var inspectCSV string

// Surface is the place where a crack is looked for.
type Surface struct {
	Coating job.Coating
	Skin    job.Surface
	Wet     job.Wetness
	Magnet  job.Magnet
}

// SurfaceOf gives the surface of an item in the weather of its site.
func SurfaceOf(site job.Site, it job.Item) Surface {
	skin := it.Steel.Surface
	if skin == "" && it.Shape == job.Casting {
		skin = "cast"
	}
	return Surface{it.Coating, skin, site.Wet, it.Steel.Magnet}
}

// Method is one way to find a crack, and whether it holds here.
type Method struct {
	ID     string     `json:"id" doc:"pt, mt, ut or vt"`
	Title  string     `json:"title" doc:"name"`
	Class  Class      `json:"class" doc:"go, condition, or refuse where a clean test proves nothing"`
	Have   job.Answer `json:"have" doc:"is it on the truck?"`
	Why    string     `json:"why" doc:"what it finds"`
	Limits []Finding  `json:"limits" doc:"what limits it here, worst first"`
	Source source.Ref `json:"source" doc:"where it is from"`
}

// methodRow is one row of methods.csv.
type methodRow struct {
	id, title, why string
	values         []amount
	ref            source.Ref
}

var (
	methodRows  = readMethods()
	inspectRows = readConditions("gate/inspect.csv", inspectCSV)
)

func readMethods() []methodRow {
	var all []methodRow
	for _, r := range source.Table("gate/methods.csv", methodsCSV) {
		all = append(all, methodRow{r.Text("id"), r.Text("title"), r.Text("why"), amounts(r, "values"), r.Ref()})
	}
	return all
}

// look is one place to look at, with the limits of one row.
type look struct {
	steel  q.Maybe[q.Temperature]
	on     Surface
	kit    job.TestKit
	limits []amount
	sys    q.System
}

// InspectionMethods gives the ways to find a crack at this steel temperature and
// surface, those that hold first. Texts lead with the units of sys.
func InspectionMethods(steel q.Maybe[q.Temperature], on Surface, kit job.TestKit, sys q.System) []Method {
	have := map[string]job.Answer{"pt": kit.PT, "mt": kit.MT, "ut": kit.UT, "vt": job.Yes}
	var all []Method
	for _, m := range methodRows {
		one := Method{ID: m.id, Title: m.title, Class: Go, Have: have[m.id], Why: m.why, Limits: []Finding{}, Source: m.ref}
		for i, v := range m.values {
			one.Why = strings.ReplaceAll(one.Why, placeholder(i), v.text(sys))
		}
		for _, r := range inspectRows {
			if r.method != m.id {
				continue
			}
			if because := inspectWhen[r.id](look{steel, on, kit, r.values, sys}); because != nil {
				one.Limits = append(one.Limits, r.finding("test", because, sys))
				one.Class = Worst(one.Class, r.class)
			}
		}
		slices.SortStableFunc(one.Limits, func(a, b Finding) int { return int(a.Class) - int(b.Class) })
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b Method) int { return int(b.Class) - int(a.Class) })
	return all
}

// inspectWhen holds the predicate of each row of inspect.csv.
var inspectWhen = map[string]func(look) []string{
	"pt-cold":           func(l look) []string { return l.colder(0) },
	"pt-hot":            func(l look) []string { return l.hotter(0) },
	"pt-unknown":        func(l look) []string { return when(!l.steel.Known, "steel", "") },
	"pt-iso":            edgeOfRange,
	"pt-coated":         func(l look) []string { return l.coated() },
	"pt-wet":            func(l look) []string { return when(l.on.Wet != job.Dry, "wet", string(l.on.Wet)) },
	"pt-rough":          func(l look) []string { return when(l.on.Skin == "cast", "surface", string(l.on.Skin)) },
	"mt-no-magnet":      noMagnet,
	"mt-magnet-unknown": func(l look) []string { return when(l.on.Magnet == "", "magnet", "") },
	"mt-coated":         func(l look) []string { return l.coated() },
	"mt-hot-ink":        func(l look) []string { return l.hotter(0) },
	"mt-hot":            func(l look) []string { return l.hotter(0) },
	"mt-cold-ink":       func(l look) []string { return l.colder(0) },
	"ut-ticket":         func(l look) []string { return when(l.kit.UT != job.Yes, "ultrasonic set and ticket", string(l.kit.UT)) },
	"ut-temperature":    func(l look) []string { return either(l.colder(0), l.hotter(1)) },
	"ut-cast":           func(l look) []string { return when(l.on.Skin == "cast", "surface", string(l.on.Skin)) },
}

func (l look) colder(i int) []string {
	return when(l.steel.Known && float64(l.steel.V) < l.limits[i].value, "steel", l.steel.V.Text(l.sys))
}

func (l look) hotter(i int) []string {
	return when(l.steel.Known && float64(l.steel.V) > l.limits[i].value, "steel", l.steel.V.Text(l.sys))
}

func (l look) coated() []string {
	return when(l.on.Coating != "bare", "coating", string(l.on.Coating))
}

func noMagnet(l look) []string {
	return when(l.on.Magnet == "none" || l.on.Magnet == "weak", "magnet", string(l.on.Magnet))
}

// edgeOfRange: outside the range of ISO kits and inside the one of ordinary dye.
func edgeOfRange(l look) []string {
	because := either(l.colder(0), l.hotter(1))
	for _, r := range inspectRows {
		l.limits = r.values
		if r.id == "pt-cold" && l.colder(0) != nil || r.id == "pt-hot" && l.hotter(0) != nil {
			return nil
		}
	}
	return because
}
