package gate

import (
	"soundmetal/job"
	q "soundmetal/quantity"
)

const everyJob = "every job"

func always(*facts) []string { return []string{everyJob} }

// makeSafeWhen holds the predicate of each row of makesafe.csv. Not known counts
// as dangerous.
var makeSafeWhen = map[string]trigger{
	"stop":           always,
	"stand":          func(f *facts) []string { return mayBe("can be moved", f.machine.CanMove) },
	"stay":           func(f *facts) []string { return no("can be moved", f.machine.CanMove) },
	"high-voltage":   func(f *facts) []string { return mayBe("high-voltage or capacitor drive", f.machine.Hybrid) },
	"block":          always,
	"load-path":      loadPath,
	"hydraulics":     hydraulics,
	"accumulator":    accumulator,
	"cylinder-guard": hydraulics,
	"tyres": func(f *facts) []string {
		return either(mayBe("tyre close to the heat", f.machine.Tyres), f.behind("tyre"))
	},
	"look-behind":   func(f *facts) []string { return when(len(f.item.Behind) == 0, "behind it", "") },
	"container":     container,
	"vent":          vent,
	"lining":        lining,
	"wash":          always,
	"solvent":       always,
	"strip-coating": func(f *facts) []string { return when(f.item.Coating != "bare", "coating", string(f.item.Coating)) },
	"zinc":          func(f *facts) []string { return f.coating("galvanized") },
	"lead":          func(f *facts) []string { return f.coating("lead-paint", "paint", "") },
	"cadmium":       func(f *facts) []string { return f.coating("cadmium", "") },
	"chrome":        func(f *facts) []string { return f.coating("chrome") },
	"battery":       always,
	"controllers":   func(f *facts) []string { return mayBe("electronics", f.machine.Electronics) },
	"fire-bottle":   fireBottle,
	"wiring":        func(f *facts) []string { return f.behind("wiring", "hose", "battery") },
	"work-lead":     always,
	"two-clamps":    twoClamps,
	"return-path":   returnPath,
	"permit-get":    permitGet,
	"permit-keep":   func(f *facts) []string { return is("hot-work permit", f.site.Permit) },
	"fire-ban":      func(f *facts) []string { return mayBe("fire ban", f.site.FireBan) },
	"combustibles":  func(f *facts) []string { return mayBe("anything that burns near", f.site.Combustibles) },
	"extinguisher":  always,
	"water": func(f *facts) []string {
		return when(f.site.Water != job.Yes, "water or extinguisher", string(f.site.Water))
	},
	"fire-watch":     always,
	"bottles":        func(f *facts) []string { return mayBe("torch", f.work.Torch) },
	"fume":           always,
	"respirator":     respirator,
	"confined":       func(f *facts) []string { return mayBe("get inside to weld", f.site.ConfinedSpace) },
	"noise":          func(f *facts) []string { return mayBe("gouging", f.work.Gouge) },
	"noise-dose":     noiseDose,
	"eyes":           always,
	"shade":          func(f *facts) []string { return when(f.work.Shade > 0, "shade table", "known") },
	"shock":          always,
	"shock-wet":      shockWet,
	"weather-stop":   always,
	"height":         func(f *facts) []string { return mayBe("above head height", f.site.AtHeight) },
	"power-lines":    func(f *facts) []string { return mayBe("overhead lines near", f.site.PowerLines) },
	"traffic":        func(f *facts) []string { return f.rules("public-road") },
	"over-water":     func(f *facts) []string { return f.rules("over-water") },
	"alone":          func(f *facts) []string { return mayBe("alone", f.site.Alone) },
	"signal":         func(f *facts) []string { return when(f.site.Signal != job.Yes, "phone signal", string(f.site.Signal)) },
	"emergency-card": always,
}

func loadPath(f *facts) []string {
	if f.away() {
		return nil
	}
	return []string{"part: it may carry load"}
}

func hydraulics(f *facts) []string {
	return either(mayBe("hydraulics near", f.machine.Hydraulics), f.behind("hose", "oil", "cylinder"))
}

// accumulator: a machine without hydraulics near the part has none in the circuit.
func accumulator(f *facts) []string {
	if f.machine.Accumulator == job.Unknown && hydraulics(f) == nil {
		return nil
	}
	return mayBe("accumulator", f.machine.Accumulator)
}

func container(f *facts) []string {
	return either(f.behind("tank", "fuel", "oil"), f.means(string(job.Tank), string(job.PressureVessel)),
		f.contains("fuel", "oil", "chemical", "grain", "gas", "pressure"))
}

// vent: a box or tube may be closed as long as nobody says that nothing is behind.
func vent(f *facts) []string {
	hollow := f.item.Shape == "" || f.item.Shape == job.Box || f.item.Shape == job.Tube
	return either(f.behind("closed-hollow"), f.contains("water", "air"),
		when(hollow && f.behind("nothing") == nil, "shape", string(f.item.Shape)))
}

func lining(f *facts) []string { return either(f.behind("insulation"), f.coating("rubber")) }

func (f *facts) coating(which ...job.Coating) []string {
	for _, c := range which {
		if f.item.Coating == c {
			return []string{say("coating", string(c))}
		}
	}
	return nil
}

// fireBottle: machines of mines, quarries, tips, forests and plants carry them.
func fireBottle(f *facts) []string {
	return either(f.rules("mine", "quarry", "landfill", "forest", "refinery"), when(len(f.site.Rules) == 0, "site rules", ""))
}

func twoClamps(f *facts) []string {
	most := q.Current(limit("two-clamps", 0))
	var because []string
	for _, c := range []struct {
		name string
		amps q.Maybe[q.Current]
		used job.Answer
	}{{"welding current", f.work.Current, job.Yes}, {"gouging current", f.work.GougeCurrent, f.work.Gouge}} {
		switch {
		case c.used == job.No:
		case !c.amps.Known:
			because = append(because, say(c.name, ""))
		case c.amps.V > most:
			because = append(because, say(c.name, c.amps.V.Text(f.units)))
		}
	}
	return because
}

func returnPath(f *facts) []string {
	return either(f.behind("bearing", "cylinder", "pin-bore"), when(len(f.item.Behind) == 0, "behind it", ""),
		mayBe("hydraulics near", f.machine.Hydraulics))
}

func permitGet(f *facts) []string {
	if f.site.Permit == job.Yes {
		return nil
	}
	return either(f.rules("mine", "quarry", "rail", "refinery", "landfill", "ship", "over-water", "energised-plant", "forest"),
		when(len(f.site.Rules) == 0, "site rules", ""), no("hot-work permit", f.site.Permit))
}

func respirator(f *facts) []string {
	return either(mayBe("gouging", f.work.Gouge), mayBe("get inside to weld", f.site.ConfinedSpace),
		f.coating("", "lead-paint", "galvanized", "cadmium", "chrome", "paint"))
}

func noiseDose(f *facts) []string {
	if !f.work.BareEars.Known {
		return nil
	}
	return mayBe("gouging", f.work.Gouge)
}

func shockWet(f *facts) []string {
	return either(when(f.site.Wet != job.Dry, "wet", string(f.site.Wet)), mayBe("get inside to weld", f.site.ConfinedSpace),
		f.rules("over-water"))
}
