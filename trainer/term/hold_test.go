package term

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

// The bar runs towards the long-press deadline: what is filled is the share of
// the way that is done.
func TestTheHoldBarIsFullAtTheDeadline(t *testing.T) {
	filled := func(hold sim.Micros) int {
		c := NewCanvas(75, 2, unicodeGlyphs)
		DrawHold(c, trainer.HoldBar{Hold: hold, Window: sim.Window{MinPress: 80 * sim.Millisecond, LongPress: 1500 * sim.Millisecond}, Aim: 350 * sim.Millisecond}, HoldMarks{})
		n := 0
		for x := range c.Width {
			if c.At(x, 0).Text == "█" || c.At(x, 0).Role == Pointer && hold > 350*sim.Millisecond {
				n++
			}
		}
		return n
	}
	require.Equal(t, 0, filled(0))
	require.Equal(t, 1, filled(1))
	require.Equal(t, 10, filled(200*sim.Millisecond))
	require.Equal(t, 74, filled(1480*sim.Millisecond))
	require.Equal(t, 75, filled(1500*sim.Millisecond))
	require.Equal(t, 75, filled(9*sim.Second))
}

func TestTheHoldBarTellsByItsLookWhatBecomesOfTheHold(t *testing.T) {
	b := trainer.HoldBar{Window: sim.Window{MinPress: 80 * sim.Millisecond, LongPress: 1500 * sim.Millisecond}}
	for hold, want := range map[sim.Micros]Role{
		79 * sim.Millisecond: RoleOf(lanes.Short), 80 * sim.Millisecond: RoleOf(lanes.Toggled), 1500*sim.Millisecond - 1: RoleOf(lanes.Toggled), 1500 * sim.Millisecond: RoleOf(lanes.Long),
	} {
		b.Hold = hold
		require.Equal(t, want, holdRole(b), "%s", hold)
	}
}

// The hold before is a mark on the bar, and what is said of the window has its
// place where there is room.
func TestTheHoldBarShowsTheHoldBefore(t *testing.T) {
	b := trainer.HoldBar{Hold: 100 * sim.Millisecond, Aim: 350 * sim.Millisecond, Window: sim.Window{MinPress: 80 * sim.Millisecond, LongPress: 1500 * sim.Millisecond}}
	draw := func(width int, ghost sim.Micros) *Canvas {
		c := NewCanvas(width, 2, unicodeGlyphs)
		DrawHold(c, b, HoldMarks{Ghost: ghost, Note: "example: measure yours"})
		return c
	}
	require.Equal(t, "┊", draw(75, 400*sim.Millisecond).At(20, 0).Text)
	require.NotContains(t, draw(75, 0).String(), "┊")
	require.NotContains(t, draw(75, 2*sim.Second).String(), "┊")
	require.Contains(t, draw(75, 0).String(), "example: measure yours long 1500 ms")
	require.Contains(t, draw(40, 0).String(), " example long")
	require.NotContains(t, draw(25, 0).String(), "example")
}
