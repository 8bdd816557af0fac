// Package diffuse computes how hydrogen leaves a weld.
//
// # Method
//
// Fick's second law on the cross-section of the weld, ∂C/∂t = ∇·(D∇C), with a
// diffusivity that follows the temperature of each place through its history.
// C is what is left of what the bead brought (1 when it is laid); it is zero at
// every surface, groove walls included while they are open. Finite volumes on a
// rectilinear grid with a mask; steps by alternating directions in increment form
// (Douglas 1955 in two dimensions), the first ones after a bead fully implicit.
//
// # Diffusivity
//
// A band, never one curve: Johnson and Hill for iron without deep traps and a
// fifth of it for what traps hold back. Data scatter by a factor of ten and more
// at room temperature; carbon and alloy make it slower.
//
// # Limits
//
// No trapping kinetics, no jump of solubility between weld and base metal, no
// drift with stress, no remelting of the bead below. Ratios of what is left, not
// amounts: multiply by the diffusible hydrogen of the filler.
package diffuse
