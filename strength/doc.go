// Package strength answers "will it hold": why the part cracked, what load the
// crack tells of, how the ways to repair it compare, whether it may run a few
// hours more, when to look again, and how the weld will pull.
//
// The room works from the inside out. Sections (rect.go, shape.go, tube.go,
// torsion.go) give stress; classes and curves (class.go, curve.go, miner.go,
// rainflow.go) give fatigue life; stress intensity (sif.go, surface.go,
// toe.go), growth (law.go, growth.go, march.go) and the failure assessment
// diagram (fad.go, reference.go, toughness.go, critical.go) give the life of a
// crack that is there. On these stand the answers: cause.go, load.go,
// repairs.go, plate.go, friday.go, look.go, shrink.go, restraint.go,
// stophole.go.
//
// Inside a formula lengths are mm, stresses MPa, stress intensities N/mm^1.5
// (1 MPa√m = 31.623 N/mm^1.5), lives cycles. Reference tables are the CSV files
// beside the code; single figures of the trade are rows of figures.csv. Nothing
// here reads a clock; random numbers come from a seed in the input.
//
// An estimate of this room is help for a decision, never a release: parts that
// lift or carry people or loads, and everything the gate refuses or hands on,
// get no figure from it.
package strength
