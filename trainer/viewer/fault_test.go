package viewer

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// Random logs and random events: the viewer must never end or lose the cursor, nor
// send control characters to the terminal.

// oddNames are possible names of logs and rigs.
var oddNames = []string{
	"", "Heron", "\x1b[2J\x1b]0;owned\x07", "\u009b31m\u202ecsv.exe", "two\r\nlines\t|", "\xff\xfe", "鷺の船⛵️", "e\u0301\u200b\u2066x\u2069",
	string(make([]byte, 300)),
}

// drawOddLog draws a log of any number of samples, close together and far apart, with
// any number of presses, on a rig with more or less that is unknown.
func drawOddLog(t *rapid.T) flight.Flight {
	rig := rapid.SampledFrom([]func() sim.Rig{heron, openRig, eagerRig}).Draw(t, "rig")()
	rig.Name = rapid.SampledFrom(oddNames).Draw(t, "name of the rig")
	tap := rapid.SampledFrom([]sim.Tap{sim.TapChannel, sim.TapOutput, sim.TapWire}).Draw(t, "tap")
	chain, trace := sim.NewChain(tap, rig), sim.NewTrace(tap, rig, rapid.SampledFrom([]int{2, 1 << 10}).Draw(t, "bins"))
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

// openRig has ranges for thresholds.
func openRig() sim.Rig {
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	rig.Camera.LongPress = sim.Interval{Low: 1200 * sim.Millisecond, High: 1500 * sim.Millisecond}
	return rig
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
		v := New(rapid.SliceOfN(rapid.Custom(drawOddLog), 1, 3).Draw(t, "logs"), refuse)
		screentest.Fuzz(t, v, "ePptTfF+-ab12cswi][?eE", func() {
			requireOnTheLog(t, v)
		})
	})
}

func requireOnTheLog(t *rapid.T, v *Viewer) {
	view := v.current()
	require.True(t, view.cursor >= 0 && view.cursor <= view.log.Replay.End, "the cursor at %d", view.cursor)
	require.GreaterOrEqual(t, view.window.from, sim.Micros(0))
	require.GreaterOrEqual(t, view.window.span, sim.Micros(view.window.columns))
}

// A season in one log: a thousand takes, visited one by one.
func TestTheViewerGoesThroughAThousandTakes(t *testing.T) {
	moves := []move{{0, 1000}}
	for n := range sim.Micros(2000) {
		at := 10*sim.Second + n*4*sim.Second
		moves = append(moves, move{at, 2000}, move{at + 300*sim.Millisecond, 1000})
	}
	log := replayed("season.csv", heron(), 10*sim.Second+2000*4*sim.Second, moves)
	require.Len(t, log.Replay.Takes, 1000)
	v := New([]flight.Flight{log}, nil)
	term.Print(v, 120, 40, screentest.Unicode)
	for _, take := range log.Replay.Takes {
		v.Handle(term.KeyEvent{Name: "t"})
		require.Equal(t, take.Start, v.current().cursor)
	}
	require.Contains(t, term.Print(v, 120, 40, screentest.Unicode), "1000 takes")
	v.Handle(term.KeyEvent{Name: "t"})
	require.Contains(t, term.Print(v, 120, 40, screentest.Unicode), "no further take")
}

// All tiny sizes.
func TestTheViewerAtEveryTinySize(t *testing.T) {
	v := New([]flight.Flight{regatta()}, nil)
	keys := []string{"e", "p", "f", "1", "t", "2", "b", "i", "enter", "+", "down", "?", "right", "?", "pgdn", "a", "end", "-"}
	n := 0
	for width := range 42 {
		for height := range 14 {
			v.Handle(term.ResizeEvent{Width: width, Height: height})
			for _, action := range []term.PointerAction{term.PointerPress, term.PointerDrag, term.WheelUp, term.WheelDown} {
				v.Handle(term.PointerEvent{X: width - 1, Y: height - 1, Action: action})
				v.Handle(term.KeyEvent{Name: keys[n%len(keys)]})
				n++
				v.Draw(term.NewCanvas(width, height, screentest.Unicode))
			}
		}
	}
}

// A click on a terminal that has become tiny, with the last lane selected.
func TestAClickOnATinyViewer(t *testing.T) {
	for height := range 12 {
		v := New([]flight.Flight{regatta()}, nil)
		v.current().selected = len(v.current().picture.Lanes) - 1
		v.Handle(term.ResizeEvent{At: 0, Width: 80, Height: height})
		for y := range height {
			v.Handle(term.PointerEvent{At: 0, X: 20, Y: y, Action: term.PointerPress})
		}
	}
}

func TestDrawsAtEverySize(t *testing.T) {
	screentest.CheckEverySize(t, func() term.Program { return New([]flight.Flight{regatta(), regatta()}, nil) })
}

func TestQuitsLikeAllScreens(t *testing.T) {
	screentest.CheckQuits(t, New([]flight.Flight{regatta()}, nil))
}
