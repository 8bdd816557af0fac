package price

import (
	"hash/fnv"
	"math/rand/v2"
)

// Draws of what is not known.
//
// Method: Latin hypercube. Each column of n draws has one draw in each n-th part
// of 0 to 1, in random order; columns are independent. A draw becomes a value by
// the inverse transform of the driver's distribution, so the same draw is always
// the same luck: a call with more damage is compared with the old one under the
// same luck (common random numbers), and cannot come out cheaper.
//
// A column is seeded by the seed and its own name, so that a further item does
// not change the luck of the others.
//
// Source: mckay-1979; law-simulation for inverse transform and common numbers.

// column gives n draws, and the part of 0 to 1 that each lies in.
func column(name string, n int, seed uint64) (u []float64, part []int32) {
	h := fnv.New64a()
	h.Write([]byte(name))
	r := rand.New(rand.NewPCG(seed, h.Sum64()))
	u, part = make([]float64, n), make([]int32, n)
	for i := range part {
		part[i] = int32(i)
	}
	r.Shuffle(n, func(i, j int) { part[i], part[j] = part[j], part[i] })
	for i := range u {
		u[i] = (float64(part[i]) + r.Float64()) / float64(n)
	}
	return u, part
}
