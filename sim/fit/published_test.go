package fit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// beetles are the counts of C. I. Bliss 1935: log10 dose of carbon disulphide,
// beetles, killed.
var beetles = []dose{
	{1.6907, 59, 6}, {1.7242, 60, 13}, {1.7552, 62, 18}, {1.7842, 56, 28},
	{1.8113, 63, 52}, {1.8369, 59, 53}, {1.8610, 62, 61}, {1.8839, 60, 60},
}

// TestBeetles: the published fit of the beetle data. Logit estimates and
// deviance: GLMLab, sci.usq.edu.au, gli_30 (its errors differ in the sixth
// digit); deviances 11.23 and 10.12 in A. Dobson, An Introduction to Generalized
// Linear Models (from memory); all digits recomputed apart with R.
func TestBeetles(t *testing.T) {
	for _, test := range []struct {
		shape                        Shape
		intercept, se0, slope, se1   float64
		covariance, deviance, loglik float64
		ld50, seLD50, low, high      float64
	}{
		{Logistic, -60.717455, 5.180711, 34.270326, 2.912140, -15.082151, 11.232231, -18.715135, 1.771721, 0.003858, 1.763858, 1.779200},
		{probit, -34.935259, 2.647918, 19.727934, 1.487235, -3.936544, 10.119758, -18.158898, 1.770852, 0.003803, 1.763114, 1.778194},
	} {
		t.Run(string(test.shape), func(t *testing.T) {
			c, err := fitCurve(test.shape, beetles)
			require.NoError(t, err)
			near := func(want, got float64) {
				t.Helper()
				require.InEpsilon(t, want, got, 1e-5)
			}
			near(test.intercept, c.Intercept)
			near(test.slope, c.Slope)
			near(test.se0, math.Sqrt(c.Covariance[0][0]))
			near(test.se1, math.Sqrt(c.Covariance[1][1]))
			near(test.covariance, c.Covariance[0][1])
			near(test.deviance, c.Deviance)
			require.Equal(t, 6, c.DegreesOfFreedom)
			near(test.loglik, c.LogLikelihood)
			at, se := c.Threshold()
			near(test.ld50, at)
			require.InDelta(t, test.seLD50, se, 1e-6)
			fieller := c.Fieller(0.95)
			near(test.low, fieller.Low)
			near(test.high, fieller.High)
		})
	}
}

// TestBeetlesFitted: fitted deaths of the logit fit, same source.
func TestBeetlesFitted(t *testing.T) {
	c, err := fitCurve(Logistic, beetles)
	require.NoError(t, err)
	for i, want := range []float64{3.4575, 9.8417, 22.4514, 33.8976, 50.0958, 53.2909, 59.2222, 58.7430} {
		require.InDelta(t, want, float64(beetles[i].Trials)*c.Response(beetles[i].At), 1e-4)
	}
}

// TestRotenone: D. J. Finney's rotenone data (Probit Analysis): slope 4.21, LD50
// 4.85 mg/l; the further digits by R 4.2.2.
func TestRotenone(t *testing.T) {
	c, err := fitCurve(probit, []dose{
		{math.Log10(10.2), 50, 44}, {math.Log10(7.7), 49, 42}, {math.Log10(5.1), 46, 24}, {math.Log10(3.8), 48, 16}, {math.Log10(2.6), 50, 6},
	})
	require.NoError(t, err)
	at, se := c.Threshold()
	require.InDelta(t, 4.21, c.Slope, 0.005)
	require.InDelta(t, 4.85, math.Pow(10, at), 0.005)
	require.InDelta(t, -2.887463, c.Intercept, 1e-6)
	require.InDelta(t, 0.351040, math.Sqrt(c.Covariance[0][0]), 1e-6)
	require.InDelta(t, 4.213197, c.Slope, 1e-6)
	require.InDelta(t, 0.480562, math.Sqrt(c.Covariance[1][1]), 1e-6)
	require.InDelta(t, 0.685338, at, 1e-6)
	require.InDelta(t, 0.022068, se, 1e-6)
	fieller := c.Fieller(0.95)
	require.InDelta(t, 0.639934, fieller.Low, 1e-6)
	require.InDelta(t, 0.728710, fieller.High, 1e-6)
}

// TestSpearmanKarber: the worked example of github.com/brsr/tsk: LD50 31.62278,
// geometric standard deviation 1.296928, 95 % from 18.99717 to 52.63942.
func TestSpearmanKarber(t *testing.T) {
	at, se, ok := spearmanKarber([]dose{{0, 20, 0}, {1, 20, 3}, {2, 20, 17}, {3, 20, 20}})
	require.True(t, ok)
	require.InDelta(t, 31.62278, math.Pow(10, at), 1e-5)
	require.InDelta(t, 1.296928, math.Pow(10, se), 1e-6)
	const twoSides = 1.959963984540054
	require.InDelta(t, 18.99717, math.Pow(10, at-twoSides*se), 1e-4)
	require.InDelta(t, 52.63942, math.Pow(10, at+twoSides*se), 1e-4)
}

// TestPosteriorOfPublishedCounts: with many trials and little taken for granted
// the posterior's interval is that of the published fits (Fieller's, above).
func TestPosteriorOfPublishedCounts(t *testing.T) {
	rotenone := []dose{{math.Log10(2.6), 50, 6}, {math.Log10(3.8), 48, 16}, {math.Log10(5.1), 46, 24}, {math.Log10(7.7), 49, 42}, {math.Log10(10.2), 50, 44}}
	for _, test := range []struct {
		name      string
		shape     Shape
		doses     []dose
		spread    float64 // standard deviation of the fitted curve
		low, high float64
	}{
		{"beetles, logit", Logistic, beetles, math.Pi / math.Sqrt(3) / 34.270326, 1.763858, 1.779200},
		{"beetles, probit", probit, beetles, 1 / 19.727934, 1.763114, 1.778194},
		{"rotenone, probit", probit, rotenone, 1 / 4.213197, 0.639934, 0.728710},
	} {
		t.Run(test.name, func(t *testing.T) {
			wide := prior{
				middle: test.low, factor: 1e6, lowest: test.low / 2, highest: 2 * test.high,
				spreads: geometric(test.spread/2, test.spread*2, 80), knee: math.Inf(1),
			}
			p := newPosterior(test.shape, wide, test.doses)
			tolerance := 0.03 * (test.high - test.low)
			require.InDelta(t, test.low, p.quantile(0.025), tolerance)
			require.InDelta(t, test.high, p.quantile(0.975), tolerance)
			require.InDelta(t, test.spread, p.jitter(), 0.05*test.spread)
			require.InDelta(t, 0.5, p.expected(p.responding(0.5)), 1e-6)
		})
	}
}
