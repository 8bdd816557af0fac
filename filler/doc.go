// Package filler is the rod box: what a class on a tin means, whether the rod is
// still dry, how many amps it takes, how many millimetres of weld one rod gives,
// how many rods a weld needs, and which rod belongs in which weld.
//
// Reference tables are the CSV files beside the code; each row names its source
// and how sure we are of it. The room is pure: no clock, no files, no globals
// that change.
package filler
