// Package conduct computes how heat runs through the part being repaired:
// torch, wind, soak, beads, waits, cooling.
//
// # Method
//
// Transient heat conduction in steel on graded rectilinear finite volumes. Some
// cells are solid, some are air, and the cells of the groove are air until their
// bead is laid. Each cell of volume V keeps its enthalpy H (J/m³):
//
//	V·dH/dt = Σ (A/d)·(Θnext − Θ) + Q − A·[h(Ts−Ta) + εσ(Ts⁴−Ta⁴)]
//
// with Θ = ∫k dT (W/m), so that a conductivity that depends on temperature
// leaves constant links A/d between the cells, and all the physics of the steel
// is one table Θ(H). The enthalpy is what is added up, so no heat is lost at
// the 735 °C peak of the specific heat or in melting.
//
// A step of Δt solves, in increment form (Douglas and Gunn 1964),
//
//	(M+θΔt·Lx) M⁻¹ (M+θΔt·Ly) M⁻¹ (M+θΔt·Lz) ΔΘ = Δt·R,   M = V·dH/dΘ
//
// three families of tridiagonal systems, then H += M·ΔΘ/V and Θ = Θ(H). The
// slope dH/dΘ is taken where the cell is expected halfway through the step; the
// last line corrects what the slope missed without losing heat (Pham 1985).
// Second order in the cell size; second order in the step with θ = ½, which the
// arc and flame phases use; longer steps use a little more to damp.
//
// Axes: x runs along the weld, y across it, z through the thickness, away from
// the far face (z = 0) towards the welder. The middle of the weld is x = y = 0.
//
// # Limits
//
// No flow of the weld pool, no stress, no transformation on cooling other than
// along the heating curve of EN 1993-1-2 (the peak is given back at the same
// temperature). Below 20 °C and above 1200 °C the properties are held at the
// standard's end values, melting heat added; see properties.csv.
package conduct
