package stat

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// pairs of samples; the p-values are those of scipy 1.10.1, ttest_ind(equal_var
// = False) and levene(center = "median"), and for the first pair of R 4.2.2 too,
// t.test and anova(lm) of the distances to the medians.
var pairs = []struct {
	a, b                 []float64
	welch, brownForsythe float64
}{
	{
		[]float64{182, 197, 205, 188, 210, 176, 199, 221, 190, 203},
		[]float64{230, 201, 188, 264, 215, 240, 179, 255, 222, 247, 209, 236},
		0.007158978152980092, 0.040324811730252604,
	},
	{
		[]float64{27.5, 21.0, 19.0, 23.6, 17.0, 17.9, 16.9, 20.1, 21.9, 22.6, 23.1, 19.6, 19.0, 21.7, 21.4},
		[]float64{27.1, 22.0, 20.8, 23.4, 23.4, 23.5, 25.8, 22.0, 24.8, 20.2, 21.9, 22.1, 22.9, 30.0, 23.9},
		0.008452732437443437, 0.5533627214049286,
	},
	{
		[]float64{17.2, 20.9, 22.6, 18.1, 21.7, 21.4, 23.5, 24.2, 14.7, 21.8},
		[]float64{21.5, 22.8, 21.0, 23.0, 21.6, 23.6, 22.5, 20.7, 23.4, 21.8, 20.7, 21.7, 21.5, 22.5, 23.6, 21.5, 22.5, 23.5, 21.5, 21.8},
		0.14884169660532834, 0.014297843872583066,
	},
}

func TestMeansAndSpreadsAgainstScipy(t *testing.T) {
	for _, p := range pairs {
		require.InDelta(t, p.welch, WelchP(Summarize(p.a), Summarize(p.b)), 1e-12)
		require.InDelta(t, p.brownForsythe, BrownForsytheP(p.a, p.b), 1e-12)
		require.InDelta(t, p.brownForsythe, BrownForsytheP(p.b, p.a), 1e-12)
	}
}

func TestFewMeasurementsTellNothing(t *testing.T) {
	one, two := []float64{3}, []float64{4, 5}
	require.Equal(t, 1.0, WelchP(Summarize(one), Summarize(two)))
	require.Equal(t, 1.0, BrownForsytheP(one, two))
	same, other := []float64{3, 3}, []float64{4, 4}
	require.Equal(t, 1.0, WelchP(Summarize(same), Summarize(same)))
	require.Zero(t, WelchP(Summarize(same), Summarize(other)), "no spread at all, and another mean")
	require.Equal(t, 1.0, BrownForsytheP(same, other), "no spread on either side")
}

// TestDifferenceOfRates: the intervals are those of statsmodels 0.13.5,
// confint_proportions_2indep(method = "newcomb"), 95 %; the pairs are from R. G.
// Newcombe, Statistics in Medicine 17 (1998) 873, Table II (from memory).
func TestDifferenceOfRates(t *testing.T) {
	for _, c := range []struct {
		a, b Rate
		want Interval
	}{
		{Rate{56, 70}, Rate{48, 80}, Interval{0.05243147240236498, 0.33387265403690614}},
		{Rate{9, 10}, Rate{3, 10}, Interval{0.1705227239345029, 0.809017973535488}},
		{Rate{6, 7}, Rate{2, 7}, Interval{0.05822792748231209, 0.8062496375242278}},
		{Rate{5, 56}, Rate{0, 29}, Interval{-0.038137147903536936, 0.19256001385511165}},
		{Rate{0, 10}, Rate{0, 20}, Interval{-0.1611251580528194, 0.27753279986288926}},
		{Rate{10, 10}, Rate{0, 20}, Interval{0.6790860371419145, 1}},
	} {
		requireInterval(t, c.want, c.a.minus(c.b, 0.95), 1e-12)
		mirrored := c.b.minus(c.a, 0.95)
		requireInterval(t, c.want, Interval{-mirrored.High, -mirrored.Low}, 1e-12)
		leavesZeroOut := c.want.Low > 0
		require.Equal(t, leavesZeroOut, c.a.DiffersP(c.b) < 0.05, "%v %v", c.a, c.b)
		if p := c.a.DiffersP(c.b); p > 1e-8 && p < 1 {
			require.InDelta(t, 0, c.a.minus(c.b, 1-p).Low, 1e-6, "its interval ends at 0")
		}
	}
	require.Equal(t, Interval{-1, 1}, Rate{}.minus(Rate{1, 2}, 0.95))
	require.Equal(t, 1.0, Rate{}.DiffersP(Rate{1, 2}))
	require.Equal(t, 1.0, Rate{3, 10}.DiffersP(Rate{3, 10}))
}

// TestDifferenceOfRatesIsRare simulates how often Newcombe's interval leaves out
// the truth at 98.33 %, the level that Holm asks of the first of three tests.
func TestDifferenceOfRatesIsRare(t *testing.T) {
	const runs, alpha = 4000, 0.05 / 3
	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		n, m   int
		chance float64
	}{{12, 12, 0.9}, {20, 20, 0.95}, {30, 12, 0.8}, {100, 40, 0.97}} {
		wrong := 0
		for range runs {
			if count(c.n, c.chance, rng).DiffersP(count(c.m, c.chance, rng)) <= alpha {
				wrong++
			}
		}
		require.LessOrEqual(t, float64(wrong)/runs, alpha+3*math.Sqrt(alpha*(1-alpha)/runs), "%+v", c)
	}
}

func count(n int, chance float64, rng *rand.Rand) (r Rate) {
	for range n {
		r.Add(rng.Float64() < chance)
	}
	return r
}

// TestHolm: R 4.2.2, p.adjust(c(0.01, 0.04, 0.03, 0.005), "holm") gives 0.03,
// 0.06, 0.06, 0.02.
func TestHolm(t *testing.T) {
	p := []float64{0.01, 0.04, 0.03, 0.005}
	require.Equal(t, []bool{true, false, false, true}, Holm(p, 0.05))
	require.Equal(t, []bool{true, true, true, true}, Holm(p, 0.06))
	require.Equal(t, []bool{false, false, false, true}, Holm(p, 0.02))
	require.Empty(t, Holm(nil, 0.05))
}

func TestSlips(t *testing.T) {
	kept, slips := SplitSlips([]int64{180, 3200, 200, 40, 220, 190, 210})
	require.Equal(t, []int64{180, 200, 220, 190, 210}, kept)
	require.Equal(t, []int64{3200, 40}, slips)
	// scipy 1.10.1, median_abs_deviation(log(holds), scale = "normal") gives 0.141307.
	logs := []float64{math.Log(180), math.Log(3200), math.Log(200), math.Log(40), math.Log(220), math.Log(190), math.Log(210)}
	require.InDelta(t, 0.14130708402405973, madToSD*middle(distances(logs)), 1e-12)
	_, slips = SplitSlips([]int64{100, 100, 100, 190})
	require.Empty(t, slips, "within a factor of 2 of the median")
	_, slips = SplitSlips([]int64{50, 100, 200, 400, 800})
	require.Empty(t, slips, "within 4 robust standard deviations of the logarithm")
	off := func(int) int64 { return 100 }
	require.Equal(t, []bool{false, false, false, false, true}, Slips([]int64{200, 200, 200, 450, 3200}, off), "450 may have been 350")
	kept, slips = SplitSlips([]int64{})
	require.Empty(t, kept)
	require.Empty(t, slips)
}

// TestSlipsAreFewByChance simulates holds that scatter normally by 15 %: hardly
// one in two thousand is taken for a slip.
func TestSlipsAreFewByChance(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	const samples, n = 5000, 12
	total := 0
	for range samples {
		holds := make([]float64, n)
		for i := range holds {
			holds[i] = 200 * (1 + 0.15*rng.NormFloat64())
		}
		_, slips := SplitSlips(holds)
		total += len(slips)
	}
	require.Less(t, float64(total)/samples/n, 5e-4)
}
