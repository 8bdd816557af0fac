// Package power is the rig and the current: what the welding machine holds at
// its duty cycle, what the leads eat, what the compressor and the engine take,
// what the bottles give, where the current comes back, and what it does to
// eyes, ears and hands.
//
// Reference tables are the CSV files beside the code; each row names its source
// and how sure we are of it. The room is pure: no clock, no files, no globals
// that change; random draws take their seed from the caller.
package power
