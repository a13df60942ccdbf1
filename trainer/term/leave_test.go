package term

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/flight"
)

// Every screen is left alike: ctrl-c quits at once, over the help too, and a
// screen that is too small for a picture says so.
func TestEveryScreenIsLeftAlike(t *testing.T) {
	for name, program := range map[string]Program{
		"viewer":   NewViewer([]flight.Flight{regatta()}, nil),
		"practice": practising(t, "", 39, 12).Practise,
		"live":     NewLive("Heron", inFlight(openRig(), 10*sec, held...)),
	} {
		program.Handle(ResizeEvent{Width: 39, Height: 12})
		canvas := NewCanvas(39, 12, unicodeGlyphs)
		program.Draw(canvas)
		require.Contains(t, canvas.String(), "needs 40 x 12", name)
		require.Contains(t, canvas.String(), "ctrl-c quits.", name)
		require.True(t, program.Handle(KeyEvent{Name: "?"}), name)
		require.False(t, program.Handle(KeyEvent{Name: "ctrl-c"}), name)
	}
}
