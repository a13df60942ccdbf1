package practice

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

const (
	ms  = sim.Millisecond
	sec = sim.Second
)

func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	return rig
}

// memory is a notebook in memory.
type memory struct {
	known trainer.Known
	drill *trainer.Drill // the latest that began
	kept  int            // flicks that were written down
	fails error
}

func (m *memory) Known() (trainer.Known, error) { return m.known, nil }

func (m *memory) Begin(d *trainer.Drill) (func() error, error) {
	m.drill = d
	return func() error {
		if m.fails == nil {
			m.kept = len(d.Flicks())
		}
		return m.fails
	}, m.fails
}

// pilot practises by sending events, with its own clock.
type pilot struct {
	*Screen
	t    testing.TB
	book *memory
	now  sim.Micros
}

// practising starts practice with a drill, "" for the menu, on a screen of a size.
func practising(t testing.TB, kind trainer.Kind, width, height int, more ...func(*Options)) *pilot {
	t.Helper()
	book := &memory{}
	book.known.Practised = kind == "" // or it would begin with the guided minute
	options := Options{
		Setup:    trainer.Setup{Kind: kind, Rig: heron(), Seed: 1, Resolution: 9 * ms},
		Notebook: book,
	}
	for _, change := range more {
		change(&options)
	}
	p, err := New(options)
	require.NoError(t, err)
	pilot := &pilot{Screen: p, t: t, book: book}
	pilot.Handle(term.ResizeEvent{Width: width, Height: height})
	return pilot
}

// wait lets time pass: the program is woken when it asks.
func (p *pilot) wait(d sim.Micros) {
	for end := p.now + d; p.now < end; {
		p.now = min(end, max(p.now+1, p.Wake()))
		p.Handle(term.TickEvent{At: p.now})
	}
}

// waitFor lets time pass until the drill is in a phase.
func (p *pilot) waitFor(phase trainer.Phase) {
	p.t.Helper()
	for end := p.now + 30*sec; p.now < end; p.wait(20 * ms) {
		if p.book.drill.View(p.now).Phase == phase {
			return
		}
	}
	require.Fail(p.t, "the phase did not come", "%d", phase)
}

// press presses keys at once, and reports whether the program continues.
func (p *pilot) press(keys ...string) bool {
	goesOn := true
	for _, key := range keys {
		goesOn = p.Handle(term.KeyEvent{At: p.now, Name: key})
	}
	return goesOn
}

// flick presses and releases the key that is the switch.
func (p *pilot) flick(hold sim.Micros) {
	p.press("space")
	p.wait(hold)
	p.press("space")
}

// onCue waits for the cue, flicks, and waits for the verdict.
func (p *pilot) onCue(holds ...sim.Micros) {
	p.t.Helper()
	for _, hold := range holds {
		p.waitFor(trainer.PhaseAct)
		p.flick(hold)
		p.wait(100 * ms)
	}
}

// picture returns the current picture.
func (p *pilot) picture(glyphs *term.Glyphs) string {
	canvas := term.NewCanvas(p.width, p.height, glyphs)
	p.Draw(canvas)
	return canvas.String()
}

func (p *pilot) shows(texts ...string) {
	p.t.Helper()
	for _, text := range texts {
		require.Contains(p.t, p.picture(screentest.Unicode), text)
	}
}
