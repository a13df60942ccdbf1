package fit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Bounds and arithmetic that random benches hit only by luck.

// TestSpearmanKarberPools: worked by hand. The rates 4/6, 2/4 and 3/10 fall, so
// they are pooled to 9/20; the places are not evenly spaced.
func TestSpearmanKarberPools(t *testing.T) {
	at, se, ok := spearmanKarber([]dose{{1, 4, 0}, {2, 6, 4}, {3, 4, 2}, {5, 10, 3}, {6, 5, 5}})
	require.True(t, ok)
	require.InDelta(t, 0.45*1.5+0.55*5.5, at, 1e-12)
	require.InDelta(t, math.Sqrt(0.45*0.55*(1.0/6*1+1.0/4*2.25+1.0/10*2.25)), se, 1e-12)
	require.Equal(t, []float64{0.3, 0.3, 0.3}, risingRates([]dose{{1, 1, 1}, {2, 4, 2}, {3, 5, 0}}))
	require.Equal(t, []float64{0.5, 0.5, 1}, risingRates([]dose{{1, 2, 1}, {2, 4, 2}, {3, 5, 5}}))
	_, _, ok = spearmanKarber([]dose{{1, 5, 0}})
	require.False(t, ok)
}

// TestFalls: responses above which none follows.
func TestFalls(t *testing.T) {
	require.True(t, falls([]dose{{0, 2, 2}, {1, 2, 2}, {3, 2, 0}, {4, 2, 0}}))
	require.True(t, falls([]dose{{1, 2, 1}}), "one place tells of no rise")
	require.False(t, falls([]dose{{0, 2, 2}, {1, 2, 0}, {3, 2, 1}}))
}

// TestSolve: 2x + y = 5 and x + 3y = 10 have x = 1 and y = 3.
func TestSolve(t *testing.T) {
	x := solve([2][2]float64{{2, 1}, {1, 3}}, [2]float64{5, 10})
	require.InDeltaSlice(t, []float64{1, 3}, x[:], 1e-12)
	x = solve([2][2]float64{{2, 1}, {0, 4}}, [2]float64{5, 12})
	require.InDeltaSlice(t, []float64{1, 3}, x[:], 1e-12)
}

// known is a threshold between two holds, with the range that it has been
// narrowed to.
func known(name ThresholdName, low, high sim.Micros) Threshold {
	i := sim.Interval{Low: low, High: high}
	return Threshold{Name: name, Range: i, Bracket: i, Agree: true}
}

// TestLeft: a range of the wanted width is enough, and so is a bracket of that
// width after twenty trials that agree.
func TestLeft(t *testing.T) {
	goal := Goal{Width: 20 * ms, Trials: 30}
	minPress, longPress := known(NameMinPress, 80*ms, 100*ms), known(NameLongPress, 1400*ms, 1500*ms)
	wide := func(t Threshold, low, high sim.Micros) Threshold {
		t.Range.Low, t.Range.High = t.Range.Low-low, t.Range.High+high
		return t
	}
	names := func(trials int, thresholds ...Threshold) (names []ThresholdName) {
		w := Window{Trials: make([]Trial, trials), MinPress: thresholds[0], LongPress: thresholds[1]}
		for _, t := range w.Left(goal) {
			names = append(names, t.Name)
		}
		return names
	}
	require.Empty(t, names(1, minPress, longPress))
	require.Equal(t, []ThresholdName{NameMinPress}, names(1, wide(minPress, 1, 0), longPress))
	require.Equal(t, []ThresholdName{NameLongPress}, names(1, minPress, wide(longPress, 0, 1)))
	wideMin, wideLong := wide(minPress, ms, 0), wide(longPress, 0, ms)
	both := []ThresholdName{NameMinPress, NameLongPress}
	require.Equal(t, both, names(enoughIfSharp-1, wideMin, wideLong))
	require.Empty(t, names(enoughIfSharp, wideMin, wideLong))
	for _, change := range []func(t *Threshold){
		func(t *Threshold) { t.Agree = false },
		func(t *Threshold) { t.Bracket.High++ },
		func(t *Threshold) { t.Bracket.High = sim.Never },
	} {
		mixed := wideMin
		change(&mixed)
		require.Equal(t, both, names(enoughIfSharp, mixed, wideLong))
		mixed = wideLong
		change(&mixed)
		require.Equal(t, both, names(enoughIfSharp, wideMin, mixed))
	}
}

// TestWhoseTurn: min_press has half of the trials before long_press has its turn.
func TestWhoseTurn(t *testing.T) {
	trials := []Trial{{50 * ms, Nothing}, {150 * ms, Toggled}, {1000 * ms, Toggled}, {2500 * ms, Long}}
	for len(trials) < 8 {
		w, err := Fit(trials, Options{})
		require.NoError(t, err)
		require.Len(t, w.Left(DefaultGoal), 2)
		for _, most := range []int{len(trials), len(trials) + 1, 2*len(trials) - 1, 2 * len(trials), 2*len(trials) + 1, 2*len(trials) + 2} {
			p, more := w.Next(Goal{Width: DefaultGoal.Width, Trials: most})
			require.Equal(t, most > len(trials), more)
			switch {
			case !more:
			case most/2 <= len(trials):
				require.Equal(t, NameLongPress, p.For, "%d of %d", len(trials), most)
			default:
				require.Equal(t, NameMinPress, p.For, "%d of %d", len(trials), most)
			}
		}
		trials = append(trials, Trial{50 * ms, Nothing}, Trial{150 * ms, Toggled})
	}
	w, err := Fit([]Trial{{50 * ms, Nothing}, {60 * ms, Nothing}}, Options{})
	require.NoError(t, err)
	p, _ := w.Next(Goal{Width: DefaultGoal.Width, Trials: 3})
	require.Equal(t, NameMinPress, p.For, "one that is open keeps its turn")
}

// TestProposedHoldsAreRound: to a millisecond, and to a tenth of one where the
// range is narrower than wanted.
func TestProposedHoldsAreRound(t *testing.T) {
	w, err := Fit([]Trial{{50 * ms, Nothing}, {97 * ms, Toggled}}, Options{})
	require.NoError(t, err)
	threshold := w.MinPress
	best := threshold.posterior.mostInformative()
	for _, test := range []struct {
		width, unit sim.Micros
	}{{DefaultGoal.Width, ms}, {DefaultGoal.Width - 1, ms / 10}} {
		threshold.Range.High = threshold.Range.Low + test.width
		p, more := threshold.next(0)
		require.True(t, more)
		require.Zero(t, p.Hold%test.unit)
		require.InDelta(t, best*1e6, float64(p.Hold), float64(test.unit)/2+1)
	}
	require.NotZero(t, micros(best)%ms, "or both would round alike")
	p, _ := threshold.next(700 * ms)
	require.Equal(t, 700*ms, p.Hold)
	p, _ = threshold.next(2 * longestHold)
	require.Equal(t, longestHold, p.Hold)

	open := known(NameLongPress, longestHold, sim.Never)
	_, more := open.next(0)
	require.False(t, more, "nothing longer is proposed")
}

// TestWhyAtTheEnds: the ends of the bracket were tried.
func TestWhyAtTheEnds(t *testing.T) {
	threshold := known(NameMinPress, 80*ms, 90*ms)
	threshold.doses = []dose{{0.08, 1, 0}, {0.09, 1, 1}}
	for hold, want := range map[sim.Micros]string{80 * ms: "near", 80*ms + 1: "between", 90*ms - 1: "between", 90 * ms: "near"} {
		require.Regexp(t, "^"+want, threshold.why(hold), "%s", hold)
	}
}

// TestGainIsWhatIsLearnt: the outcome has as much information about the cells as the
// cells have about the outcome (T. M. Cover and J. A. Thomas, Elements of Information
// Theory, 2.4).
func TestGainIsWhatIsLearnt(t *testing.T) {
	w, err := Fit([]Trial{{50 * ms, Nothing}, {80 * ms, Toggled}, {84 * ms, Nothing}, {120 * ms, Toggled}, {1500 * ms, Long}}, Options{})
	require.NoError(t, err)
	for _, p := range []posterior{w.MinPress.posterior, w.LongPress.posterior} {
		for _, hold := range []float64{0.001, 0.06, 0.082, 0.1, 0.2, 1.2, 5, 30} {
			require.InDelta(t, p.expectedGain(hold), p.gain(hold), 1e-9, "%v", hold)
		}
		best := p.mostInformative()
		most := p.gain(best)
		for _, factor := range []float64{0.9, 0.97, 0.99, 1.01, 1.03, 1.1} {
			require.Less(t, p.gain(best*factor), most*1.001, "%v", factor)
		}
	}
}

// TestCandidates: the holds that are examined lie where the threshold may, and
// two standard deviations of the jitter outside.
func TestCandidates(t *testing.T) {
	w, err := Fit([]Trial{{50 * ms, Nothing}, {80 * ms, Toggled}, {84 * ms, Nothing}, {120 * ms, Toggled}}, Options{})
	require.NoError(t, err)
	p := w.MinPress.posterior
	holds := p.candidates()
	require.Len(t, holds, 64)
	require.IsIncreasing(t, holds)
	jitter := p.jitter()
	require.InDelta(t, max(p.quantile(0.005)/2, p.quantile(0.005)-2*jitter), holds[0], 1e-12)
	require.InDelta(t, p.quantile(0.995)+2*jitter, holds[63], 1e-12)
	for _, share := range []float64{0.0125, 0.4875, 0.9875} {
		at := p.quantile(share)
		require.Condition(t, func() bool {
			for _, hold := range holds {
				if math.Abs(hold-at) < 1e-12 {
					return true
				}
			}
			return false
		}, "the hold of %v", share)
	}
}
