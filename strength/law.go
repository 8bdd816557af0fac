package strength

// Method:   crack growth laws of steel up to 100 °C
// Symbols:  da/dN in mm/cycle, ΔK in N/mm^1.5, R lowest over highest stress
// Formula:  da/dN = A·ΔK^m; two-stage: the smaller of stage A and stage B
// Validity: R ≥ 0.5 for welded joints (residual stress); no retardation after an overload
// Source:   BS 7910 growth constants (growth_laws.csv); change points recomputed from A and m

import (
	_ "embed"
	"fmt"
	"math"

	"soundmetal/source"
)

//go:embed growth_laws.csv
var lawsCSV string

var lawRows = source.Table("growth_laws.csv", lawsCSV)

// Law is a growth law.
type Law string

const (
	Simple       Law = "simple"         // one line, upper bound
	TwoStageMean Law = "two-stage-mean" // two lines, mean
	TwoStage2SD  Law = "two-stage-2sd"  // two lines, mean + 2 standard deviations
)

// Laws lists the words for a law.
func Laws() []Law { return []Law{Simple, TwoStageMean, TwoStage2SD} }

// LawInput chooses a growth law.
type LawInput struct {
	Law      Law
	Marine   bool // free corrosion in sea water, brine or slurry
	LowRatio bool // R < 0.5: only for stress-relieved parts that are pulled and let go
}

// growthLaw is one or two straight lines; the lower rate counts.
type growthLaw struct {
	a1, m1  float64 // stage A; m1 is zero for the one-line law
	a2, m2  float64
	spread1 float64 // of ln A, from the +2SD line
	spread2 float64
	title   string
	ref     source.Ref
	stageB  float64 // ΔK at which stage B takes over; zero for one line
}

func findLaw(in LawInput) (growthLaw, error) {
	environment, ratio := "air", "high"
	if in.Marine {
		environment = "marine"
	}
	if in.LowRatio {
		ratio = "low"
	}
	switch in.Law {
	case Simple, TwoStageMean, TwoStage2SD:
	default:
		return growthLaw{}, fmt.Errorf("no law %q; %s, %s or %s would do", in.Law, Simple, TwoStageMean, TwoStage2SD)
	}
	l := growthLaw{title: fmt.Sprintf("%s, %s", in.Law, environment)}
	for _, r := range lawRows {
		if r.Text("environment") != environment {
			continue
		}
		stage := r.Text("stage")
		if in.Law == Simple {
			if stage == "simple" {
				l.a2, l.m2, l.ref = r.Num("upper"), r.Num("slope"), r.Ref()
			}
			continue
		}
		if r.Text("ratio") != ratio {
			continue
		}
		column := "mean"
		if in.Law == TwoStage2SD {
			column = "upper"
		}
		spread := math.Log(r.Num("upper")/r.Num("mean")) / 2
		if stage == "a" {
			l.a1, l.m1, l.spread1 = r.Num(column), r.Num("slope"), spread
		} else {
			l.a2, l.m2, l.spread2, l.ref = r.Num(column), r.Num("slope"), spread, r.Ref()
		}
	}
	if in.Law != Simple {
		l.title += map[bool]string{true: ", R < 0.5", false: ", R ≥ 0.5"}[in.LowRatio]
	}
	if l.m1 != 0 {
		l.stageB = math.Pow(l.a2/l.a1, 1/(l.m1-l.m2))
	}
	return l, nil
}

// times is the law with its rates times a factor.
func (l growthLaw) times(f float64) growthLaw {
	l.a1, l.a2 = l.a1*f, l.a2*f
	return l
}

// rate is da/dN at a ΔK.
func (l growthLaw) rate(dk float64) float64 {
	b := l.a2 * math.Pow(dk, l.m2)
	if l.m1 == 0 {
		return b
	}
	return math.Min(l.a1*math.Pow(dk, l.m1), b)
}

// change is the ΔK at which stage B takes over; zero for one line.
func (l growthLaw) change() float64 { return l.stageB }
