package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawLog draws samples with an armed channel too.
func drawLog(t *rapid.T, rig *Rig) []Sample {
	armed := []PulseWidth{1000, 1000, 1749, 1750, 2000, 2000, 2250, Absent, Absent, PulseWidth(-1e300)}
	rig.Log.Armed, rig.Log.ArmedRange = "arm", []PulseRange{{1750, 2250}}
	samples := drawSamples(t)
	for i := range samples {
		samples[i].Armed = rapid.SampledFrom(armed).Draw(t, "armed")
	}
	return samples
}

// feedOneByOne treats every sample as one that may change something.
func feedOneByOne(c *Chain, samples []Sample) *Replay {
	for _, s := range samples {
		if c.hasWaiting && c.waiting.At < s.At {
			c.flush()
		}
		c.feedEventful(s)
	}
	return c.Finish()
}

// TestUnchangedSamplesChangeNothing: the samples of a block that the chain skips
// would have changed nothing one by one, however the log is cut into blocks and
// wherever it was recorded.
func TestUnchangedSamplesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		samples := drawLog(t, &rig)
		tap := rapid.SampledFrom([]Tap{TapChannel, TapOutput, TapWire}).Draw(t, "tap")
		chain := NewChain(tap, rig)
		for rest := samples; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "block")
			chain.FeedAll(rest[:n])
			rest = rest[n:]
		}
		want := feedOneByOne(NewChain(tap, rig), samples)
		require.Equal(t, want, chain.Finish())
	})
}

// TestUnchangedSamplesAreMany: in the logs of the test above, the chain skips some
// samples and not all.
func TestUnchangedSamplesAreMany(t *testing.T) {
	chain := NewChain(TapChannel, DefaultRig())
	samples := flownSamples()[:40_000]
	chain.FeedAll(samples[:2])
	passed := 0
	for rest := samples[2:]; len(rest) > 0; {
		n := chain.passUnchanged(rest)
		passed += n
		if n == 0 {
			chain.FeedAll(rest[:1])
			n = 1
		}
		rest = rest[n:]
	}
	require.Greater(t, passed, len(samples)-firstSteps-20)
	require.Less(t, passed, len(samples))
}

// TestTimeBackwardsInBlock: the chain refuses a time before the last one, unchanged
// or not.
func TestTimeBackwardsInBlock(t *testing.T) {
	for name, value := range map[string]PulseWidth{"unchanged": 1000, "eventful": 2000, "absent": Absent} {
		t.Run(name, func(t *testing.T) {
			chain := NewChain(TapChannel, DefaultRig())
			chain.FeedAll([]Sample{{0, 1000, Absent}, {4, 1000, Absent}, {8, 1000, Absent}})
			require.PanicsWithValue(t, "internal error: sample at 7 µs after one at 8 µs", func() {
				chain.FeedAll([]Sample{{8, 1000, Absent}, {7, value, Absent}})
			})
		})
	}
}

// TestTraceInBlocks: how a log is cut into blocks makes no difference to a trace.
func TestTraceInBlocks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		whole, single := NewTrace(TapChannel, rig, 8), NewTrace(TapChannel, rig, 8)
		whole.FeedAll(samples)
		for _, s := range samples {
			single.Feed(s)
		}
		require.Equal(t, single.Width(), whole.Width())
		require.Equal(t, single.complete().bins, whole.complete().bins)
	})
}

// TestValidOutweighsAbsent: of several values of one instant the last valid one
// counts, beyond the channel too, and whether or not it changes anything.
func TestValidOutweighsAbsent(t *testing.T) {
	for _, value := range []PulseWidth{1000, 2000} {
		chain := NewChain(TapOutput, DefaultRig())
		chain.FeedAll([]Sample{{0, 1000, Absent}, {10, 1000, Absent}, {20, value, Absent}, {20, Absent, Absent}, {30, 1000, Absent}})
		require.Empty(t, chain.Finish().Lost)
	}
}

// TestAnEdgeLiesBehindTheLastSampleOfAnEarlierInstant: the old level repeated at
// the instant of the edge says nothing about when the edge happened.
func TestAnEdgeLiesBehindTheLastSampleOfAnEarlierInstant(t *testing.T) {
	chain := NewChain(TapWire, DefaultRig())
	chain.FeedAll([]Sample{{0, LevelLow, Absent}, {490, LevelLow, Absent}, {500, LevelLow, Absent}, {500, LevelHigh, Absent}})
	require.Equal(t, []Edge{{At: 500, Pressed: true, Flick: 1, Unseen: 10}}, chain.Finish().Lanes.Wire.Edges)
}

// TestLanesShareWhatStepsPassOn: stages that pass everything on need no memory,
// and a clone that continues differently leaves the lanes unchanged.
func TestLanesShareWhatStepsPassOn(t *testing.T) {
	chain := NewChain(TapChannel, DefaultRig())
	chain.FeedAll(flownSamples()[:40_000])
	other := chain.Clone()
	chain.FeedAll([]Sample{{50 * Second, 2000, Absent}, {51 * Second, 1000, Absent}})
	other.FeedAll([]Sample{{50 * Second, 1000, Absent}, {52 * Second, 2000, Absent}})
	lanes := chain.Finish().Lanes
	for _, lane := range lanes.all() {
		require.Same(t, &lanes.Position.Edges[0], &lane.Edges[0])
		require.Equal(t, lanes.Position, *lane)
	}
	require.Equal(t, 50*Second, lanes.Position.Edges[len(lanes.Position.Edges)-2].At)
	others := other.Finish().Lanes
	for _, lane := range others.all() {
		require.Equal(t, 52*Second, lane.Edges[len(lane.Edges)-1].At)
	}
}
