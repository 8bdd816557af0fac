package filler

import (
	"fmt"

	q "soundmetal/quantity"
	"soundmetal/source"
)

// CET of the deposit, for the rule that the weld metal may govern the preheat.
//
// Method: CET = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40, % by mass
// (EN 1011-2 Annex C.3, formula read in secondary copies).
// Validity: ferritic deposits. An element the class does not limit counts
// nothing in the typical figure and nothing in the upper one: for rods that is
// a small residual, and it is said in the notes.

// CETBand is the CET of a class's deposit.
type CETBand struct {
	Typical q.Maybe[q.Percent] // usual tin
	Upper   q.Percent          // every element at the class's limit at once: no real tin reaches it
}

func highest(m q.Maybe[q.Of[q.Percent]]) float64 { return float64(m.Or(q.Of[q.Percent]{}).High) }

// cet is the CET of a deposit.
func (d Deposit) cet() q.Percent {
	return q.Percent(highest(d.C) + (highest(d.Mn)+highest(d.Mo))/10 + (highest(d.Cr)+highest(d.Cu))/20 + highest(d.Ni)/40)
}

// cet is the answer of DepositCET without its working, for a class that has one.
func (c Class) cet() CETBand {
	band := CETBand{Upper: c.Limits.cet()}
	if c.Typical.Known() {
		band.Typical = q.Known(c.Typical.cet())
	}
	return band
}

// DepositCET gives the CET of the class's deposit. Method id: deposit-cet.
func DepositCET(c Class) (source.Result[CETBand], error) {
	var none source.Result[CETBand]
	if c.Metal != Ferritic {
		return none, fmt.Errorf("%s has no CET: it is a %s deposit, and CET is for ferritic weld metal only", c.ID, c.Metal)
	}
	if !c.Limits.Known() {
		return none, fmt.Errorf("%s: no composition in the table; read it from the tin's certificate", c.ID)
	}
	with := func(d Deposit) string {
		return fmt.Sprintf("%.2f + (%.2f+%.2f)/10 + (%.2f+%.2f)/20 + %.2f/40",
			highest(d.C), highest(d.Mn), highest(d.Mo), highest(d.Cr), highest(d.Cu), highest(d.Ni))
	}
	band := c.cet()
	b := source.Basis{
		Method: "deposit-cet", Title: "CET of the weld metal", Formula: "CET = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40",
		Inputs: []source.Input{{Name: "class", Text: c.ID, From: "read on the tin"}},
		Ref:    source.At("en1011-2", "Annex C.3", source.Read),
		Also:   []source.Ref{c.Limits.Ref},
		Notes: []string{
			"The upper figure takes every element at the class's limit at once; no real tin reaches it.",
			"Elements that the class does not limit count as nothing.",
		},
		Why:  "A strong rod can need more preheat than the steel it is laid on, so the rod's own hardenability is counted too.",
		Skip: "With a rod stronger than the plate the crack can sit in the weld, across the bead, though the plate was warm enough.",
	}
	if c.Typical.Known() {
		b.Also = append(b.Also, c.Typical.Ref)
		b.Steps = append(b.Steps, source.Step{Name: "CET of a usual tin", Formula: b.Formula, With: with(c.Typical), Value: float64(band.Typical.V), Unit: "%"})
	}
	b.Steps = append(b.Steps, source.Step{Name: "CET at the class limits", Formula: b.Formula, With: with(c.Limits), Value: float64(band.Upper), Unit: "%"})
	return source.Result[CETBand]{Value: band, Basis: b}, nil
}
