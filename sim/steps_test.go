package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestStepsFindGapsHoweverTheLogIsFed: rows 1 ms apart with two gaps, fed one by
// one, in blocks, and with rows left out in between.
func TestStepsFindGapsHoweverTheLogIsFed(t *testing.T) {
	var samples []Sample
	for at := Micros(0); at < 5*Second; at += Millisecond {
		inGap := at > 2*Second && at < 2*Second+50*Millisecond || at > 4*Second && at < 4*Second+300*Millisecond
		if !inGap {
			samples = append(samples, Sample{At: at, Channel: rest, Armed: Absent})
		}
	}
	want := Steps{Median: Millisecond, Gaps: 2, Longest: Span{4 * Second, 4*Second + 300*Millisecond}}
	require.Equal(t, want, feedOneByOne(NewChain(TapChannel, DefaultRig()), samples).Samples.Steps)

	blocks := NewChain(TapChannel, DefaultRig())
	blocks.FeedAll(samples)
	require.Equal(t, want, blocks.Finish().Samples.Steps)

	thinned := NewChain(TapChannel, DefaultRig())
	for i := 0; i < len(samples); i += 100 {
		part := samples[i:min(i+100, len(samples))]
		thinned.Feed(part[0])
		thinned.omit(len(part) - 2)
		thinned.Feed(part[len(part)-1])
	}
	got := thinned.Finish().Samples.Steps
	require.Equal(t, 2, got.Gaps)
	require.InDelta(t, float64(300*Millisecond), float64(got.Longest.Length()), float64(2*Millisecond))
}

func TestTenStepsAreNoGap(t *testing.T) {
	chain := NewChain(TapChannel, DefaultRig())
	for _, at := range []Micros{0, 10, 20, 30, 130, 140, 241} {
		chain.Feed(Sample{At: at, Channel: rest, Armed: Absent})
	}
	require.Equal(t, Steps{Median: 10, Gaps: 1, Longest: Span{140, 241}}, chain.Finish().Samples.Steps)
}
