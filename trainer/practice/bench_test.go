package practice

import (
	"testing"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// BenchmarkFlickToScreen measures the way from a key to the screen during a drill:
// judge the flick, draw the picture, show the changed cells. At 60 Hz a frame takes
// 16.7 ms.
func BenchmarkFlickToScreen(b *testing.B) {
	p, painter := onSimulation(b, trainer.KindFlick)
	for b.Loop() {
		p.now += 300 * ms
		p.Handle(term.KeyEvent{At: p.now, Name: "space"})
		painter.Paint(p)
		if p.now > sec*100 {
			b.StopTimer()
			p, painter = onSimulation(b, trainer.KindFlick)
			b.StartTimer()
		}
	}
}

// BenchmarkFrame measures one picture of a running hold.
func BenchmarkFrame(b *testing.B) {
	p, painter := onSimulation(b, trainer.KindFlick)
	p.Handle(term.KeyEvent{At: p.now, Name: "space"})
	start := p.now
	for i := 0; b.Loop(); i++ {
		p.now = start + sim.Micros(i%40)*runningFrame
		p.Screen.now = p.now
		painter.Paint(p)
	}
}

// onSimulation shows a drill at its first cue on a screen of 200 by 60.
func onSimulation(b *testing.B, kind trainer.Kind) (*pilot, *term.Painter) {
	screen := tcell.NewSimulationScreen("UTF-8")
	if err := screen.Init(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(screen.Fini)
	screen.SetSize(200, 60)
	p := practising(b, kind, 200, 60)
	p.waitFor(trainer.PhaseAct)
	return p, term.NewPainter(screen)
}
