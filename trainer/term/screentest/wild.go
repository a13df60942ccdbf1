// Package screentest tests programs of package term with random input, and compares
// their pictures with golden ones.
package screentest

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/trainer/term"
)

// The characters of pictures in tests.
var (
	Unicode = term.GlyphsFor("UTF-8")
	ASCII   = term.GlyphsFor("US-ASCII")
)

var update = flag.Bool("update", false, "renew the golden pictures")

// Golden compares a picture with the golden one of a name in testdata.
func Golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}

// CheckQuits checks that ctrl-c quits at once, with the help open too, and that a
// screen that is too small says so.
func CheckQuits(t *testing.T, p term.Program) {
	t.Helper()
	p.Handle(term.ResizeEvent{Width: 39, Height: 12})
	canvas := term.NewCanvas(39, 12, Unicode)
	p.Draw(canvas)
	require.Contains(t, canvas.String(), "needs 40 x 12")
	require.Contains(t, canvas.String(), "ctrl-c quits.")
	require.True(t, p.Handle(term.KeyEvent{Name: "?"}))
	require.False(t, p.Handle(term.KeyEvent{Name: "ctrl-c"}))
}

// CheckEverySize checks that a program draws at every size, whatever was typed and
// pointed at before.
func CheckEverySize(t *testing.T, open func() term.Program) {
	t.Helper()
	rapid.Check(t, func(t *rapid.T) { Fuzz(t, open(), "?epq1", func() {}) })
}

// Fuzz sends random events to a program, many of its own keys among them, and
// checks every picture until it ends. It calls check after each.
func Fuzz(t *rapid.T, p term.Program, keys string, check func()) {
	width, height := 80, 24
	for i := range rapid.IntRange(1, 40).Draw(t, "events") {
		at := sim.Micros(i) * 90 * sim.Millisecond
		event := drawEvent(t, at, width, height)
		if rapid.Bool().Draw(t, "own key") {
			event = term.KeyEvent{At: at, Name: string(rapid.SampledFrom([]rune(keys)).Draw(t, "key"))}
		}
		if size, isSize := event.(term.ResizeEvent); isSize {
			width, height = size.Width, size.Height
		}
		if !p.Handle(event) {
			return
		}
		canvas := term.NewCanvas(width, height, rapid.SampledFrom([]*term.Glyphs{Unicode, ASCII}).Draw(t, "glyphs"))
		p.Draw(canvas)
		requireText(t, canvas)
		check()
	}
}

// requireText checks that every cell of a picture is printable.
func requireText(t *rapid.T, c *term.Canvas) {
	for y := range c.Height {
		for x := range c.Width {
			for _, r := range c.At(x, y).Text {
				require.True(t, unicode.IsPrint(r), "%q", c.At(x, y).Text)
			}
		}
	}
}

// drawEvent draws a random event on a screen of a size.
func drawEvent(t *rapid.T, at sim.Micros, width, height int) term.Event {
	switch rapid.SampledFrom([]string{"key", "key", "key", "size", "pointer", "tick"}).Draw(t, "event") {
	case "key":
		return term.KeyEvent{At: at, Name: rapid.OneOf(
			rapid.SampledFrom([]string{"space", "enter", "esc", "up", "down", "left", "right", "shift-left", "home", "end", "pgup", "pgdn", "tab", "?", "e", "p", "q", "1"}),
			rapid.StringN(1, 1, -1),
		).Draw(t, "key")}
	case "size":
		return term.ResizeEvent{At: at, Width: rapid.IntRange(0, 130).Draw(t, "width"), Height: rapid.IntRange(0, 50).Draw(t, "height")}
	case "pointer":
		return term.PointerEvent{At: at, X: rapid.IntRange(0, width).Draw(t, "x"), Y: rapid.IntRange(0, height).Draw(t, "y"),
			Action: rapid.SampledFrom([]term.PointerAction{term.PointerPress, term.PointerDrag, term.WheelUp, term.WheelDown}).Draw(t, "action")}
	default:
		return term.TickEvent{At: at}
	}
}
