package joint

// Order along the groove: blocks, starts and stops, peening.
//
// Method (mm; L length of the groove)
//   blocks     n = max(round(L/200), ⌈L/300⌉), at least 1
//   order      from the middle outwards; each block is welded back towards the
//              middle, so that no bead stops at a groove end
//   stagger    the joints between blocks move by 0, +50, −50, 0, ... from layer
//              to layer; none lies within 25 mm of one in the layer below
//   keep off   none lies within 50 mm (least 25) of a groove end or a corner
//   peening    intermediate layers only, never root or cap
// A groove of one block is welded from alternate ends, its crater carried back.
// Validity: one groove, straight or round corners at known places.
// Source: common practice; peening AWS D1.1 from memory.

import (
	_ "embed"
	"fmt"
	"math"
	"sort"

	"soundmetal/cut"
	q "soundmetal/quantity"
	"soundmetal/source"
)

//go:embed sequence.csv
var sequenceCSV string

// Rule is one line of how to go about it, with its reason.
type Rule = cut.Rule

var sequenceRules = mustReadSequence(sequenceCSV)

func mustReadSequence(text string) []Rule {
	var all []Rule
	for _, r := range source.Table("sequence.csv", text) {
		all = append(all, Rule{ID: r.Text("id"), Text: r.Text("text"), Why: r.Text("why"), Skip: r.Text("skip"), Ref: r.Ref()})
	}
	return all
}

// Block is one stretch of one layer, welded from From to To.
type Block struct {
	Order int      `json:"order"` // within the layer
	From  q.Length `json:"from"`  // along the groove, from its left end
	To    q.Length `json:"to"`
}

// LayerRun is how one layer goes along the groove.
type LayerRun struct {
	Layer  int     `json:"layer"`
	Side   int     `json:"side"`
	Kind   Kind    `json:"kind"`
	Blocks []Block `json:"blocks"`
	Peen   bool    `json:"peen"` // may be peened
}

// Sequence is the order along the groove, layer by layer.
type Sequence struct {
	Block q.Length   `json:"block"` // length of a block before staggering
	Runs  []LayerRun `json:"runs"`
	Peen  []int      `json:"peen"` // layers that may be peened
	Rules []Rule     `json:"rules"`
}

// Along plans the order along a groove of the given length at the surface.
// corners are places along it where it turns a corner.
func Along(long q.Length, corners []q.Length, layers []Layer) (source.Result[Sequence], error) {
	var none source.Result[Sequence]
	if err := positive("the groove's length", long); err != nil {
		return none, err
	}
	if len(layers) == 0 {
		return none, fmt.Errorf("no layers: lay out the beads first")
	}
	for _, c := range corners {
		if c <= 0 || c >= long {
			return none, fmt.Errorf("a corner at %.4g mm is not on a groove of %.4g mm", c.MM(), long.MM())
		}
	}
	block, stagger, keep := figure("block"), figure("stagger"), figure("keep-off")
	n := max(1, int(math.Round(float64(long)/block.Likely)), int(math.Ceil(float64(long)/block.High-1e-9)))
	v := Sequence{Block: long / q.Length(n), Rules: append([]Rule(nil), sequenceRules...)}
	b := source.Basis{
		Method: "weld-sequence", Title: "Order along the groove", Formula: "blocks from the middle outwards, each welded back towards the middle",
		Inputs: []source.Input{{Name: "groove", Text: length(long)}, {Name: "corners", Text: fmt.Sprint(len(corners))}, {Name: "layers", Text: fmt.Sprint(len(layers))}},
		Ref:    block.Ref, Also: []source.Ref{stagger.Ref, keep.Ref},
		Why:  "Short blocks and moved stops spread the shrinkage and the weak places.",
		Skip: "The part pulls out of line, or cracks at a crater.",
	}
	b.Steps = append(b.Steps, source.Step{Name: "blocks", Formula: "round(L/200)", With: fmt.Sprintf("%.4g / %.0f", long.MM(), block.mm()), Value: float64(n), Text: fmt.Sprintf("%.0f mm each", v.Block.MM())})

	var before []q.Length
	for i, l := range layers {
		stops, ok := joints(long, n, i, corners, before)
		if !ok {
			b.Notes = append(b.Notes, fmt.Sprintf("layer %d: no place for every stop away from corners, ends and the stops below: grind the craters out", l.Number))
		}
		before = stops
		r := LayerRun{Layer: l.Number, Side: l.Side, Kind: l.Kind, Peen: l.Kind == FillBead, Blocks: blocks(long, stops, i)}
		if r.Peen {
			v.Peen = append(v.Peen, l.Number)
		}
		v.Runs = append(v.Runs, r)
	}
	if n == 1 {
		b.Notes = append(b.Notes, fmt.Sprintf("one block: weld from alternate ends; carry every crater %.0f mm back onto the bead", figure("back-carry").mm()))
	}
	b.Notes = append(b.Notes, "layers that may be peened: "+fmt.Sprint(v.Peen)+"; root and cap never")
	return source.Result[Sequence]{Value: v, Basis: b}, nil
}

// joints gives the places between the n blocks of the i-th layer, from the left.
func joints(length q.Length, n, i int, corners, before []q.Length) (at []q.Length, ok bool) {
	stagger, keep := figure("stagger"), figure("keep-off")
	shift := []float64{0, stagger.Likely, -stagger.Likely}[i%3]
	const step = 0.005 // m: search in steps of 5 mm
	ok = true
	for k := 1; k < n; k++ {
		want := float64(length)*float64(k)/float64(n) + shift
		place, found := want, false
		// first with full distances, then with the least ones
	search:
		for _, d := range [][2]float64{{keep.Likely, stagger.Low}, {keep.Low, stagger.Low}} {
			for j := range 2 * int(float64(length)/float64(n)/step) {
				p := want + float64((j+1)/2)*step*float64(1-2*(j%2))
				if clearOf(p, length, corners, d[0]) && clearOf(p, q.Length(math.Inf(1)), before, d[1]) && clearOf(p, q.Length(math.Inf(1)), at, figure("block").Low/2) {
					place, found = p, true
					break search
				}
			}
		}
		ok = ok && found
		at = append(at, q.Length(place))
	}
	sort.Slice(at, func(a, b int) bool { return at[a] < at[b] })
	return at, ok
}

// clearOf says whether p keeps a distance from both ends and from other places.
func clearOf(p float64, length q.Length, others []q.Length, distance float64) bool {
	if !math.IsInf(float64(length), 1) && (p < distance-1e-9 || p > float64(length)-distance+1e-9) {
		return false
	}
	for _, o := range others {
		if math.Abs(p-float64(o)) < distance-1e-9 {
			return false
		}
	}
	return true
}

// blocks orders the blocks from the middle outwards, each towards the middle.
func blocks(length q.Length, joints []q.Length, layer int) []Block {
	edges := append(append([]q.Length{0}, joints...), length)
	all := make([]Block, 0, len(edges)-1)
	for i := range len(edges) - 1 {
		b := Block{From: edges[i], To: edges[i+1]}
		turn := (b.From+b.To)/2 > length/2 // right of the middle: from right to left
		first, last := i == 0, i == len(edges)-2
		switch middle := b.From < length/2 && b.To > length/2; {
		case first && !last:
			turn = false // away from the groove's end, whatever the stagger
		case last && !first:
			turn = true
		case middle:
			turn = layer%2 == 1
		}
		if turn {
			b.From, b.To = b.To, b.From
		}
		all = append(all, b)
	}
	away := func(b Block) float64 { return math.Abs(float64((b.From+b.To)/2 - length/2)) }
	sort.SliceStable(all, func(i, j int) bool { return away(all[i]) < away(all[j])-1e-9 })
	for i := range all {
		all[i].Order = i + 1
	}
	return all
}
