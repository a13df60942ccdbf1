package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestCameraAlone: fed with what the chain's camera read, the camera alone does
// the same, watched or not.
func TestCameraAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		replay := feedAll(NewChain(TapChannel, rig), samples)
		compared := 0
		count := func(a, b Micros) { compared++ }
		require.Equal(t, replay.Record, RunCamera(rig.Camera, replay.Window, replay.Lanes.Wire, replay.End, nil))
		require.Equal(t, replay.Record, RunCamera(rig.Camera, replay.Window, replay.Lanes.Wire, replay.End, count))
		require.Positive(t, compared)
		require.Equal(t, replay, replay.WithRecord(replay.Window, replay.Record))
	})
}

// A threshold that is yet to be reached is compared with what happens while the
// button is down, and not with what happens in a break.
func TestCameraComparesWhatIsPending(t *testing.T) {
	spec := DefaultRig().Camera
	spec.MinGap = 20 * Millisecond
	wire := Lane{Edges: []Edge{{At: 1000, Pressed: true}, {At: 91000}, {At: 92000, Pressed: true}, {At: 300000}}}
	var withLong []Micros
	RunCamera(spec, spec.Window(), wire, Second, func(a, b Micros) {
		if b == 1000+spec.LongPress.Low {
			withLong = append(withLong, a)
		}
	})
	require.Equal(t, []Micros{91000, 92000, 300000}, withLong)
}

// TestCameraReportsWhatDecides: moving a threshold past the nearest moment that it
// was compared with is the first move that changes anything (M9).
func TestCameraReportsWhatDecides(t *testing.T) {
	spec := DefaultRig().Camera
	wire := Lane{Edges: []Edge{{At: 1000, Pressed: true}, {At: 91000}}}
	nearest := Never
	RunCamera(spec, spec.Window(), wire, Second, func(a, b Micros) {
		if b == spec.MinPress.Low {
			nearest = min(nearest, a-b)
		}
	})
	require.Equal(t, 10*Millisecond, nearest)
	verdict := func(min Micros) Verdict {
		return RunCamera(spec, Window{min, spec.LongPress.Low}, wire, Second, nil).Presses[0].Verdict
	}
	require.Equal(t, VerdictToggle, verdict(spec.MinPress.Low+nearest))
	require.Equal(t, VerdictShort, verdict(spec.MinPress.Low+nearest+1))
}
