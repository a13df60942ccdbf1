package odds

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"flicktally/sim"
)

// layerArea is what Marsaglia and Tsang publish for 256 layers.
const layerArea = 0.00492867323399

// TestLayersOfEqualArea: from the tail up, layers of that area under the curve end
// at its top.
func TestLayersOfEqualArea(t *testing.T) {
	z := newZiggurat()
	beyondTail := math.Sqrt(math.Pi/2) * math.Erfc(tail/math.Sqrt2)
	require.InDelta(t, layerArea, tail*z.height[0]+beyondTail, 1e-13)
	for layer := 1; layer < layers; layer++ {
		require.InDelta(t, layerArea, z.edge[layer-1]*(z.height[layer]-z.height[layer-1]), 1e-9)
		require.InDelta(t, math.Exp(-z.edge[layer]*z.edge[layer]/2), z.height[layer], 1e-12)
	}
	require.InDelta(t, 1, z.height[layers-1], 1e-9)
	require.InDelta(t, 0, z.edge[layers-1], 1e-6)
}

// TestSidesOfLayers: the bits of a side reach from 0 to the width of its layer,
// and are sure up to its edge.
func TestSidesOfLayers(t *testing.T) {
	z := newZiggurat()
	width := layerArea / z.height[0]
	for layer := range uint64(layers) {
		for side, sign := range map[uint64]float64{2 * layer: 1, 2*layer + 1: -1} {
			_, x, _ := z.point(side)
			require.Zero(t, x)
			_, x, sure := z.point((1<<52-1)<<12 | side)
			require.InDelta(t, sign*width, x, 1e-9)
			require.False(t, sure)
			_, x, sure = z.point(uint64(0.999999*z.edge[layer]/width*(1<<52))<<12 | side)
			require.InDelta(t, sign*z.edge[layer], x, 1e-5)
			require.True(t, sure || layer == layers-1, "nothing of the highest layer is sure")
		}
		width = z.edge[layer]
	}
}

// normals draws from the normal distribution, by way of holds far above zero.
func normals(n int) []float64 {
	const mean, sd = 1e15, 1e12
	s := newLuck(11, 0).holds
	holds := make([]sim.Micros, n)
	theZiggurat().fillHolds(&s, mean, sd, holds)
	all := make([]float64, n)
	for i, hold := range holds {
		all[i] = (float64(hold) - mean) / sd
	}
	return all
}

// TestNormalMoments: mean 0, variance 1, skewness 0, kurtosis 3, with the standard
// errors of moments of normal samples: √(1/n), √(2/n), √(15/n), √(96/n) for the
// first to fourth (from E x⁶ = 15 and E x⁸ = 105).
func TestNormalMoments(t *testing.T) {
	const n = 1 << 21
	var moment [5]float64
	for _, x := range normals(n) {
		for k, power := 1, x; k <= 4; k, power = k+1, power*x {
			moment[k] += power / n
		}
	}
	for k, want := range map[int]struct{ mean, variance float64 }{1: {0, 1}, 2: {1, 2}, 3: {0, 15}, 4: {3, 96}} {
		require.InDelta(t, want.mean, moment[k], 4*math.Sqrt(want.variance/n), "moment %d", k)
	}
}

// TestNormalTail: beyond the tail's begin there is as much as the distribution
// has there, and as much on either side.
func TestNormalTail(t *testing.T) {
	const n = 1 << 21
	count, right := 0.0, 0.0
	for _, x := range normals(n) {
		if math.Abs(x) > tail {
			count++
		}
		if x > tail {
			right++
		}
	}
	p := 2 * distuv.UnitNormal.Survival(tail)
	require.InDelta(t, p*n, count, 4*math.Sqrt(p*n))
	require.InDelta(t, count/2, right, 4*math.Sqrt(count/4))
}

// TestBeyond: so far beyond its begin the tail lies on average: E[X − a | X > a] =
// φ(a)/Q(a) − a = m, with the variance 1 − a·m − m².
func TestBeyond(t *testing.T) {
	const n = 1 << 18
	s, sum, x := newLuck(13, 0).holds, 0.0, 0.0
	for range n {
		x, s = beyond(-tail, s)
		sum += -tail - x
	}
	mean := distuv.UnitNormal.Prob(tail)/distuv.UnitNormal.Survival(tail) - tail
	require.InDelta(t, mean, sum/n, 4*math.Sqrt((1-tail*mean-mean*mean)/n))
}

// TestNormalChiSquare counts draws in cells of equal chance; the quantile is that
// of the chi-square distribution at 0.999, from another library.
func TestNormalChiSquare(t *testing.T) {
	const n, cells = 1 << 21, 1000
	var counts [cells]float64
	for _, x := range normals(n) {
		counts[int(distuv.UnitNormal.CDF(x)*cells)]++
	}
	square := 0.0
	for _, count := range counts {
		square += (count - n/cells) * (count - n/cells) / (n / cells)
	}
	require.Less(t, square, distuv.ChiSquared{K: cells - 1}.Quantile(0.999))
}

// TestNormalKolmogorov: the distance of the distribution of n draws from the
// normal one is more than 1.95/√n once in 1000 (N. Smirnov, Table for Estimating
// the Goodness of Fit of Empirical Distributions, 1948, doi
// 10.1214/aoms/1177730256; from memory).
func TestNormalKolmogorov(t *testing.T) {
	const n = 1 << 18
	all := normals(n)
	slices.Sort(all)
	distance := 0.0
	for i, x := range all {
		p := distuv.UnitNormal.CDF(x)
		distance = max(distance, p-float64(i)/n, float64(i+1)/n-p)
	}
	require.Less(t, distance*math.Sqrt(n), 1.95)
}

// TestHoldsRound: holds are rounded to whole µs.
func TestHoldsRound(t *testing.T) {
	s := newLuck(12, 0).holds
	holds := make([]sim.Micros, 10_000)
	for mean, want := range map[float64]sim.Micros{1000.4: 1000, 1000.6: 1001, -0.4: 0} {
		theZiggurat().fillHolds(&s, mean, 1e-3, holds)
		require.Equal(t, want, slices.Min(holds))
		require.Equal(t, want, slices.Max(holds))
	}
}
