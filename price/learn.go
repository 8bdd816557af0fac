package price

import (
	_ "embed"
	"fmt"
	"math"

	"soundmetal/job"
	q "soundmetal/quantity"
	"soundmetal/source"
)

// Own figures from finished jobs.
//
// Method: normal model of known spread with a normal prior, on ln(actual / handbook)
//
//	y_i  = ln(actual_i / handbook_i) of job i, the handbook's figure for that job
//	θ    own factor: y_i ~ N(θ, σ²), θ ~ N(0, σ²/n0): the handbook counts as n0 jobs
//	θ̂    = Σ y_i / (n + n0)            posterior mean: the mean of the jobs drawn
//	                                   towards the handbook by n / (n + n0)
//	σ²   = (m0·s0² + Σ(y_i − ȳ)²) / (m0 + n − 1)   drawn towards the usual spread s0
//	used = handbook · exp(θ̂)
//	next = used · exp(± 1.28·σ·√(1 + 1/(n + n0)))   four jobs in five
//
// n0, s0 and m0 are stated in figures.csv and are judgement. With few jobs the
// handbook holds, with many his own figure does.
// Validity: pairs of more than nothing; a ratio beyond 0.1 to 10 is taken as a
// slip of the pen, left out and named.
// Sources: gelman-bda (normal mean, normal prior); efron-morris-1977 (why drawing
// towards a common value beats the plain mean).

//go:embed learned.csv
var learnedCSV string

// Pair is a figure as the handbook had it for one job, and as it came out. A
// zero pair is not known. The handbook's figure is without his own factors.
type Pair[T ~float64] struct {
	Handbook T `json:"handbook"`
	Actual   T `json:"actual"`
}

// Actual is one finished job.
type Actual struct {
	Name  string        `json:"name"`
	Rods  Pair[float64] `json:"rods"`  // of the whole job
	Bead  Pair[q.Time]  `json:"bead"`  // for one bead, welding and what goes with it
	Gouge Pair[q.Time]  `json:"gouge"` // for 100 mm of one pass, all in
	Torch Pair[q.Time]  `json:"torch"` // from cold to the preheat
}

// Learned is one figure as his, as the handbook's, and as it will be used.
type Learned struct {
	ID      string           `json:"id"`
	Label   string           `json:"label"`
	N       int              `json:"n"`      // jobs counted
	Ratio   q.Maybe[q.Ratio] `json:"ratio"`  // yours over the handbook's; unknown without jobs
	Used    q.Ratio          `json:"used"`   // factor on the handbook's figure
	Next    q.Of[q.Ratio]    `json:"next"`   // factor on the next job, four in five
	Weight  q.Ratio          `json:"weight"` // of your jobs against the handbook
	LeftOut []string         `json:"left_out,omitempty"`
}

// Factors are his own figures.
type Factors struct {
	Rods  Learned `json:"rods"`
	Bead  Learned `json:"bead"`
	Gouge Learned `json:"gouge"`
	Torch Learned `json:"torch"`
}

// All lists the figures in the order of learned.csv.
func (f Factors) All() []Learned { return []Learned{f.Rods, f.Bead, f.Gouge, f.Torch} }

// Learn updates his own figures from finished jobs, in any order.
func Learn(history []Actual) (source.Result[Factors], error) {
	var f Factors
	b := source.Basis{
		Method: "learn", Title: "Your own figures", Formula: "θ̂ = Σ ln(actual/handbook) / (n + n0); used = handbook · exp(θ̂)",
		Inputs: []source.Input{{Name: "finished jobs", Text: fmt.Sprint(len(history))}, {Name: "the handbook counts as", Text: fmt.Sprintf("%.0f jobs", fig("prior-jobs").Likely), From: "judgement"}},
		Ref:    source.At("gelman-bda", "normal mean with normal prior", source.Derived),
		Also:   []source.Ref{source.At("efron-morris-1977", "shrinkage", source.Read), fig("prior-jobs").Ref},
		Notes:  []string{"the handbook's figure of each job must be without your own factors"},
		Why:    "Three jobs are luck, thirty are you.",
		Skip:   "One bad day sets the price of the next ten jobs.",
	}
	pick := map[string]func(Actual) Pair[float64]{
		"rods":  func(a Actual) Pair[float64] { return a.Rods },
		"bead":  func(a Actual) Pair[float64] { return Pair[float64]{float64(a.Bead.Handbook), float64(a.Bead.Actual)} },
		"gouge": func(a Actual) Pair[float64] { return Pair[float64]{float64(a.Gouge.Handbook), float64(a.Gouge.Actual)} },
		"torch": func(a Actual) Pair[float64] { return Pair[float64]{float64(a.Torch.Handbook), float64(a.Torch.Actual)} },
	}
	at := map[string]*Learned{"rods": &f.Rods, "bead": &f.Bead, "gouge": &f.Gouge, "torch": &f.Torch}
	for _, r := range source.Table("price/learned.csv", learnedCSV) {
		id := r.Text("id")
		l, err := learnOne(history, pick[id])
		if err != nil {
			return source.Result[Factors]{}, fmt.Errorf("%s: %w", r.Text("label"), err)
		}
		l.ID, l.Label = id, r.Text("label")
		*at[id] = l
		s := source.Step{Name: l.Label, Value: float64(l.Used), Text: "no figure of your own yet: handbook used"}
		if l.Ratio.Known {
			s.Text = fmt.Sprintf("%s; yours %.2f × handbook; used %.2f × handbook, next job %.2f to %.2f", jobCount(l.N), float64(l.Ratio.V), float64(l.Used), float64(l.Next.Low), float64(l.Next.High))
		}
		b.Steps = append(b.Steps, s)
	}
	return source.Result[Factors]{Value: f, Basis: b}, nil
}

func jobCount(n int) string {
	if n == 1 {
		return "1 job"
	}
	return fmt.Sprintf("%d jobs", n)
}

// fourInFive is the normal quantile of 0.9: between both tails lie four in five.
const fourInFive = 1.2815515655446004

func learnOne(history []Actual, pick func(Actual) Pair[float64]) (Learned, error) {
	odd := fig("outlier")
	var l Learned
	var y []float64
	for i, a := range history {
		p := pick(a)
		if p == (Pair[float64]{}) {
			continue
		}
		if !(p.Handbook > 0) || !(p.Actual > 0) || math.IsInf(p.Handbook, 0) || math.IsInf(p.Actual, 0) {
			return l, fmt.Errorf("job %d %s: handbook %.4g and actual %.4g must both be more than 0", i+1, a.Name, p.Handbook, p.Actual)
		}
		ratio := p.Actual / p.Handbook
		if ratio < odd.Low || ratio > odd.High {
			l.LeftOut = append(l.LeftOut, fmt.Sprintf("job %d %s: %.3g times the handbook; check the figure", i+1, a.Name, ratio))
			continue
		}
		y = append(y, math.Log(ratio))
	}
	n0 := fig("prior-jobs").Likely
	l.N = len(y)
	theta, weight := shrink(mean0(y), 0, float64(l.N), n0)
	l.Used, l.Weight = q.Ratio(math.Exp(theta)), q.Ratio(weight)
	sigma := math.Sqrt(spreadOf(y))
	out := fourInFive * sigma * math.Sqrt(1+1/(float64(l.N)+n0))
	l.Next = q.Of[q.Ratio]{Low: q.Ratio(math.Exp(theta - out)), High: q.Ratio(math.Exp(theta + out))}
	if l.N > 0 {
		l.Ratio = q.Known(q.Ratio(math.Exp(mean0(y))))
	}
	return l, nil
}

// shrink draws a mean of n towards a prior that counts as n0, and gives the
// weight of the mean.
func shrink(mean, prior, n, n0 float64) (value, weight float64) {
	weight = n / (n + n0)
	return weight*mean + (1-weight)*prior, weight
}

func mean0(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	return mean(v)
}

// spreadOf is the variance from job to job, drawn towards the usual one.
func spreadOf(y []float64) float64 {
	s0, m0 := fig("job-spread").Likely, fig("job-spread-jobs").Likely
	if len(y) < 2 {
		return s0 * s0
	}
	m, sum := mean(y), 0.0
	for _, v := range y {
		sum += (v - m) * (v - m)
	}
	return (m0*s0*s0 + sum) / (m0 + float64(len(y)) - 1)
}

// Handbook are the handbook's figures behind the shop file's factors.
type Handbook struct {
	OperatingFactor q.Ratio // good access
	GougePer100mm   q.Time
}

// HandbookFigures gives the handbook's figures.
func HandbookFigures() Handbook {
	return Handbook{q.Ratio(operatingRows.Of("site").Likely), q.Time(fig("handbook-gouge").Likely)}
}

// Shop turns the learned figures into the shop file's factors: the operating
// factor of good access, rods over those planned, the time for 100 mm, the part of the torch's heat. A
// figure without jobs stays as it was. The torch's handbook efficiency is that
// of his kind of torch, given by the caller.
func (f Factors) Shop(old job.Factors, torch q.Ratio) job.Factors {
	if f.Rods.N > 0 {
		old.Rods = q.Known(f.Rods.Used)
	}
	if f.Bead.N > 0 {
		old.OperatingFactor = q.Known(min(HandbookFigures().OperatingFactor/f.Bead.Used, 1))
	}
	if f.Gouge.N > 0 {
		old.GougePer100mm = q.Known(HandbookFigures().GougePer100mm * q.Time(f.Gouge.Used))
	}
	if f.Torch.N > 0 && torch > 0 {
		old.TorchEfficiency = q.Known(min(torch/f.Torch.Used, 1))
	}
	return old
}
