package gate

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundmetal/job"
	q "soundmetal/quantity"
)

func limitIDs(all []Finding) []string {
	ids := []string{}
	for _, f := range all {
		ids = append(ids, f.RuleID)
	}
	return ids
}

func TestWeather(t *testing.T) {
	fair := func(change func(*job.Site)) job.Site {
		s := job.Site{Air: q.Known[q.Temperature](15), Steel: q.Known[q.Temperature](15), Wind: q.Known(5 * q.KilometrePerHour), Wet: job.Dry, Shelter: job.No}
		change(&s)
		return s
	}
	met, spared := map[string]bool{}, map[string]bool{}
	for _, c := range []struct {
		name    string
		change  func(*job.Site)
		process Process
		want    []string
	}{
		{"fair", func(*job.Site) {}, Rod, []string{}},
		// AWS D1.1 7.11.2: wet, rain, snow, wind, below −20 °C (0 °F) at the weld
		{"rain", func(s *job.Site) { s.Wet = job.Rain }, Rod, []string{"rain"}},
		{"snow, shelter not known", func(s *job.Site) { s.Wet, s.Shelter = job.Snow, "" }, Rod, []string{"rain"}},
		{"rain, under a shelter", func(s *job.Site) { s.Wet, s.Shelter = job.Rain, job.Yes }, Rod, []string{"rain-shelter"}},
		{"damp", func(s *job.Site) { s.Wet = job.Damp }, Rod, []string{"wet-steel"}},
		{"wet not known", func(s *job.Site) { s.Wet = "" }, Rod, []string{"wet-steel"}},
		{"−21 °C", func(s *job.Site) { s.Air, s.Steel = q.Known[q.Temperature](-21), q.Known[q.Temperature](-21) }, Rod, []string{"cold-air", "cold-steel"}},
		{"−19 °C, between the two printed limits", func(s *job.Site) { s.Air, s.Steel = q.Known[q.Temperature](-19), q.Known[q.Temperature](-19) }, Rod, []string{"cold-air", "cold-steel"}},
		{"−17 °C", func(s *job.Site) { s.Air, s.Steel = q.Known[q.Temperature](-17), q.Known[q.Temperature](-17) }, Rod, []string{"cold-steel"}},
		{"−25 °C in a heated shelter", func(s *job.Site) {
			s.Air, s.Steel, s.Shelter = q.Known[q.Temperature](-25), q.Known[q.Temperature](-25), job.Yes
		}, Rod, []string{"cold-air-shelter", "cold-steel"}},
		// AWS D1.1 preheat table, footnote
		{"steel at 1 °C", func(s *job.Site) { s.Air, s.Steel = q.Known[q.Temperature](1), q.Known[q.Temperature](1) }, Rod, []string{}},
		{"frost, steel not known", func(s *job.Site) { s.Air, s.Steel = q.Known[q.Temperature](-3), q.Maybe[q.Temperature]{} }, Rod, []string{"cold-steel", "steel-unknown"}},
		// our own judgement
		{"steel 6 K colder than the air", func(s *job.Site) { s.Steel = q.Known[q.Temperature](9) }, Rod, []string{"sweating"}},
		{"steel 1 K colder than the air", func(s *job.Site) { s.Steel = q.Known[q.Temperature](14) }, Rod, []string{}},
		// AWS D1.1 7.11.1: gas-shielded up to 8 km/h (5 mph)
		{"gas at 9 km/h", func(s *job.Site) { s.Wind = q.Known(9 * q.KilometrePerHour) }, GasShielded, []string{"wind-gas"}},
		{"gas at 8 km/h", func(s *job.Site) { s.Wind = q.Known(8 * q.KilometrePerHour) }, GasShielded, []string{}},
		{"gas behind a shelter", func(s *job.Site) { s.Wind, s.Shelter = q.Known(20*q.KilometrePerHour), job.Yes }, GasShielded, []string{"wind-gas-shelter"}},
		{"gas in a storm", func(s *job.Site) { s.Wind = q.Known(50 * q.KilometrePerHour) }, GasShielded, []string{"wind-gas"}},
		{"process not known", func(s *job.Site) { s.Wind = q.Known(12 * q.KilometrePerHour) }, "", []string{"wind-process"}},
		{"wind not known", func(s *job.Site) { s.Wind = q.Maybe[q.Speed]{} }, Rod, []string{"wind-unknown"}},
		// shop rule, common practice, no source: rods to 30 or 40 km/h
		{"rods at 9 km/h", func(s *job.Site) { s.Wind = q.Known(9 * q.KilometrePerHour) }, Rod, []string{}},
		{"rods at 32 km/h", func(s *job.Site) { s.Wind = q.Known(32 * q.KilometrePerHour) }, Rod, []string{"wind-rod"}},
		{"self-shielded at 45 km/h", func(s *job.Site) { s.Wind = q.Known(45 * q.KilometrePerHour) }, SelfShielded, []string{"wind-rod-stop", "wind-rod"}},
		{"rods at 45 km/h behind a screen", func(s *job.Site) { s.Wind, s.Shelter = q.Known(45*q.KilometrePerHour), job.Yes }, Rod, []string{"wind-rod"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			site := fair(c.change)
			got := Weather(site, c.process, site.Steel, q.SI)
			if d := cmp.Diff(c.want, limitIDs(got)); d != "" {
				t.Errorf("limits:\n%s", d)
			}
			for _, f := range got {
				if len(f.Because) == 0 || f.Source.Key == "" || f.Unlock == "" {
					t.Errorf("%s: because, source or unlock missing", f.RuleID)
				}
			}
		})
		site := fair(c.change)
		ids := limitIDs(Weather(site, c.process, site.Steel, q.SI))
		for _, r := range weatherRows {
			met[r.id] = met[r.id] || slices.Contains(ids, r.id)
			spared[r.id] = spared[r.id] || !slices.Contains(ids, r.id)
		}
	}
	for _, r := range weatherRows {
		if !met[r.id] || !spared[r.id] {
			t.Errorf("%s: met %v, spared %v; want both", r.id, met[r.id], spared[r.id])
		}
	}
}

// Where nothing is known nothing is allowed without a duty, and nothing is forbidden.
func TestWeatherNotKnown(t *testing.T) {
	got := Weather(job.Site{}, "", q.Maybe[q.Temperature]{}, q.SI)
	want := []string{"wet-steel", "steel-unknown", "wind-unknown"}
	if d := cmp.Diff(want, limitIDs(got)); d != "" {
		t.Error(d)
	}
}

func TestInspectionMethods(t *testing.T) {
	steel := q.Known[q.Temperature](15)
	clean := Surface{Coating: "bare", Skin: "rolled", Wet: job.Dry, Magnet: "strong"}
	all := job.TestKit{PT: job.Yes, MT: job.Yes, UT: job.Yes}
	met, spared := map[string]bool{}, map[string]bool{}
	for _, c := range []struct {
		name   string
		steel  q.Maybe[q.Temperature]
		on     Surface
		kit    job.TestKit
		method string
		class  Class
		want   []string
	}{
		{"clean and warm", steel, clean, all, "pt", Go, []string{}},
		{"clean and warm, yoke", steel, clean, all, "mt", Go, []string{}},
		{"eye and lamp", q.Maybe[q.Temperature]{}, Surface{}, job.TestKit{}, "vt", Go, []string{}},
		{"nothing known, dye", q.Maybe[q.Temperature]{}, Surface{}, job.TestKit{}, "pt", Condition, []string{"pt-unknown", "pt-coated", "pt-wet"}},
		{"nothing known, yoke", q.Maybe[q.Temperature]{}, Surface{}, job.TestKit{}, "mt", Condition, []string{"mt-magnet-unknown", "mt-coated"}},
		{"cold", q.Known[q.Temperature](-14), clean, all, "pt", Refuse, []string{"pt-cold"}},
		{"hot", q.Known[q.Temperature](80), clean, all, "pt", Refuse, []string{"pt-hot"}},
		{"cool", q.Known[q.Temperature](7), clean, all, "pt", Condition, []string{"pt-iso"}},
		{"cold, yoke", q.Known[q.Temperature](-14), clean, all, "mt", Condition, []string{"mt-cold-ink"}},
		{"hot, yoke", q.Known[q.Temperature](80), clean, all, "mt", Condition, []string{"mt-hot-ink"}},
		{"very hot, yoke", q.Known[q.Temperature](330), clean, all, "mt", Refuse, []string{"mt-hot", "mt-hot-ink"}},
		{"manganese steel", steel, Surface{"bare", "rolled", job.Dry, "weak"}, all, "mt", Refuse, []string{"mt-no-magnet"}},
		{"cast", steel, Surface{"bare", "cast", job.Dry, "strong"}, all, "pt", Condition, []string{"pt-rough"}},
		{"cast, ultrasonic", steel, Surface{"bare", "cast", job.Dry, "strong"}, all, "ut", Condition, []string{"ut-cast"}},
		{"cold, ultrasonic without set", q.Known[q.Temperature](-14), clean, job.TestKit{}, "ut", Condition, []string{"ut-ticket", "ut-temperature"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := method(t, InspectionMethods(c.steel, c.on, c.kit, q.SI), c.method)
			if d := cmp.Diff(c.want, limitIDs(got.Limits)); d != "" || got.Class != c.class {
				t.Errorf("got %s, want %s; limits:\n%s", got.Class, c.class, d)
			}
		})
		for _, m := range InspectionMethods(c.steel, c.on, c.kit, q.SI) {
			ids := limitIDs(m.Limits)
			for _, r := range inspectRows {
				if r.method == m.ID {
					met[r.id] = met[r.id] || slices.Contains(ids, r.id)
					spared[r.id] = spared[r.id] || !slices.Contains(ids, r.id)
				}
			}
		}
	}
	for _, r := range inspectRows {
		if !met[r.id] || !spared[r.id] {
			t.Errorf("%s: met %v, spared %v; want both", r.id, met[r.id], spared[r.id])
		}
	}
}

// What holds comes first.
func TestInspectionMethodsBestFirst(t *testing.T) {
	all := InspectionMethods(q.Known[q.Temperature](-14), Surface{Coating: "bare", Wet: job.Dry, Magnet: "strong"}, job.TestKit{}, q.SI)
	if !slices.IsSortedFunc(all, func(a, b Method) int { return int(b.Class) - int(a.Class) }) {
		t.Errorf("not in order: %v", all)
	}
	if last := all[len(all)-1]; last.ID != "pt" {
		t.Errorf("last is %s, want dye in the cold", last.ID)
	}
}
