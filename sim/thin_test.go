package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestThinningBands(t *testing.T) {
	rig := DefaultRig()
	rig.Switch.Valid = PulseRange{800, 2200}
	rig.Switch.Press = []PulseRange{{700, 900}, {1700, 2300}}
	rig.Switch.Hysteresis = 50
	thin := NewThinning(rig)
	for name, test := range map[string]struct {
		value PulseWidth
		want  PulseRange
	}{
		"the ends of ranges, and of wider ones, bound a band": {1000, PulseRange{950, 1650}},
		"a band begins with its lower end":                    {950, PulseRange{950, 1650}},
		"and ends before its upper one":                       {1650, PulseRange{1650, 1700}},
		"the lowest valid value bounds one":                   {850, PulseRange{800, 900}},
		"the highest valid value lies in one":                 {2200, PulseRange{1700, nextWidth(2200)}},
		"what is not valid is never left out":                 {799, PulseRange{}},
		"nor what is above":                                   {2200.5, PulseRange{}},
		"nor what is absent":                                  {Absent, PulseRange{}},
	} {
		require.Equal(t, test.want, thin.Alike(test.value), name)
	}
	thin.Exact = true
	require.Equal(t, PulseRange{1000, PulseWidth(math.Nextafter(1000, 2000))}, thin.Alike(1000), "Exact: the value alone")
	require.Equal(t, PulseRange{}, thin.Alike(799))
	require.Equal(t, PulseRange{}, Thinning{}.Alike(1000), "the zero value leaves out nothing")
}

// thinned leaves out all that a thinning permits.
func thinned(thin Thinning, samples []Sample) (kept []Sample, omitted int) {
	for len(samples) > 0 {
		n := 1
		for n < len(samples) && thin.follows(samples[0], samples[n-1], samples[n]) {
			n++
		}
		kept = append(kept, samples[0])
		rest := samples[1:n]
		if len(rest) > 2 {
			omitted += len(rest) - 2
			rest = rest[len(rest)-2:]
		}
		kept = append(kept, rest...)
		samples = samples[n:]
	}
	return kept, omitted
}

// follows reports whether a sample continues a run.
func (t Thinning) follows(first, before, s Sample) bool {
	sameArmed := s.Armed == first.Armed || math.IsNaN(float64(s.Armed)) && math.IsNaN(float64(first.Armed))
	return s.At > before.At && s.At-first.At <= t.Within && sameArmed && t.Alike(first.Channel).Contains(s.Channel)
}

// drawUnchangedSamples draws samples that often repeat or nearly repeat each other.
func drawUnchangedSamples(t *rapid.T) []Sample {
	var samples []Sample
	for _, s := range drawSamples(t) {
		s.Armed = rapid.SampledFrom([]PulseWidth{1000, 1000, 2000, Absent}).Draw(t, "armed")
		if n := len(samples); n > 0 {
			s.At = samples[n-1].At + shortDuration(0, 3).Draw(t, "step")
		}
		samples = append(samples, s)
		for range rapid.IntRange(0, 12).Draw(t, "alike") {
			s.At += shortDuration(0, 6).Draw(t, "later")
			s.Channel += rapid.SampledFrom([]PulseWidth{0, 0, 0, 1, -1}).Draw(t, "noise")
			samples = append(samples, s)
		}
	}
	return samples
}

// TestThinningChangesNothing: a chain that is fed only what a thinning keeps, and
// the number of samples left out, yields the same result but for the steps. So
// does a trace if only repetitions were left out.
func TestThinningChangesNothing(t *testing.T) {
	left := 0
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawUnchangedSamples(t)
		rig.Log.Armed, rig.Log.ArmedRange = "arm", []PulseRange{{1700, 2100}}
		thin := NewThinning(rig)
		thin.Exact = rapid.Bool().Draw(t, "exact")
		kept, omitted := thinned(thin, samples)
		left += omitted

		chain := NewChain(TapChannel, rig)
		chain.omit(omitted)
		want, got := feedAll(NewChain(TapChannel, rig), samples), feedAll(chain, kept)
		want.Samples.Steps, got.Samples.Steps = Steps{}, Steps{} // known no finer than what was left out
		require.Equal(t, want, got)

		if thin.Exact {
			bins := rapid.IntRange(2, 40).Draw(t, "bins")
			requireSameTrace(t, traceOf(NewTrace(TapChannel, rig, bins), samples...).Bins(), traceOf(NewTrace(TapChannel, rig, bins), kept...).Bins())
		}
	})
	require.NotZero(t, left, "something was left out")
}

func TestSamplesLeftOutAreCountedBesideThoseFed(t *testing.T) {
	chain := NewChain(TapChannel, DefaultRig())
	chain.FeedAll([]Sample{{0, rest, Absent}, {10, Absent, Absent}})
	chain.omit(5)
	chain.omit(2)
	chain.Feed(Sample{100, rest, Absent})
	require.Equal(t, Samples{Count: 10, Valid: 9, End: 100, Steps: Steps{Median: 10}}, chain.Finish().Samples)
}

func requireSameTrace(t *rapid.T, want, got []TraceBin) {
	require.Len(t, got, len(want))
	for i := range want {
		require.Equal(t, want[i].Span, got[i].Span)
		require.Equal(t, want[i].Absent(), got[i].Absent(), "bin %d", i)
		if !want[i].Absent() {
			require.Equal(t, want[i], got[i])
		}
	}
}
