package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

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
