package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The chain skips samples that change nothing, so that hours in which nobody
// touches the switch cost almost nothing. If a value is wrongly taken for one that
// matters, the result is right and only slow, so results do not show the fault.

func TestARepeatedValueIsUnchanged(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		selector := NewSelector(rig.Switch, rig.SignalLoss)
		for _, s := range samples {
			if rig.Switch.IsValid(s.Channel) {
				selector.Step(s.At, s.Channel)
				require.True(t, selector.unchanged.Contains(s.Channel), "%v in %v", s.Channel, selector.unchanged)
			}
		}
	})
}

func TestARepeatedArmedValueIsUnchanged(t *testing.T) {
	craft := armed{ranges: []PulseRange{{1300, 1700}, {1900, 2250}}, since: Never}
	for i, v := range []PulseWidth{1000, 1300, 1500, 1700, 1800, 1900, 2000, 2250, 2300, -1e300} {
		craft.step(Micros(i), v)
		require.True(t, craft.unchanged.Contains(v), "%v in %v", v, craft.unchanged)
	}
}

// A sample at the very moment at which the signal would be lost prevents the loss
// and changes nothing; a later one finds the signal lost (M2).
func TestASampleIsUnchangedUntilTheSignalIsLost(t *testing.T) {
	const from = 10 * Second
	rig := DefaultRig()
	for after, want := range map[Micros]int{0: 1, 1: 1, rig.SignalLoss.StaleAfter: 1, rig.SignalLoss.StaleAfter + 1: 0} {
		require.Equal(t, want, unchangedAfterItself(rig, Sample{from, rest, Absent}, after), "%s after the last", after)
	}
}

// The lower end of a range belongs to it, so a constant value there changes nothing
// either, whether it presses or arms.
func TestTheLowerEndOfARangeIsUnchanged(t *testing.T) {
	rig := DefaultRig()
	low := Sample{Second, rig.Switch.Press[0].Low, rig.Log.ArmedRange[0].Low}
	require.Equal(t, 1, unchangedAfterItself(rig, low, Millisecond))
}

// unchangedAfterItself returns how many samples a chain skips when one is repeated
// after a time.
func unchangedAfterItself(rig Rig, s Sample, after Micros) int {
	chain := NewChain(TapChannel, rig)
	chain.stepping.known, chain.stepping.limit = true, Never
	chain.Feed(s)
	chain.Feed(Sample{s.At + 1, s.Channel, s.Armed}) // the sample before counts once a later one is there
	return chain.passUnchanged([]Sample{{s.At + 1 + after, s.Channel, s.Armed}})
}
