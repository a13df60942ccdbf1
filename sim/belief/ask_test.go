package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func bits(chances ...float64) float64 {
	sum := 0.0
	for _, p := range chances {
		sum -= p * math.Log2(p)
	}
	return sum
}

// TestAskForTheLongestGlance: of the times over which a glance is equally
// informative, the longest is proposed, and its middle.
func TestAskForTheLongestGlance(t *testing.T) {
	// Flicks of 300 ms at 5, 15 and 20 s, and one of 100 ms at 10 s that stops the
	// take or does not, with a chance of one half each: open from 10.1 to 15.3 s, again to
	// 20.3 s, again to 25 s.
	replay := flightOf(4, func(i int) sim.Micros { return []sim.Micros{300, 100, 300, 300}[i] * ms })
	replay.Rig.Camera.MinPress = interval(60*ms, 140*ms)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	glance := Question{Gain: 1, At: 12_700 * ms, From: 10_100 * ms, To: 15_300 * ms, Recording: 0.5}
	require.Equal(t, []Question{glance}, result.Ask[:1], "the number of files says as much, and comes second")
}

// TestAskForTheFiles: where every miss costs a take, the files distinguish five
// cases, a glance two.
func TestAskForTheFiles(t *testing.T) {
	replay := flightOf(8, func(i int) sim.Micros { return []sim.Micros{75, 90, 105, 120}[i/2] * ms })
	replay.Rig.Camera.MinPress = interval(60*ms, 140*ms)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	require.True(t, result.Ask[0].CountClips)
	require.InDelta(t, bits(15./80, 15./80, 15./80, 15./80, 20./80), result.Ask[0].Gain, exact)
	require.False(t, result.Ask[1].CountClips)
	answered, err := Resolve(replay, Observations{Clips: lengths(5, 5, 5), ClipError: s})
	require.NoError(t, err)
	require.Equal(t, interval(75*ms, 90*ms), answered.MinPress)
	require.Empty(t, answered.Ask)
}

// TestAskForAMoment: while a long press may switch the camera off, the moment
// is most informative. With a third kind of light it is not where the chances are even:
// p·H(a) + H(p) is greatest for p = 2^H(a)/(1 + 2^H(a)), and log₂(1 + 2^H(a)) then.
func TestAskForAMoment(t *testing.T) {
	replay := flightOf(2, func(i int) sim.Micros { return []sim.Micros{300, 2000}[i] * ms })
	replay.Rig.Camera.LongPress = interval(s, 1800*ms)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	require.Len(t, result.Ask, 1, "before and after it a glance says nothing, nor do the files")
	require.InDelta(t, 1, result.Ask[0].Gain, 1e-9)
	require.InDelta(t, float64(11_400*ms), float64(result.Ask[0].At), float64(ms))
	require.Equal(t, result.Ask[0].From, result.Ask[0].To)

	// A take is on with a chance of 3 in 4 when the long press begins at 10 s.
	replay = flightOf(2, func(i int) sim.Micros { return []sim.Micros{120, 2000}[i] * ms })
	replay.Rig.Camera.MinPress = interval(60*ms, 140*ms)
	replay.Rig.Camera.LongPress = interval(s, 1800*ms)
	result, err = Resolve(replay, Observations{})
	require.NoError(t, err)
	q, off := result.Ask[0], math.Exp2(bits(0.75, 0.25))
	require.InDelta(t, math.Log2(1+off), q.Gain, 1e-9)
	require.InDelta(t, 0.75*off/(1+off), q.Recording, 1e-3)
	require.InDelta(t, float64(11*s+800*ms)-800e3*off/(1+off), float64(q.At), 1000)
	require.InDelta(t, bits(0.75, 0.25), result.Ask[1].Gain, 1e-9)
	require.Equal(t, interval(5*s+120*ms, 11*s), interval(result.Ask[1].From, result.Ask[1].To))
	require.True(t, result.Ask[2].CountClips)
	require.Len(t, result.Ask, 3)
}

// TestUnknownLightTellsNothing: in the unknown state a light may show anything.
func TestUnknownLightTellsNothing(t *testing.T) {
	require.InDelta(t, 0, lights{0, 0, 0, 1}.entropy(), 1e-12)
	require.InDelta(t, bits(2./3, 1./6, 1./6)-0.5*math.Log2(3), lights{0.5, 0, 0, 0.5}.entropy(), 1e-12)
}
