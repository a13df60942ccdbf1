package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestZonesSayWhatAHoldDoes(t *testing.T) {
	const least, long = 80 * Millisecond, 1500 * Millisecond
	for _, c := range []struct {
		name   string
		on     ToggleEdge
		action Action
		want   Zones
	}{
		{"release, power-off", ToggleOnRelease, ActionPowerOff, Zones{{0, least, EffectNothing}, {least, long, EffectToggles}, {long, Never, EffectLong}}},
		{"release, unknown", ToggleOnRelease, ActionUnknown, Zones{{0, least, EffectNothing}, {least, long, EffectToggles}, {long, Never, EffectLong}}},
		{"release, none", ToggleOnRelease, ActionNone, Zones{{0, least, EffectNothing}, {least, long, EffectToggles}, {long, Never, EffectNothing}}},
		{"press, power-off", ToggleOnPress, ActionPowerOff, Zones{{0, least, EffectNothing}, {least, long, EffectToggles}, {long, Never, EffectTogglesThenLong}}},
		{"press, none: equal neighbours merge", ToggleOnPress, ActionNone, Zones{{0, least, EffectNothing}, {least, Never, EffectToggles}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			camera := DefaultRig().Camera
			camera.ToggleOn, camera.LongAction = c.on, c.action
			require.Equal(t, c.want, camera.Zones())
		})
	}
}

// TestZonesAgreeWithTheCamera presses once, for every hold, with random
// cameras (M7, M8).
func TestZonesAgreeWithTheCamera(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var camera CameraSpec
		drawCamera(t, &camera)
		camera.Start, camera.StartDelay, camera.AutoOff = StartStandby, 0, Never
		hold := shortDuration(1, 30).Draw(t, "hold")
		wire := Lane{Edges: []Edge{{At: 5, Pressed: true}, {At: 5 + hold}}}
		record := RunCamera(camera, camera.Window(), wire, 200, nil)
		zone := camera.Zones().Of(hold)
		last := record.StateAt(200)
		switch zone.Effect {
		case EffectNothing:
			require.Equal(t, StateStandby, last)
			require.Empty(t, record.Toggles)
		case EffectToggles:
			require.Equal(t, StateRecording, last)
		case EffectLong:
			require.Empty(t, record.Toggles)
			require.Contains(t, []State{StateOff, StateUnknown}, last)
		case EffectTogglesThenLong:
			require.Len(t, record.Toggles, 1)
			require.Contains(t, []State{StateOff, StateUnknown}, last)
		}
	})
}

func TestMinPressOfNothingLeavesNoEmptyZone(t *testing.T) {
	camera := DefaultRig().Camera
	camera.MinPress = Exactly(0)
	require.Equal(t, Zone{0, 1500 * Millisecond, EffectToggles}, camera.Zones()[0])
	require.Equal(t, EffectLong, camera.Zones().Of(Never).Effect, "a press that never ends")
}
