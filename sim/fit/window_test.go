package fit

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

const ms = sim.Millisecond

// TestBracket: where no trial contradicts another, the longest hold below and
// the shortest at or above bracket the threshold, and the range is no narrower.
func TestBracket(t *testing.T) {
	w, err := Fit([]Trial{
		{300 * ms, Toggled}, {50 * ms, Nothing}, {90 * ms, Toggled}, {80 * ms, Nothing}, {1600 * ms, Long}, {1400 * ms, Toggled},
	}, Options{})
	require.NoError(t, err)
	for _, test := range []struct {
		found   Threshold
		bracket sim.Interval
	}{{w.MinPress, sim.Interval{Low: 80 * ms, High: 90 * ms}}, {w.LongPress, sim.Interval{Low: 1400 * ms, High: 1600 * ms}}} {
		require.True(t, test.found.Agree)
		require.Equal(t, test.bracket, test.found.Bracket)
		require.Less(t, test.found.Range.Low, test.bracket.Low, "one trial at each end does not rule jitter out")
		require.Greater(t, test.found.Range.High, test.bracket.High)
		require.InDelta(t, test.bracket.Middle().Seconds(), test.found.Best.Seconds(), width(test.bracket).Seconds()/5)
		require.Nil(t, test.found.Curve)
		require.Empty(t, test.found.Contradicting)
		require.Zero(t, test.found.Jitter)
		written, err := test.found.ForRig()
		require.NoError(t, err)
		require.Equal(t, test.found.Response, written)
		require.Less(t, written.Low, test.found.Range.Low, "a jitter that they do not rule out")
		require.Greater(t, written.High, test.found.Range.High)
	}
	require.NoError(t, w.CheckOrder())
}

// TestRepeatsNarrow: trials at the ends of the bracket that repeat what was seen
// rule jitter out, and the range draws in on the bracket.
func TestRepeatsNarrow(t *testing.T) {
	once := []Trial{{50 * ms, Nothing}, {80 * ms, Nothing}, {90 * ms, Toggled}, {200 * ms, Toggled}}
	often := slices.Clone(once)
	for range 8 {
		often = append(often, Trial{80 * ms, Nothing}, Trial{90 * ms, Toggled})
	}
	first, err := Fit(once, Options{})
	require.NoError(t, err)
	then, err := Fit(often, Options{})
	require.NoError(t, err)
	require.Equal(t, first.MinPress.Bracket, then.MinPress.Bracket)
	require.Greater(t, first.MinPress.Width(), 30*ms)
	require.Less(t, then.MinPress.Width(), 12*ms)
}

// TestRangesAreRoundedOutward: ranges are short, and hold what they held.
func TestRangesAreRoundedOutward(t *testing.T) {
	require.Equal(t, sim.Interval{Low: 80 * ms, High: 84*ms + 100}, outward(sim.Interval{Low: 80*ms + 3, High: 84*ms + 1}))
	require.Equal(t, sim.Interval{Low: 1499 * ms, High: 1600 * ms}, outward(sim.Interval{Low: 1500*ms - 1, High: 1600 * ms}))
	require.Equal(t, sim.Interval{Low: 999*ms + 900, High: sim.Never}, outward(sim.Interval{Low: 1000*ms - 1, High: sim.Never}))
}

// TestResponseAt: the chance rises with the hold within its band, which is
// certain far out and says nothing in the bracket.
func TestResponseAt(t *testing.T) {
	w, err := Fit([]Trial{{50 * ms, Nothing}, {80 * ms, Nothing}, {80 * ms, Nothing}, {90 * ms, Toggled}, {90 * ms, Toggled}, {150 * ms, Toggled}}, Options{})
	require.NoError(t, err)
	last := 0.0
	for hold := sim.Micros(0); hold <= 200*ms; hold += 5 * ms {
		chance, band := w.MinPress.ResponseAt(hold, 0.95)
		require.GreaterOrEqual(t, chance, last)
		require.True(t, band.Low <= chance+0.01 && chance <= band.High+0.01, "%s: %v in %v; the mean of long tails may lie outside", hold, chance, band)
		last = chance
	}
	_, band := w.MinPress.ResponseAt(85*ms, 0.95)
	require.Less(t, band.Low, 0.05)
	require.Greater(t, band.High, 0.95)
	_, band = w.MinPress.ResponseAt(5*ms, 0.95)
	require.Less(t, band.High, 0.05)
	_, band = w.MinPress.ResponseAt(200*ms, 0.95)
	require.Greater(t, band.Low, 0.95)
}

// TestOpenEnds: what no trial bears on it stays open, and says why.
func TestOpenEnds(t *testing.T) {
	const noMin, noLong = "min_press is open: no trial did anything, want a longer hold", "long_press is open: no trial was long, want a longer hold"
	for _, test := range []struct {
		name             string
		trials           []Trial
		min, long        sim.Interval // brackets
		minOpen, lowOpen string
	}{
		{"no trials", nil, sim.Interval{High: sim.Never}, sim.Interval{High: sim.Never}, noMin, noLong},
		{"nothing", []Trial{{90 * ms, Nothing}}, sim.Interval{Low: 90 * ms, High: sim.Never}, sim.Interval{High: sim.Never}, noMin, noLong},
		{"all toggled", []Trial{{90 * ms, Toggled}}, sim.Interval{High: 90 * ms}, sim.Interval{Low: 90 * ms, High: sim.Never}, "", noLong},
		{"nothing and long", []Trial{{80 * ms, Nothing}, {2000 * ms, Long}}, sim.Interval{Low: 80 * ms, High: 2000 * ms}, sim.Interval{High: 2000 * ms}, "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			w, err := Fit(test.trials, Options{})
			require.NoError(t, err)
			for _, side := range []struct {
				found   Threshold
				bracket sim.Interval
				err     string
			}{{w.MinPress, test.min, test.minOpen}, {w.LongPress, test.long, test.lowOpen}} {
				require.Equal(t, side.bracket, side.found.Bracket)
				require.LessOrEqual(t, side.found.Range.Low, side.bracket.Low)
				require.GreaterOrEqual(t, side.found.Range.High, side.bracket.High)
				require.Equal(t, side.err != "", side.found.Open())
				if _, err := side.found.ForRig(); side.err == "" {
					require.NoError(t, err)
				} else {
					require.EqualError(t, err, side.err)
				}
			}
		})
	}
	w, err := Fit([]Trial{{80 * ms, Nothing}, {2000 * ms, Long}}, Options{})
	require.NoError(t, err)
	require.ErrorIs(t, w.CheckOrder(), errWindowEmpty)
}

// TestOverlap: every party to a contradiction is named, the curve of maximum
// likelihood is there to compare, and the range for the rig is that of the
// response.
func TestOverlap(t *testing.T) {
	w, err := Fit([]Trial{
		{60 * ms, Nothing}, {70 * ms, Nothing}, {80 * ms, Toggled}, {90 * ms, Toggled}, {84 * ms, Nothing}, {100 * ms, Toggled},
	}, Options{})
	require.NoError(t, err)
	found := w.MinPress
	require.False(t, found.Agree)
	require.Equal(t, []int{3, 5}, found.Contradicting, "either may be the odd one")
	require.Equal(t, "min_press: trials that contradict each other: 3 (80 ms: toggled), 5 (84 ms: nothing)", w.Contradiction(found))
	require.NotNil(t, found.Curve)
	at, _ := found.Curve.Threshold()
	require.InDelta(t, at, found.Best.Seconds(), 0.003)
	require.Positive(t, found.Jitter)
	require.Less(t, found.Response.Low, found.Range.Low)
	require.Greater(t, found.Response.High, found.Range.High)
	written, err := found.ForRig()
	require.NoError(t, err)
	require.Equal(t, found.Response, written)
	require.True(t, w.LongPress.Agree)
	require.Empty(t, w.Contradiction(w.LongPress))
}

// TestBothOutcomesAtOneHold: no curve is best, and the threshold is near it.
func TestBothOutcomesAtOneHold(t *testing.T) {
	var trials []Trial
	for _, hold := range []sim.Micros{60, 70, 75} {
		trials = append(trials, Trial{hold * ms, Nothing}, Trial{hold * ms, Nothing})
	}
	for _, hold := range []sim.Micros{85, 90, 100} {
		trials = append(trials, Trial{hold * ms, Toggled}, Trial{hold * ms, Toggled})
	}
	trials = append(trials, Trial{80 * ms, Nothing}, Trial{80 * ms, Toggled})
	w, err := Fit(trials, Options{})
	require.NoError(t, err)
	require.Nil(t, w.MinPress.Curve)
	require.False(t, w.MinPress.Falls)
	require.InDelta(t, 80, w.MinPress.Best.Seconds()*1e3, 1)
	require.Equal(t, []int{13, 14}, w.MinPress.Contradicting)
	require.True(t, w.MinPress.Range.Low < 80*ms && w.MinPress.Range.Low >= 70*ms, w.MinPress.Range)
	require.True(t, w.MinPress.Range.High > 80*ms && w.MinPress.Range.High <= 90*ms, w.MinPress.Range)
}

// TestFalling: if longer holds do less, nothing is known about that threshold; the
// other one is found anyway.
func TestFalling(t *testing.T) {
	w, err := Fit([]Trial{{1400 * ms, Toggled}, {1600 * ms, Long}, {1700 * ms, Nothing}, {1800 * ms, Nothing}}, Options{})
	require.NoError(t, err)
	require.True(t, w.MinPress.Falls)
	require.True(t, w.MinPress.Open())
	require.Equal(t, []int{1, 2, 3, 4}, w.MinPress.Contradicting)
	_, err = w.MinPress.ForRig()
	require.EqualError(t, err, "min_press cannot be measured: longer holds reach it no more often than shorter ones")
	require.Equal(t, sim.Interval{Low: 1400 * ms, High: 1600 * ms}, w.LongPress.Bracket)
	_, more := w.Next(DefaultGoal)
	require.True(t, more, "further trials can mend it")

	trials := []Trial{{50 * ms, Nothing}, {90 * ms, Toggled}, {1500 * ms, Long}}
	for range 9 {
		trials = append(trials, Trial{1700 * ms, Toggled})
	}
	w, err = Fit(trials, Options{})
	require.NoError(t, err)
	require.True(t, w.LongPress.Falls)
	require.Equal(t, sim.Interval{Low: 50 * ms, High: 90 * ms}, w.MinPress.Bracket)
}

// TestHoldsFarApart: holds that differ by orders of magnitude, as after a slip of
// the decimal point, are fitted like others.
func TestHoldsFarApart(t *testing.T) {
	near := []Trial{{60 * ms, Nothing}, {70 * ms, Nothing}, {80 * ms, Toggled}, {84 * ms, Nothing}, {90 * ms, Toggled}}
	want, err := Fit(near, Options{})
	require.NoError(t, err)
	got, err := Fit(append(near, Trial{0, Nothing}, Trial{sim.MaxDuration, Toggled}), Options{})
	require.NoError(t, err)
	at, _ := want.MinPress.Curve.Threshold()
	far, _ := got.MinPress.Curve.Threshold()
	require.InDelta(t, at, far, 1e-9)
	require.InDelta(t, want.MinPress.Best.Seconds(), got.MinPress.Best.Seconds(), 1e-3)
}

// TestRefusals: trials that cannot be say why.
func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		name  string
		trial Trial
		want  string
	}{
		{"a negative hold", Trial{-1, Toggled}, `trial 1: found -1us and "toggled", want a hold that is not negative and "nothing", "toggled" or "long"`},
		{"an unknown outcome", Trial{1 * ms, "blink"}, `trial 1: found 1ms and "blink", want a hold that is not negative and "nothing", "toggled" or "long"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Fit([]Trial{test.trial}, Options{})
			require.EqualError(t, err, test.want)
		})
	}
}

// TestSpearmanKarberNeedsAPlaceWithoutResponses: the mean would be open below.
func TestSpearmanKarberNeedsAPlaceWithoutResponses(t *testing.T) {
	_, _, ok := spearmanKarber([]dose{{1, 5, 1}, {2, 5, 5}})
	require.False(t, ok)
}

// TestFitOfAnyTrials: whatever the trials, Fit ends, its ranges hold the best
// threshold and the bracket, and what is proposed can be done.
func TestFitOfAnyTrials(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var trials []Trial
		for range rapid.IntRange(0, 25).Draw(t, "trials") {
			trials = append(trials, Trial{
				Hold:    sim.Micros(rapid.SampledFrom([]int{0, 1, 500, 5000, 50_000, 60_000, 80_000, 1_500_000, 40_000_000, int(sim.MaxDuration)}).Draw(t, "hold")),
				Outcome: rapid.SampledFrom(Outcomes).Draw(t, "outcome"),
			})
		}
		w, err := Fit(trials, Options{Shape: rapid.SampledFrom(Shapes).Draw(t, "shape")})
		require.NoError(t, err)
		for _, th := range []Threshold{w.MinPress, w.LongPress} {
			require.LessOrEqual(t, th.Range.Low, th.Range.High)
			require.GreaterOrEqual(t, th.Best, th.Range.Low)
			require.Equal(t, th.Agree, len(th.Contradicting) == 0)
			if th.Agree {
				require.LessOrEqual(t, th.Range.Low, th.Bracket.Low)
				require.GreaterOrEqual(t, th.Range.High, th.Bracket.High)
			}
		}
		if p, more := w.Next(DefaultGoal); more {
			require.True(t, p.Hold > 0 && p.Hold <= longestHold, p.Hold)
			require.NotEmpty(t, p.Why)
		}
	})
}

// TestShapesFarOut: chances and hazards keep their digits where the normal
// distribution has none: log Φ(−40) = −804.608442 (from the asymptotic series,
// Abramowitz and Stegun 26.2.12).
func TestShapesFarOut(t *testing.T) {
	require.InDelta(t, -804.608442, probit.logChance(-40), 1e-3)
	require.InDelta(t, probit.logChance(-farOut+1e-9), probit.logChance(-farOut-1e-9), 1e-3)
	require.InDelta(t, probit.hazard(farOut-1e-9), probit.hazard(farOut+1e-9), 0.03)
	require.InDelta(t, -800, Logistic.logChance(-800), 1e-9)
	require.InDelta(t, 1, Logistic.hazard(800), 1e-12)
}

// TestCurveEdges: outcomes that meet at one place give no best curve; a slope
// that may be nought gives an interval without ends; the spread is that of the
// distribution: π/(√3·b) for the logistic, 1/b for the normal one.
func TestCurveEdges(t *testing.T) {
	_, err := fitCurve(Logistic, []dose{{1, 2, 0}, {2, 2, 1}, {3, 2, 2}})
	require.ErrorIs(t, err, errNoOverlap)

	flat, err := fitCurve(Logistic, []dose{{1, 4, 1}, {2, 4, 2}, {3, 4, 2}})
	require.NoError(t, err)
	require.Equal(t, Interval{math.Inf(-1), math.Inf(1)}, flat.Fieller(0.95))
	require.InDelta(t, math.Pi/(math.Sqrt(3)*flat.Slope), flat.Spread(), 1e-12)

	normal, err := fitCurve(probit, beetles)
	require.NoError(t, err)
	require.InDelta(t, 1/normal.Slope, normal.Spread(), 1e-12)
}
