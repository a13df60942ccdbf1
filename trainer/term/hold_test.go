package term

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

func heronBar(hold sim.Micros) trainer.HoldBar {
	return trainer.HoldBar{Hold: hold, Camera: sim.DefaultRig().Camera, Aim: 350 * sim.Millisecond}
}

func drawHold(width int, b trainer.HoldBar, marks HoldMarks) *Canvas {
	c := NewCanvas(width, 2, unicodeGlyphs)
	DrawHold(c, b, marks)
	return c
}

// The bar is filled up to the place of the hold on the strip of the press window, or
// to its end.
func TestTheHoldBarFillsTheStrip(t *testing.T) {
	const width = 75
	strip := lanes.CloseStripOf(sim.DefaultRig().Camera)
	before := -1
	for _, hold := range []sim.Micros{0, 1, 80 * sim.Millisecond, 200 * sim.Millisecond, 350 * sim.Millisecond, 1480 * sim.Millisecond, 9 * sim.Second} {
		filled := strings.Count(drawHold(width, trainer.HoldBar{Hold: hold, Camera: sim.DefaultRig().Camera}, HoldMarks{}).String(), "█")
		if hold > 0 {
			require.Equal(t, min(width, 1+int(strip.X(hold)*width)), filled, "%s", hold)
		}
		require.GreaterOrEqual(t, filled, before)
		before = filled
	}
	require.Equal(t, width, before)
	require.False(t, HoldRuns(heronBar(sim.Second)), "nobody holds")
}

func TestTheHoldBarShowsTheEffectOfTheHold(t *testing.T) {
	for hold, want := range map[sim.Micros]lanes.Look{
		79 * sim.Millisecond: lanes.Short, 80 * sim.Millisecond: lanes.Toggled, 1500*sim.Millisecond - 1: lanes.Toggled, 1500 * sim.Millisecond: lanes.Long,
	} {
		require.Equal(t, RoleOf(want), drawHold(75, heronBar(hold), HoldMarks{}).At(0, 0).Role, "%s", hold)
	}
}

// If a threshold is a range, the effect of a hold in it is unknown.
func TestTheHoldBarShowsWhatIsNotKnown(t *testing.T) {
	b := heronBar(0)
	b.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	picture := drawHold(80, b, HoldMarks{}).String()
	require.Contains(t, picture, "???")
	require.Contains(t, picture, "60 to 110 ms")
}

// A mark on the bar shows the previous hold, and the note on the window shows where
// there is room.
func TestTheHoldBarShowsTheHoldBefore(t *testing.T) {
	draw := func(width int, ghost sim.Micros) string {
		return drawHold(width, heronBar(100*sim.Millisecond), HoldMarks{Previous: ghost, Note: "example: measure yours"}).String()
	}
	require.Contains(t, draw(75, 400*sim.Millisecond), "┊")
	require.NotContains(t, draw(75, 0), "┊")
	require.Contains(t, draw(120, 0), "80 ms")
	require.Contains(t, draw(80, 0), " example: measure yours ")
	require.Contains(t, draw(40, 0), " example ")
	require.NotContains(t, draw(25, 0), "example")
}
