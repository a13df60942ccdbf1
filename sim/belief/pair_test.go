package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestAPairAroundAnIgnoredPress (M11, M12): of three presses within the time for a
// pair the first two are one, unless one of the three is ignored, each with a chance
// of one tenth; then it is the other two. The third toggles where both of the others
// count, or neither.
func TestAPairAroundAnIgnoredPress(t *testing.T) {
	rig := sure()
	rig.Camera.DoubleWithin, rig.Doubt.Ignored = 500*ms, 0.1
	replay := flightWith(rig, 20*s, 5*s, 5200*ms, 5300*ms, 5500*ms, 5600*ms, 5800*ms)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	chances := map[sim.Verdict]float64{sim.VerdictDouble: 0.9*0.9 + 0.9*0.1*0.9, sim.VerdictToggle: 0.9*0.9*0.9 + 0.1*0.1*0.9}
	for i, want := range []sim.Verdict{sim.VerdictDouble, sim.VerdictDouble, sim.VerdictToggle} {
		p := result.Replay.Presses[i]
		require.Equal(t, want, p.Verdict)
		require.InDelta(t, chances[want], p.Chance, exact, "press %d", p.N)
	}
}

// TestAPairInDoubt (M11, M12): two presses in quick succession are a pair unless
// one of them is ignored, and both of them have that chance.
func TestAPairInDoubt(t *testing.T) {
	replay := &sim.Replay{Rig: sure(), End: 20 * s}
	replay.Rig.Camera.DoubleWithin = 500 * ms
	replay.Rig.Doubt.Ignored = 0.1
	replay.Lanes.Wire.Edges = []sim.Edge{{At: 5 * s, Pressed: true}, {At: 5300 * ms}, {At: 5500 * ms, Pressed: true}, {At: 5800 * ms}}
	replay.Window = replay.Rig.Camera.Window()
	replay.Record = sim.RunCamera(replay.Rig.Camera, replay.Window, replay.Lanes.Wire, replay.End, nil)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	for _, p := range result.Replay.Presses {
		require.Equal(t, sim.VerdictDouble, p.Verdict)
		require.InDelta(t, 0.9*0.9, p.Chance, exact)
	}
	require.InDelta(t, 2*0.9*0.1, chanceAt(result.Replay.Belief, int(2*10*s)), 1e-3, "one of them toggles")
}
