package power

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// Reference: gonum.org/v1/gonum/mat, a general library of matrices.
func TestSymmetricAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		s, ref := newSymmetric(n), mat.NewSymDense(n, nil)
		add := func(i, j int, v float64) {
			s.add(i, j, v)
			ref.SetSym(i, j, ref.At(i, j)+v)
		}
		for i := range n { // a network: each body joined to the ground and to the one before
			g := math.Pow(10, rapid.Float64Range(-3, 5).Draw(t, "g"))
			add(i, i, g)
			if i > 0 {
				h := math.Pow(10, rapid.Float64Range(-3, 5).Draw(t, "h"))
				add(i, i, h)
				add(i-1, i-1, h)
				add(i, i-1, -h)
			}
		}
		var chol mat.Cholesky
		if ok := chol.Factorize(ref); ok != s.factor() {
			t.Fatalf("positive definite: the library says %v", ok)
		}
		b := rapid.SliceOfN(rapid.Float64Range(-500, 500), n, n).Draw(t, "b")
		var want mat.VecDense
		if err := chol.SolveVecTo(&want, mat.NewVecDense(n, b)); err != nil {
			t.Skip("badly conditioned: ", err)
		}
		got := s.solve(b)
		for i, v := range got {
			if d := math.Abs(v - want.AtVec(i)); d > 1e-6*(math.Abs(v)+mat.Norm(&want, math.Inf(1))) {
				t.Errorf("x[%d]: got %g, want %g", i, v, want.AtVec(i))
			}
		}
		inverse := s.inverse()
		for i := range n {
			sum := 0.0
			for j := range n {
				sum += inverse[j][i] * b[j]
			}
			if d := math.Abs(sum - got[i]); d > 1e-6*(math.Abs(sum)+mat.Norm(&want, math.Inf(1))) {
				t.Errorf("by the inverse x[%d]: %g, solved %g", i, sum, got[i])
			}
		}
	})
}

func TestNotPositiveDefinite(t *testing.T) {
	for name, v := range map[string]float64{"zero": 0, "negative": -1, "not a number": math.NaN(), "infinite": math.Inf(1)} {
		s := newSymmetric(1)
		s.add(0, 0, v)
		if s.factor() {
			t.Errorf("%s was factored", name)
		}
	}
}
