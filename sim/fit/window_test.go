package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

const ms = sim.Millisecond

// TestProvenBracket: without contradictions the thresholds lie between the
// longest hold below and the shortest at or above.
func TestProvenBracket(t *testing.T) {
	w, err := Fit([]Trial{
		{300 * ms, Toggled}, {50 * ms, Nothing}, {90 * ms, Toggled}, {80 * ms, Nothing}, {1600 * ms, Long}, {1400 * ms, Toggled},
	}, Options{})
	require.NoError(t, err)
	require.True(t, w.MinPress.Proven && w.LongPress.Proven)
	require.Equal(t, sim.Interval{Low: 80 * ms, High: 90 * ms}, w.MinPress.Range)
	require.Equal(t, sim.Interval{Low: 1400 * ms, High: 1600 * ms}, w.LongPress.Range)
	require.Equal(t, 85*ms, w.MinPress.Best)
	require.Nil(t, w.MinPress.Curve)
	require.Empty(t, w.MinPress.Odd)
	least, long, err := w.Ranges()
	require.NoError(t, err)
	require.Equal(t, w.MinPress.Range, least)
	require.Equal(t, w.LongPress.Range, long)
}

// TestRangesAreRoundedOutward: what goes into a rig file is short, and holds the
// threshold.
func TestRangesAreRoundedOutward(t *testing.T) {
	w, err := Fit([]Trial{{80*ms + 3, Nothing}, {84*ms + 1, Toggled}, {1500*ms - 1, Toggled}, {1600 * ms, Long}}, Options{})
	require.NoError(t, err)
	least, long, err := w.Ranges()
	require.NoError(t, err)
	require.Equal(t, sim.Interval{Low: 80 * ms, High: 84*ms + 100}, least)
	require.Equal(t, sim.Interval{Low: 1500*ms - 100, High: 1600 * ms}, long)
}

// TestBandOfBeetles: at LD50 the band of the chance is that of the linear
// predictor, whose standard error there is slope times the threshold's.
func TestBandOfBeetles(t *testing.T) {
	c, err := FitCurve(Probit, beetles)
	require.NoError(t, err)
	at, se := c.Threshold()
	band := c.Band(at, 0.95)
	require.InDelta(t, Probit.chance(1.959964*c.Slope*se), band.High, 1e-6)
	require.InDelta(t, 1, band.Low+band.High, 1e-9)
	require.Equal(t, beetles, c.Doses())
}

// TestOpenEnds: what no trial tells stays open.
func TestOpenEnds(t *testing.T) {
	for _, test := range []struct {
		name      string
		trials    []Trial
		min, long sim.Interval
		err       string
	}{
		{"no trials", nil, sim.Interval{High: sim.Never}, sim.Interval{High: sim.Never}, "min_press is open: no trial did anything, want a longer hold"},
		{"all toggled", []Trial{{90 * ms, Toggled}}, sim.Interval{High: 90 * ms}, sim.Interval{Low: 90 * ms, High: sim.Never}, "long_press is open: no trial was long, want a longer hold"},
		{"nothing and long", []Trial{{80 * ms, Nothing}, {2000 * ms, Long}}, sim.Interval{Low: 80 * ms, High: 2000 * ms}, sim.Interval{High: 2000 * ms},
			"min_press 80ms to 2s and long_press 0s to 2s leave no hold that toggles for certain, want trials between them: the press window is empty"},
	} {
		t.Run(test.name, func(t *testing.T) {
			w, err := Fit(test.trials, Options{})
			require.NoError(t, err)
			require.Equal(t, test.min, w.MinPress.Range)
			require.Equal(t, test.long, w.LongPress.Range)
			_, _, err = w.Ranges()
			require.EqualError(t, err, test.err)
		})
	}
}

// TestOverlap: contradicting trials are named, and get a curve.
func TestOverlap(t *testing.T) {
	trials := []Trial{
		{60 * ms, Nothing}, {70 * ms, Nothing}, {80 * ms, Toggled}, {90 * ms, Toggled}, {84 * ms, Nothing}, {100 * ms, Toggled},
	}
	w, err := Fit(trials, Options{})
	require.NoError(t, err)
	require.False(t, w.MinPress.Proven)
	require.Equal(t, []int{5}, w.MinPress.Odd, "without trial 5 the threshold is from 70 to 80 ms")
	require.NotNil(t, w.MinPress.Curve)
	at, _ := w.MinPress.Curve.Threshold()
	require.InDelta(t, 0.080, at, 0.005)
	require.Less(t, w.MinPress.Range.Low, w.MinPress.Best)
	require.Greater(t, w.MinPress.Range.High, w.MinPress.Best)
	require.True(t, w.LongPress.Proven)
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
	require.Equal(t, 80*ms, w.MinPress.Best)
	require.Equal(t, 1, len(w.MinPress.Odd))
	require.True(t, w.MinPress.Range.Low < 80*ms && w.MinPress.Range.Low >= 70*ms, w.MinPress.Range)
	require.True(t, w.MinPress.Range.High > 80*ms && w.MinPress.Range.High <= 90*ms, w.MinPress.Range)

	w, err = Fit([]Trial{{80 * ms, Nothing}, {80 * ms, Toggled}}, Options{})
	require.NoError(t, err)
	require.True(t, w.MinPress.Open(), "one hold alone bounds nothing")
}

// TestRefusals: what cannot be measured says why.
func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		name   string
		trials []Trial
		want   string
	}{
		{"longer holds do less", []Trial{{50 * ms, Toggled}, {90 * ms, Nothing}, {100 * ms, Nothing}}, "min_press: no rising curve fits: responses do not become more frequent; contradicting the others: trial 1 (held 50 ms: toggled)"},
		{"mostly less", []Trial{{50 * ms, Toggled}, {60 * ms, Nothing}, {90 * ms, Toggled}, {100 * ms, Nothing}, {110 * ms, Nothing}}, "min_press: no rising curve fits: responses do not become more frequent; contradicting the others: trial 1 (held 50 ms: toggled), trial 3 (held 90 ms: toggled)"},
		{"longer holds less long", []Trial{{1500 * ms, Long}, {1700 * ms, Toggled}}, "long_press: no rising curve fits: responses do not become more frequent; contradicting the others: trial 1 (held 1500 ms: long)"},
		{"a negative hold", []Trial{{-1, Toggled}}, `trial 1: found -1us and "toggled", want a hold that is not negative and "nothing", "toggled" or "long"`},
		{"an unknown outcome", []Trial{{1 * ms, "blink"}}, `trial 1: found 1ms and "blink", want a hold that is not negative and "nothing", "toggled" or "long"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Fit(test.trials, Options{})
			require.EqualError(t, err, test.want)
		})
	}
}

// TestDosesAreChecked: counts that cannot be are refused.
func TestDosesAreChecked(t *testing.T) {
	_, err := FitCurve(Logistic, []Dose{{1, 5, 6}})
	require.EqualError(t, err, "found 6 responses in 5 trials at 1, want from 0 to all of at least one trial")
	_, _, ok := SpearmanKarber([]Dose{{1, 5, 1}, {2, 5, 5}})
	require.False(t, ok, "no place without a response")
}

// TestFitOfAnyTrials: whatever the trials, Fit ends, and its ranges hold the
// best threshold and what is proven.
func TestFitOfAnyTrials(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var trials []Trial
		for range rapid.IntRange(0, 25).Draw(t, "trials") {
			trials = append(trials, Trial{
				Hold:    sim.Micros(rapid.IntRange(0, 30).Draw(t, "hold")) * 10 * ms,
				Outcome: rapid.SampledFrom(Outcomes).Draw(t, "outcome"),
			})
		}
		shape := rapid.SampledFrom(Shapes).Draw(t, "shape")
		w, err := Fit(trials, Options{Shape: shape})
		if err != nil {
			require.ErrorIs(t, err, ErrFalling)
			return
		}
		for _, th := range []Threshold{w.MinPress, w.LongPress} {
			require.LessOrEqual(t, th.Range.Low, th.Range.High)
			require.GreaterOrEqual(t, th.Best, th.Range.Low)
			require.Equal(t, th.Proven, len(th.Odd) == 0)
		}
		p, more := w.Next(ms)
		if more {
			require.True(t, p.Hold >= 0 && p.Hold <= LongestHold)
		}
	})
}

// TestNextHalves: at a camera with sharp thresholds the proposals find both to a
// millisecond in as many trials as halving needs.
func TestNextHalves(t *testing.T) {
	least, long := 83_700*sim.Microsecond, 1_612_400*sim.Microsecond
	var trials []Trial
	for {
		w, err := Fit(trials, Options{})
		require.NoError(t, err)
		p, more := w.Next(ms)
		if !more {
			require.True(t, w.MinPress.Range.Low < least && least <= w.MinPress.Range.High)
			require.True(t, w.LongPress.Range.Low < long && long <= w.LongPress.Range.High)
			require.LessOrEqual(t, w.MinPress.Width(), ms)
			require.LessOrEqual(t, w.LongPress.Width(), ms)
			break
		}
		trials = append(trials, Trial{p.Hold, outcomeOf(p.Hold, least, long)})
		require.Less(t, len(trials), 25)
	}
	// 200 ms and 8 halvings to below 1 ms; 2 s and 11 halvings.
	require.Len(t, trials, 1+8+1+11)
}

func outcomeOf(hold, least, long sim.Micros) Outcome {
	switch {
	case hold < least:
		return Nothing
	case hold < long:
		return Toggled
	default:
		return Long
	}
}

// TestNextGivesUp: a camera without a long press is not held for ever.
func TestNextGivesUp(t *testing.T) {
	w, err := Fit([]Trial{{50 * ms, Nothing}, {50*ms + 1, Toggled}, {LongestHold, Toggled}}, Options{})
	require.NoError(t, err)
	_, more := w.Next(ms)
	require.False(t, more)
	require.True(t, w.LongPress.Open())
}

// TestNextSharpensMost: with an overlap, no hold in reach promises a smaller
// standard error of the threshold than the proposed one.
func TestNextSharpensMost(t *testing.T) {
	w, err := Fit(simulate(rand.New(rand.NewPCG(1, 2)), 40, 0.080, 0.006), Options{})
	require.NoError(t, err)
	require.NotNil(t, w.MinPress.Curve)
	p, more := w.Next(ms / 10)
	require.True(t, more)
	require.Equal(t, NameMinPress, p.For)
	proposed := w.MinPress.Curve.varianceAfter(p.Hold.Seconds())
	require.Less(t, proposed, w.MinPress.Curve.varianceAfter(0.06))
	for hold := 0.06; hold < 0.1; hold += 0.0005 {
		require.GreaterOrEqual(t, w.MinPress.Curve.varianceAfter(hold), proposed*(1-1e-4))
	}
}

// simulate draws trials, four of each hold, with holds evenly over ±25 ms of a
// threshold, and a logistic jitter of the given scale, in seconds.
func simulate(rng *rand.Rand, n int, threshold, jitter float64) []Trial {
	const each = 4
	var trials []Trial
	for i := range n {
		hold := threshold + 0.025*(2*(float64(i/each)+0.5)/float64(n/each)-1)
		outcome := Nothing
		if rng.Float64() < Logistic.chance((hold-threshold)/jitter) {
			outcome = Toggled
		}
		trials = append(trials, Trial{micros(hold), outcome})
	}
	return trials
}

// TestCoverage: the intervals hold the true threshold about as often as they
// say. With 500 runs the share's standard error is 0.01 at 95 %, and the
// intervals are exact for many trials only: ±0.03 is allowed.
func TestCoverage(t *testing.T) {
	const runs, threshold, jitter = 500, 0.080, 0.006
	profile, fieller, fitted := 0, 0, 0
	for run := range runs {
		trials := simulate(rand.New(rand.NewPCG(5, uint64(run))), 60, threshold, jitter)
		w, err := Fit(trials, Options{})
		require.NoError(t, err)
		if w.MinPress.Curve == nil {
			continue
		}
		fitted++
		if within(Interval{w.MinPress.Range.Low.Seconds(), w.MinPress.Range.High.Seconds()}, threshold) {
			profile++
		}
		if within(w.MinPress.Curve.Fieller(0.95), threshold) {
			fieller++
		}
	}
	require.Greater(t, fitted, runs*99/100)
	require.InDelta(t, 0.95, float64(profile)/float64(fitted), 0.03)
	require.InDelta(t, 0.95, float64(fieller)/float64(fitted), 0.03)
	t.Logf("profile %.3f, Fieller %.3f of %d", float64(profile)/float64(fitted), float64(fieller)/float64(fitted), fitted)
}

func within(i Interval, at float64) bool { return at >= i.Low && at <= i.High }

// TestProfileOfBeetles: the profile interval lies close to Fieller's, which is
// published, and its ends are as likely as they should be: 2·1.920729 less.
func TestProfileOfBeetles(t *testing.T) {
	for _, shape := range Shapes {
		c, err := FitCurve(shape, beetles)
		require.NoError(t, err)
		p, f := c.Profile(0.95), c.Fieller(0.95)
		require.InDelta(t, f.Low, p.Low, 2e-4)
		require.InDelta(t, f.High, p.High, 2e-4)
		for _, end := range []float64{p.Low, p.High} {
			require.InDelta(t, c.LogLikelihood-1.920729, bestThrough(shape, c.doses, end), 1e-5)
		}
	}
}

// TestShapesFarOut: chances and hazards keep their digits where the normal
// distribution has none: log Φ(−40) = −804.608442 (from the asymptotic series,
// Abramowitz and Stegun 26.2.12).
func TestShapesFarOut(t *testing.T) {
	require.InDelta(t, -804.608442, Probit.logChance(-40), 1e-3)
	require.InDelta(t, Probit.logChance(-farOut+1e-9), Probit.logChance(-farOut-1e-9), 1e-3)
	require.InDelta(t, Probit.hazard(farOut-1e-9), Probit.hazard(farOut+1e-9), 0.03)
	require.InDelta(t, -800, Logistic.logChance(-800), 1e-9)
	require.InDelta(t, 1, Logistic.hazard(800), 1e-12)
}

// TestCurveEdges: outcomes that meet at one place give no best curve; a slope
// that may be nought gives an interval without ends; the spread is that of the
// distribution: π/(√3·b) for the logistic, 1/b for the normal one.
func TestCurveEdges(t *testing.T) {
	_, err := FitCurve(Logistic, []Dose{{1, 2, 0}, {2, 2, 1}, {3, 2, 2}})
	require.ErrorIs(t, err, ErrNoOverlap)

	flat, err := FitCurve(Logistic, []Dose{{1, 4, 1}, {2, 4, 2}, {3, 4, 2}})
	require.NoError(t, err)
	require.Equal(t, Interval{math.Inf(-1), math.Inf(1)}, flat.Fieller(0.95))
	require.Equal(t, Interval{math.Inf(-1), math.Inf(1)}, flat.Profile(0.95))
	require.InDelta(t, math.Pi/(math.Sqrt(3)*flat.Slope), flat.Spread(), 1e-12)

	normal, err := FitCurve(Probit, beetles)
	require.NoError(t, err)
	require.InDelta(t, 1/normal.Slope, normal.Spread(), 1e-12)
}
