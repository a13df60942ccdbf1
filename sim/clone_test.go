package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestCloneIsIndependent: a clone that is advanced shows what a chain shows that
// was fed the same, and the original does not change.
func TestCloneIsIndependent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		rig.Log.Armed, rig.Log.ArmedRange = "arm", []PulseRange{{1750, 2250}}
		for i := range samples {
			samples[i].Armed = rapid.SampledFrom([]PulseWidth{1000, 2000, Absent}).Draw(t, "armed")
		}
		chain := NewChain(TapChannel, rig)
		var looks, want []*Replay
		for i, s := range samples {
			chain.Feed(s)
			if rapid.Bool().Draw(t, "advance") {
				chain.Advance(s.At)
			}
			ahead := s.At + shortDuration(0, 60).Draw(t, "ahead")
			looks = append(looks, chain.Clone().FinishAt(ahead))
			want = append(want, runUntil(rig, samples[:i+1], ahead))
		}
		require.Equal(t, feedAll(NewChain(TapChannel, rig), samples), chain.Finish())
		require.Equal(t, want, looks)
	})
}

func runUntil(rig Rig, samples []Sample, end Micros) *Replay {
	chain := NewChain(TapChannel, rig)
	for _, s := range samples {
		chain.Feed(s)
	}
	return chain.FinishAt(end)
}
