package stat

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// TestNormalAgainstGonum: the chance is that of gonum's distribution, the excess
// its integral, ∫ P(X ≥ x) dx from c on.
func TestNormalAgainstGonum(t *testing.T) {
	n, want := Normal{200, 30}, distuv.Normal{Mu: 200, Sigma: 30}
	for _, c := range []float64{50, 150, 200, 260, 300} {
		require.InDelta(t, want.Survival(c), n.AtLeast(c), 1e-14)
		require.InDelta(t, quad.Fixed(want.Survival, c, 600, 400, quad.Legendre{}, 0), n.Excess(c), 1e-8)
	}
}
