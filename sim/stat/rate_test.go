package stat

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestIntervalsAgainstR compares with the test results of statsmodels, made
// with R's binom.confint (95 %).
func TestIntervalsAgainstR(t *testing.T) {
	for _, c := range []struct {
		hits, trials int
		wilson       Interval
		tol          float64
	}{
		{18, 20, Interval{0.6989663547715, 0.9721335187862}, 1e-12},
		{4, 20, Interval{0.0806576625798, 0.4160174322519}, 1e-12},
		{190, 200, Interval{0.9104218518612, 0.9726173543992}, 1e-12},
		{1, 30, Interval{0.00590859, 0.16670391}, 1e-8},
		{0, 30, Interval{0, 0.11351339}, 1e-8},
	} {
		r := Rate{c.hits, c.trials}
		requireInterval(t, c.wilson, r.Wilson(0.95), c.tol)
	}
}

// TestWilsonAgainstNewcombe compares with R. G. Newcombe, Statistics in
// Medicine 17 (1998) 857, Table I, which gives four digits.
func TestWilsonAgainstNewcombe(t *testing.T) {
	for _, c := range []struct {
		rate Rate
		want Interval
	}{
		{Rate{81, 263}, Interval{0.2553, 0.3662}},
		{Rate{15, 148}, Interval{0.0624, 0.1605}},
		{Rate{0, 20}, Interval{0, 0.1611}},
		{Rate{1, 29}, Interval{0.0061, 0.1718}},
	} {
		requireInterval(t, c.want, c.rate.Wilson(0.95), 0.5e-4)
	}
}

// TestIntervalsMirror: what holds for hits holds for misses, upside down.
func TestIntervalsMirror(t *testing.T) {
	for hits := range 13 {
		r, m := Rate{hits, 12}, Rate{12 - hits, 12}
		w := m.Wilson(0.9)
		requireInterval(t, Interval{1 - w.High, 1 - w.Low}, r.Wilson(0.9), 1e-12)
	}
}

func TestIntervalsWithoutTrials(t *testing.T) {
	require.Equal(t, Interval{0, 1}, Rate{}.Wilson(0.95))
}

func TestRateCounts(t *testing.T) {
	var r Rate
	r.Add(true)
	r.Add(false)
	r.Add(true)
	require.Equal(t, Rate{2, 3}, r)
	require.Equal(t, Rate{3, 7}, r.Plus(Rate{1, 4}))
	require.InDelta(t, 2.0/3, r.Value(), 1e-15)
	require.PanicsWithValue(t, "internal error: 3 hits in 2 trials", func() { Rate{3, 2}.Wilson(0.95) })
}

func requireInterval(t *testing.T, want, got Interval, tol float64) {
	t.Helper()
	require.InDelta(t, want.Low, got.Low, tol)
	require.InDelta(t, want.High, got.High, tol)
}
