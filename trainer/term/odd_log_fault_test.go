package term

import (
	"errors"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// Logs that nobody flew, on a screen that is used wildly: nothing of it ends the
// viewer, loses the cursor or sends the terminal what it would act on.

// oddNames are names of logs and rigs that somebody could think of.
var oddNames = []string{
	"", "Heron", "\x1b[2J\x1b]0;owned\x07", "\u009b31m\u202ecsv.exe", "two\r\nlines\t|", "\xff\xfe", "鷺の船⛵️", "e\u0301\u200b\u2066x\u2069",
	string(make([]byte, 300)),
}

// drawOddLog draws a log of any number of samples, at times near and far, with
// any number of presses, on a rig that leaves much, little or nothing open.
func drawOddLog(t *rapid.T) flight.Flight {
	rig := rapid.SampledFrom([]func() sim.Rig{heron, openRig, eagerRig}).Draw(t, "rig")()
	rig.Name = rapid.SampledFrom(oddNames).Draw(t, "name of the rig")
	tap := rapid.SampledFrom([]sim.Tap{sim.TapChannel, sim.TapOutput, sim.TapWire}).Draw(t, "tap")
	chain, trace := sim.NewChainFrom(tap, rig, rig.Camera.Window()), sim.NewTraceFrom(tap, rig, rapid.SampledFrom([]int{2, 1 << 10}).Draw(t, "bins"))
	step := rapid.SampledFrom([]sim.Micros{1, 7 * sim.Millisecond, 300 * sim.Millisecond, sim.Minute, 20 * sim.Hour}).Draw(t, "step")
	values := rapid.SampledFrom([]sim.PulseWidth{1000, 2000, 1500, 900, -1e300, 1e300, sim.Absent})
	at := sim.Micros(0)
	for range rapid.SampledFrom([]int{1, 2, 5, 40}).Draw(t, "samples") {
		s := sim.Sample{At: at, Channel: values.Draw(t, "channel"), Armed: values.Draw(t, "armed")}
		chain.Feed(s)
		trace.Feed(s)
		at += sim.Micros(rapid.Int64Range(0, 2).Draw(t, "steps")) * step
	}
	log := flight.Flight{File: rapid.SampledFrom(oddNames).Draw(t, "name of the log"), Replay: chain.Finish(), Trace: trace}
	log.Findings = tell.Findings(log.Replay, tell.DefaultLimits())
	if known, err := belief.Resolve(log.Replay, belief.Observations{}); err == nil {
		log.Replay = known.Replay
	}
	if rapid.Bool().Draw(t, "no trace") {
		log.Trace = nil
	}
	return log
}

// eagerRig starts and stops at once and takes every press.
func eagerRig() sim.Rig {
	rig := heron()
	rig.Camera.MinPress, rig.Camera.StartDelay, rig.Camera.StopDelay = sim.Exactly(1), 0, 0
	rig.Camera.Boot = 0
	return rig
}

func TestTheViewerShowsAnyLog(t *testing.T) {
	refuse := func(int, sim.Span) (string, error) { return "", errors.New("\x1b[2Jno room\r\n") }
	rapid.Check(t, func(t *rapid.T) {
		v := NewViewer(rapid.SliceOfN(rapid.Custom(drawOddLog), 1, 3).Draw(t, "logs"), refuse)
		useWildly(t, v, "ePptTfF+-ab12cswi][?eE", func() {
			requireOnTheLog(t, v)
		})
	})
}

// useWildly sends a program any events, many of its own keys among them, and
// looks at every picture, until it ends.
func useWildly(t *rapid.T, p Program, keys string, check func()) {
	width, height := 80, 24
	for i := range rapid.IntRange(1, 40).Draw(t, "events") {
		at := sim.Micros(i) * 90 * sim.Millisecond
		event := drawEvent(t, at, width, height)
		if rapid.Bool().Draw(t, "own key") {
			event = KeyEvent{at, string(rapid.SampledFrom([]rune(keys)).Draw(t, "key"))}
		}
		if size, isSize := event.(ResizeEvent); isSize {
			width, height = size.Width, size.Height
		}
		if !p.Handle(event) {
			return
		}
		canvas := NewCanvas(width, height, rapid.SampledFrom([]*Glyphs{unicodeGlyphs, asciiGlyphs}).Draw(t, "glyphs"))
		p.Draw(canvas)
		requireText(t, canvas)
		check()
	}
}

// requireText checks that every cell of a picture only shows a text.
func requireText(t *rapid.T, c *Canvas) {
	for _, cell := range c.picture.cells {
		for _, r := range cell.Text {
			require.True(t, unicode.IsPrint(r), "%q", cell.Text)
		}
	}
}

func requireOnTheLog(t *rapid.T, v *Viewer) {
	view := v.current()
	require.True(t, view.cursor >= 0 && view.cursor <= view.log.Replay.End, "the cursor at %d", view.cursor)
	require.GreaterOrEqual(t, view.window.from, sim.Micros(0))
	require.GreaterOrEqual(t, view.window.span, sim.Micros(view.window.columns))
}

// A season in one log: a thousand takes, gone through one by one.
func TestTheViewerGoesThroughAThousandTakes(t *testing.T) {
	moves := []move{{0, 1000}}
	for n := range sim.Micros(2000) {
		at := 10*sim.Second + n*4*sim.Second
		moves = append(moves, move{at, 2000}, move{at + 300*sim.Millisecond, 1000})
	}
	log := replayed("season.csv", heron(), 10*sim.Second+2000*4*sim.Second, moves)
	require.Len(t, log.Replay.Takes, 1000)
	v := NewViewer([]flight.Flight{log}, nil)
	Print(v, 120, 40, unicodeGlyphs)
	for _, take := range log.Replay.Takes {
		v.Handle(KeyEvent{Name: "t"})
		require.Equal(t, take.Start, v.current().cursor)
	}
	require.Contains(t, Print(v, 120, 40, unicodeGlyphs), "1000 takes")
	v.Handle(KeyEvent{Name: "t"})
	require.Contains(t, Print(v, 120, 40, unicodeGlyphs), "no further take")
}

// The sizes that a terminal can have, tiny ones all.
func TestTheViewerAtEveryTinySize(t *testing.T) {
	v := NewViewer([]flight.Flight{regatta()}, nil)
	keys := []string{"e", "p", "f", "1", "t", "2", "b", "i", "enter", "+", "down", "?", "right", "?", "pgdn", "a", "end", "-"}
	n := 0
	for width := range 42 {
		for height := range 14 {
			v.Handle(ResizeEvent{Width: width, Height: height})
			for _, action := range []PointerAction{PointerPress, PointerDrag, WheelUp, WheelDown} {
				v.Handle(PointerEvent{X: width - 1, Y: height - 1, Action: action})
				v.Handle(KeyEvent{Name: keys[n%len(keys)]})
				n++
				v.Draw(NewCanvas(width, height, unicodeGlyphs))
			}
		}
	}
}

// drawEvent draws any event that can come on a screen of a size.
func drawEvent(t *rapid.T, at sim.Micros, width, height int) Event {
	switch rapid.SampledFrom([]string{"key", "key", "key", "size", "pointer", "tick"}).Draw(t, "event") {
	case "key":
		return KeyEvent{at, rapid.OneOf(
			rapid.SampledFrom([]string{"space", "enter", "esc", "up", "down", "left", "right", "shift-left", "home", "end", "pgup", "pgdn", "tab", "?", "e", "p", "q", "1"}),
			rapid.StringN(1, 1, -1),
		).Draw(t, "key")}
	case "size":
		return ResizeEvent{at, rapid.IntRange(0, 130).Draw(t, "width"), rapid.IntRange(0, 50).Draw(t, "height")}
	case "pointer":
		return PointerEvent{at, rapid.IntRange(0, width).Draw(t, "x"), rapid.IntRange(0, height).Draw(t, "y"),
			rapid.SampledFrom([]PointerAction{PointerPress, PointerDrag, WheelUp, WheelDown}).Draw(t, "action")}
	default:
		return TickEvent{at}
	}
}
