package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNextGivesUp: a camera without a long press is not held for ever.
func TestNextGivesUp(t *testing.T) {
	w := calibrate(t, rand.New(rand.NewPCG(1, 1)), camera{least: 0.08, long: 1e6}, Options{})
	require.True(t, w.LongPress.Open())
	require.Equal(t, longestHold, w.LongPress.Bracket.Low)
	require.Less(t, len(w.Trials), DefaultGoal.Trials)
	require.LessOrEqual(t, w.MinPress.Width(), DefaultGoal.Width)
	left := w.Left(DefaultGoal)
	require.Equal(t, 1, len(left))
	require.Equal(t, NameLongPress, left[0].Name)
}

// TestNextEndsAtTheGoal: no further trial is proposed after 30, and the
// thresholds that are left are named.
func TestNextEndsAtTheGoal(t *testing.T) {
	w := calibrate(t, rand.New(rand.NewPCG(1, 1)), camera{least: 0.08, long: 1.5, jitter: 0.030}, Options{})
	require.Len(t, w.Trials, DefaultGoal.Trials)
	require.True(t, len(w.Left(DefaultGoal)) > 0)
	_, more := w.Next(Goal{Width: DefaultGoal.Width, Trials: DefaultGoal.Trials + 1})
	require.True(t, more)
}

// TestNextSaysWhy: what a hold is for follows from what is known.
func TestNextSaysWhy(t *testing.T) {
	for why, trials := range map[string][]Trial{
		"a first guess":                                                    nil,
		"not reached yet; a longer hold":                                   {{100 * ms, Nothing}},
		"between the known bounds; the most informative hold":              {{50 * ms, Nothing}, {200 * ms, Toggled}},
		"near a hold that was tried, to see whether the threshold jitters": {{50 * ms, Nothing}, {79 * ms, Nothing}, {81 * ms, Toggled}, {200 * ms, Toggled}},
		"outcomes differ near here; the most informative hold":             {{50 * ms, Nothing}, {79 * ms, Toggled}, {81 * ms, Nothing}, {200 * ms, Toggled}},
	} {
		w, err := Fit(trials, Options{})
		require.NoError(t, err)
		p, more := w.Next(DefaultGoal)
		require.True(t, more)
		require.Equal(t, why, p.Why, "%v", trials)
	}
}

// TestLongTrialsDoSomething: no hold is proposed for long_press that may be too
// short to do anything.
func TestLongTrialsDoSomething(t *testing.T) {
	w, err := Fit([]Trial{{300 * ms, Nothing}, {310 * ms, Nothing}, {300 * ms, Nothing}, {320 * ms, Toggled}, {320 * ms, Toggled}, {330 * ms, Toggled}, {340 * ms, Long}}, Options{})
	require.NoError(t, err)
	p, more := w.LongPress.next(w.leastFor(NameLongPress))
	require.True(t, more)
	require.GreaterOrEqual(t, p.Hold, w.MinPress.Range.High)
}

// TestProposedHoldTellsMost: no hold of a fine grid is more than 2 % more informative
// than the proposed one, at any stage of a bench. The expected gain is
// recomputed from the posterior after either outcome, as the method's authors
// give it.
func TestProposedHoldTellsMost(t *testing.T) {
	for _, jitter := range []float64{0, 0.004, 0.010} {
		rng := rand.New(rand.NewPCG(3, math.Float64bits(jitter)))
		all := calibrate(t, rng, camera{0.083, 1.61, jitter}, Options{}).Trials
		for n := 0; n < len(all); n += 4 {
			w, err := Fit(all[:n], Options{})
			require.NoError(t, err)
			p, more := w.Next(DefaultGoal)
			require.True(t, more)
			posterior := w.MinPress.posterior
			if p.For == NameLongPress {
				posterior = w.LongPress.posterior
			}
			proposed := posterior.expectedGain(p.Hold.Seconds())
			low, high := posterior.quantile(0.001), posterior.quantile(0.999)
			for i := range 200 {
				hold := low * math.Pow(high/low, float64(i)/199)
				require.LessOrEqual(t, posterior.expectedGain(hold), proposed/0.98, "jitter %v, trial %d: %s for %s, but %v s", jitter, n+1, p.Hold, p.For, hold)
			}
		}
	}
}

// expectedGain is the entropy of the cells less what is expected of it after a
// trial.
func (p posterior) expectedGain(hold float64) float64 {
	before, after := 0.0, 0.0
	for _, reached := range []bool{false, true} {
		chance := 0.0
		weights := make([]float64, len(p.cells))
		for i, c := range p.cells {
			weights[i] = c.weight * p.mistaken(p.response(c, hold))
			if !reached {
				weights[i] = c.weight - weights[i]
			}
			chance += weights[i]
		}
		for _, w := range weights {
			if w > 0 {
				after -= w * math.Log(w/chance)
			}
		}
	}
	for _, c := range p.cells {
		before -= c.weight * math.Log(c.weight)
	}
	return before - after
}
