package material

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"soundmetal/source"
)

// kind says what a piece of evidence may do to the list; a smaller kind may do more.
type kind uint8

const (
	measured  kind = iota // a reading or a paper: may take any family off the list
	observed              // the eye or the chisel: may take castings and irons off
	indicated             // moves weights only
	said                  // moves weights only
	context               // moves weights only
)

var kindNames = [...]string{"measured", "observed", "indicated", "said", "context"}

func mustKind(name string) kind {
	i := slices.Index(kindNames[:], name)
	if i < 0 {
		panic("material: no kind of evidence " + name)
	}
	return kind(i)
}

// A channel is one kind of evidence: a row of evidence.csv with its likelihoods.
type channel struct {
	id     string
	title  string
	kind   kind
	share  string // channels of one share tell the same thing
	rank   int
	ref    source.Ref
	values map[string]*reading // closed lists, and named
	keys   []*reading          // part and machine: the value is found as a word in a text
	spans  []*reading          // thickness and year: the value is a span
	says   map[string]string
}

// A reading is one value of a channel: how it weighs on each family.
type reading struct {
	value     string
	keys      []string
	padded    [][2]string // each key as a word, and with an s
	low, high float64
	log       []float64 // ln of the likelihood, by family
	fit       []float64 // likelihood over the greatest of all families: 1 fits best
	reasons   []string  // by family
	given     []int8    // how close the row stands: 1 any, 2 group, 3 family
}

var channels = readChannels()

func readChannels() map[string]*channel {
	all := map[string]*channel{}
	for _, r := range source.Table("evidence.csv", evidenceCSV) {
		all[r.Text("id")] = &channel{id: r.Text("id"), title: r.Text("title"), kind: mustKind(r.Text("kind")), share: r.Text("share"),
			rank: int(r.Num("rank")), ref: r.Ref(), values: map[string]*reading{}, says: map[string]string{}}
	}
	for _, r := range source.Table("words.csv", wordsCSV) {
		all[r.Text("evidence")].says[r.Text("value")] = r.Text("says")
	}
	for _, r := range source.Table("likelihoods.csv", likelihoodsCSV) {
		r.Ref()
		c, ok := all[r.Text("evidence")]
		if !ok {
			panic("likelihoods.csv: no evidence " + r.Text("evidence"))
		}
		v := c.reading(r.Text("value"))
		v.take(r.Text("target"), r.Num("likelihood"), r.Text("reason"))
	}
	for _, c := range all {
		for _, v := range c.values {
			v.finish(c.id)
		}
		for _, v := range c.spans {
			v.finish(c.id)
		}
		for _, v := range c.keys {
			v.finish(c.id)
		}
	}
	return all
}

// reading gives the channel's reading of a value, new where it is the first row of it.
func (c *channel) reading(value string) *reading {
	fresh := func() *reading {
		return &reading{value: value, log: make([]float64, listed), fit: make([]float64, listed), reasons: make([]string, listed), given: make([]int8, listed)}
	}
	switch c.id {
	case "part", "machine":
		for _, v := range c.keys {
			if v.value == value {
				return v
			}
		}
		v := fresh()
		v.keys = strings.Split(value, "|")
		for _, k := range v.keys {
			v.padded = append(v.padded, [2]string{" " + k + " ", " " + k + "s "})
		}
		c.keys = append(c.keys, v)
		return v
	case "thickness", "year":
		for _, v := range c.spans {
			if v.value == value {
				return v
			}
		}
		low, high, _ := strings.Cut(value, "-")
		v := fresh()
		var errLow, errHigh error
		v.low, errLow = strconv.ParseFloat(low, 64)
		v.high, errHigh = strconv.ParseFloat(high, 64)
		if errLow != nil || errHigh != nil {
			panic("likelihoods.csv: " + value + " is not a span")
		}
		c.spans = append(c.spans, v)
		return v
	}
	if v, ok := c.values[value]; ok {
		return v
	}
	v := fresh()
	c.values[value] = v
	return v
}

// take applies a row to the families it means, unless a closer row has spoken.
// The rows named and other of a claim stay apart: they depend on the claim.
func (v *reading) take(target string, likelihood float64, reason string) {
	if !(likelihood > 0 && likelihood <= 1) {
		panic(fmt.Sprintf("likelihoods.csv: %g is not a likelihood above 0 and up to 1", likelihood))
	}
	switch target {
	case "named":
		v.log[0], v.reasons[0] = math.Log(likelihood), reason
		return
	case "other":
		v.log[1] = math.Log(likelihood)
		return
	}
	found := false
	for i, f := range families[:listed] {
		var near int8
		switch target {
		case "*":
			near = 1
		case string(f.Group):
			near = 2
		case f.ID:
			near = 3
		default:
			continue
		}
		found = true
		if near >= v.given[i] {
			v.log[i], v.reasons[i], v.given[i] = math.Log(likelihood), reason, near
		}
	}
	if !found {
		panic("likelihoods.csv: no family or group " + target)
	}
}

// finish fills the fits once every row is in.
func (v *reading) finish(channel string) {
	if v.value == "named" {
		return
	}
	for i, g := range v.given {
		if g == 0 {
			panic("likelihoods.csv: " + channel + " " + v.value + " says nothing about " + families[i].ID)
		}
	}
	fitInto(v.fit, v.log)
}

// fitInto turns logs of likelihoods into shares of the greatest.
func fitInto(fit, log []float64) {
	best := slices.Max(log)
	for i, l := range log {
		fit[i] = math.Exp(l - best)
	}
}

// A clue is one piece of evidence found in a job.
type clue struct {
	channel *channel
	kind    kind // of this clue: a cut edge on thin plate is only indicated
	value   string
	says    string
	log     []float64 // ln likelihood, for the weights
	fit     []float64 // 0 to 1, for what is ruled out
	power   float64   // 1, or less where a stronger clue tells the same
	reason  string
}

func (c *channel) clue(v *reading, value string) clue {
	return clue{channel: c, kind: c.kind, value: value, says: c.say(value), log: v.log, fit: v.fit, power: 1, reason: v.reasons[0]}
}

// say puts a value in words.
func (c *channel) say(value string) string {
	if s, ok := c.says[value]; ok {
		return s
	}
	if s, ok := c.says["*"]; ok {
		return strings.Replace(s, "*", value, 1)
	}
	return c.title + ": " + value
}

// claim makes the clue of a name: named families are likely, others hardly.
func (c *channel) claim(set []bool, value string) clue {
	row := c.values["named"]
	k := clue{channel: c, kind: c.kind, value: value, says: c.say(value), power: 1, reason: row.reasons[0],
		log: make([]float64, listed), fit: make([]float64, listed)}
	for i, in := range set {
		k.log[i] = row.log[1]
		if in {
			k.log[i] = row.log[0]
		}
	}
	fitInto(k.fit, k.log)
	return k
}

// matched finds the reading whose longest keyword stands in the text as whole words.
func (c *channel) matched(text string) (*reading, bool) {
	padded := " " + strings.Join(words(text), " ") + " "
	var best *reading
	length := 0
	for _, v := range c.keys {
		for i, k := range v.keys {
			if len(k) > length && (strings.Contains(padded, v.padded[i][0]) || strings.Contains(padded, v.padded[i][1])) {
				best, length = v, len(k)
			}
		}
	}
	return best, best != nil
}

// span finds the first reading whose span holds x, ends included.
func (c *channel) span(x float64) (*reading, bool) {
	for _, v := range c.spans {
		if x >= v.low && x <= v.high {
			return v, true
		}
	}
	return nil, false
}

// A band is the range a reading usually has in one family, in log units, with
// the scatter s of the reading: uniform between low and high, blurred by a
// logistic error. Its tails fall exponentially, so the ratio of a harder to a
// softer family never falls as the reading rises.
type band struct{ low, high float64 } // natural logarithms

// softplus is ln(1 + e^x), the integral of the logistic distribution function.
func softplus(x float64) float64 { return max(x, 0) + math.Log1p(math.Exp(-math.Abs(x))) }

// scale turns a standard deviation as a part of the reading into the width of
// the logistic error: its standard deviation is s·π/√3.
func scale(deviation float64) float64 { return deviation * math.Sqrt(3) / math.Pi }

// fit is the share of the blurred band at x: about 1 inside, falling outside.
func (b band) fit(x, s float64) float64 {
	// logistic(u) - logistic(v) for u > v, written so that it keeps its digits far out in the tails
	u, v := (x-b.low)/s, (x-b.high)/s
	if u < 0 {
		return math.Exp(u) * -math.Expm1(v-u) / ((1 + math.Exp(u)) * (1 + math.Exp(v)))
	}
	return math.Exp(-v) * -math.Expm1(v-u) / ((1 + math.Exp(-v)) * (1 + math.Exp(-u)))
}

// below is the chance of a reading below x.
func (b band) below(x, s float64) float64 {
	return s * (softplus((x-b.low)/s) - softplus((x-b.high)/s)) / (b.high - b.low)
}
