package viewer

import (
	"testing"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// busy is a log of an hour with a press every 20 ms or so: far more edges than a
// screen has columns.
func busy() flight.Flight {
	var r sim.Replay
	r.Rig, r.End = sim.DefaultRig(), sim.Hour
	r.States = []sim.StateChange{{At: 0, State: sim.StateStandby}}
	for at := 10 * sim.Millisecond; at < r.End; at += 20 * sim.Millisecond {
		down, up := sim.Edge{At: at, Pressed: true}, sim.Edge{At: at + 10*sim.Millisecond}
		r.Lanes.Position.Edges = append(r.Lanes.Position.Edges, down, up)
		r.Lanes.Line.Edges = append(r.Lanes.Line.Edges, down, up)
		r.Presses = append(r.Presses, sim.Press{N: len(r.Presses) + 1, Down: down.At, Up: up.At, Verdict: sim.VerdictShort})
	}
	return flight.Flight{File: "busy.csv", Replay: &r}
}

// BenchmarkPicture draws a whole picture of a log with 360,000 edges per lane, of all
// of it and close up.
func BenchmarkPicture(b *testing.B) {
	v := New([]flight.Flight{busy()}, nil)
	v.Handle(term.ResizeEvent{Width: 120, Height: 40})
	for _, view := range []struct {
		name string
		keys []string
	}{{"whole", nil}, {"close", []string{"p", "enter"}}} {
		b.Run(view.name, func(b *testing.B) {
			press(v, view.keys...)
			for b.Loop() {
				v.Draw(term.NewCanvas(120, 40, screentest.Unicode))
			}
		})
	}
}

// BenchmarkKeyToScreen measures the way from a key to the screen: handle the event,
// draw the picture, show the changed cells.
func BenchmarkKeyToScreen(b *testing.B) {
	screen := tcell.NewSimulationScreen("UTF-8")
	if err := screen.Init(); err != nil {
		b.Fatal(err)
	}
	defer screen.Fini()
	screen.SetSize(120, 40)
	painter := term.NewPainter(screen)
	v := New([]flight.Flight{regatta()}, nil)
	v.Handle(term.ResizeEvent{Width: 120, Height: 40})
	keys := []string{"right", "left"}
	for i := 0; b.Loop(); i++ {
		v.Handle(term.KeyEvent{Name: keys[i%2]})
		painter.Paint(v)
	}
}
