package belief

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// listedFlight draws a flight of some flicks with the list of its card: each clip
// has a start and errors, one in twenty is missing, and one in twenty is strange.
func listedFlight(rng *rand.Rand, flicks int) (*sim.Replay, Observations) {
	rig := heron()
	rig.Doubt = sim.DefaultRig().Doubt
	rig.Camera.Start, rig.Camera.LongAction = sim.StartUnknown, sim.ActionNone
	var samples []sim.Sample
	at := sim.Micros(0)
	sample := func(until sim.Micros, value sim.PulseWidth) {
		for ; at < until; at += 20 * ms {
			samples = append(samples, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
		}
	}
	for range flicks {
		sample(at+3*s+sim.Micros(rng.Int64N(int64(20*s))), 1000)
		sample(at+sim.Micros(60+rng.IntN(300))*ms, 2000)
	}
	sample(at+5*s, 1000)
	chain := sim.NewChain(sim.TapChannel, rig)
	chain.FeedAll(samples)
	replay := chain.Finish()
	c := rig.Camera
	c.Start = sim.StartStandby
	truth := sim.RunCamera(c, sim.Window{MinPress: 113 * ms, LongPress: 1000 * ms}, replay.Lanes.Wire, replay.End, nil)
	seen := Observations{Clips: []Clip{}, ClipError: s}
	for _, take := range truth.Takes {
		begin := 1000*s + take.Start
		if rng.IntN(20) == 0 {
			seen.Clips = append(seen.Clips, Clip{Length: 5 * s, Start: begin - 8*s, HasStart: true})
		}
		if rng.IntN(20) > 0 {
			late := sim.Micros(rng.IntN(800)) * ms
			seen.Clips = append(seen.Clips, Clip{Length: take.Length() + late, Start: begin + late, HasStart: true})
		}
	}
	return replay, seen
}

// TestTheWidthIsEnough: with room for ten times as many nodes, a long list is
// weighed alike and the same history is the likeliest.
func TestTheWidthIsEnough(t *testing.T) {
	const flicks, points = 40, 16
	reached := false
	for i := range uint64(2) {
		replay, seen := listedFlight(rand.New(rand.NewPCG(41, i)), flicks)
		o := Outing{[]Flight{{replay, nil}}, seen.Clips, seen.ClipError}
		weigh := func(widest int) (*estimator, history) {
			e := newEstimator(o.sectioned(), true, o.card(), points)
			e.beamWidth = widest
			e.weigh()
			for _, s := range e.kept[0].stages {
				reached = reached || s.nodes >= defaultBeamWidth
			}
			return e, e.likeliest(e.loggedHistory())
		}
		narrow, shown := weigh(defaultBeamWidth)
		wide, want := weigh(10 * defaultBeamWidth)
		require.InDelta(t, wide.total, narrow.total, 1e-4)
		require.Equal(t, want.outcomes, shown.outcomes)
		require.InDelta(t, want.weight, shown.weight, 1e-4)
	}
	require.True(t, reached, "or the width limits nothing")
}
