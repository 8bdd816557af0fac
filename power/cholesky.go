package power

import "math"

// symmetric is a dense symmetric positive definite matrix with its Cholesky
// factor. It is here, and not from a library, because it is all of linear algebra
// that the program needs, and a library of matrices makes the phone's program a
// seventh larger.
//
// Method: G = L·Lᵀ by rows, forward and back substitution. Source: any textbook
// of numerical methods.
type symmetric struct {
	n    int
	at   []float64 // row by row
	root []float64 // L, row by row; the part above the diagonal is not used
}

func newSymmetric(n int) *symmetric {
	return &symmetric{n: n, at: make([]float64, n*n), root: make([]float64, n*n)}
}

// add adds to an element and to its mirror.
func (s *symmetric) add(i, j int, v float64) {
	s.at[i*s.n+j] += v
	if i != j {
		s.at[j*s.n+i] += v
	}
}

// factor makes the factor; false where the matrix is not positive definite as far
// as the arithmetic can tell.
func (s *symmetric) factor() bool {
	n := s.n
	for i := range n {
		for j := range i + 1 {
			sum := s.at[i*n+j]
			for k := range j {
				sum -= s.root[i*n+k] * s.root[j*n+k]
			}
			switch {
			case i != j:
				s.root[i*n+j] = sum / s.root[j*n+j]
			case sum > 0 && !math.IsInf(sum, 0):
				s.root[i*n+i] = math.Sqrt(sum)
			default:
				return false
			}
		}
	}
	return true
}

// solve gives x with G·x = b.
func (s *symmetric) solve(b []float64) []float64 {
	n := s.n
	x := make([]float64, n)
	for i := range n {
		sum := b[i]
		for k := range i {
			sum -= s.root[i*n+k] * x[k]
		}
		x[i] = sum / s.root[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= s.root[k*n+i] * x[k]
		}
		x[i] /= s.root[i*n+i]
	}
	return x
}

// lack gives b − G·x.
func (s *symmetric) lack(b, x []float64) []float64 {
	r := make([]float64, s.n)
	for i := range r {
		r[i] = b[i]
		for j, v := range x {
			r[i] -= s.at[i*s.n+j] * v
		}
	}
	return r
}

// inverse gives the columns of the inverse.
func (s *symmetric) inverse() [][]float64 {
	all := make([][]float64, s.n)
	for i := range all {
		unit := make([]float64, s.n)
		unit[i] = 1
		all[i] = s.solve(unit)
	}
	return all
}
