//go:build unix

package term

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/flight"
)

// What a terminal can do to a program: be as small as can be, change its size
// all the time, send any key, and go away.

// Every screen draws at every size, whatever was typed and pointed at before.
func TestEveryScreenDrawsAtEverySize(t *testing.T) {
	folder := t.TempDir()
	for _, screen := range []struct {
		name string
		open func() Program
	}{
		{"view", func() Program { return NewViewer([]flight.Flight{regatta(), regatta()}, nil) }},
		{"practise", func() Program { return practiseFlicks(folder) }},
		{"live", func() Program {
			f := inFlight(heron(), sim.Second, move{500 * sim.Millisecond, 2000})
			return watching(f, 80, 24)
		}},
	} {
		t.Run(screen.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				p := screen.open()
				width, height := 80, 24
				for i := range rapid.IntRange(1, 60).Draw(t, "events") {
					event := drawEvent(t, sim.Micros(i)*90*sim.Millisecond, width, height)
					if size, isSize := event.(ResizeEvent); isSize {
						width, height = size.Width, size.Height
					}
					if !p.Handle(event) {
						return
					}
					p.Draw(NewCanvas(width, height, unicodeGlyphs))
				}
			})
		})
	}
}

// A terminal that is made tiny, and pointed at with the last lane selected.
func TestAClickOnATinyViewer(t *testing.T) {
	for height := range 12 {
		v := NewViewer([]flight.Flight{regatta()}, nil)
		v.current().selected = len(v.current().picture.Lanes) - 1
		v.Handle(ResizeEvent{0, 80, height})
		for y := range height {
			v.Handle(PointerEvent{0, 20, y, PointerPress})
		}
	}
}

func TestATerminalOfOneCharacter(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.WaitFor("? help", 1)
	c.Resize(1, 1)
	c.Type("e+-")
	c.Resize(80, 24)
	c.WaitFor("? help", 2)
	quit(t, c)
	c.RequireRestored()
}

func TestAResizeStorm(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.WaitFor("? help", 1)
	random := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		c.Resize(uint16(random.IntN(200)), uint16(random.IntN(60)))
		c.Type("e")
	}
	c.Resize(80, 24)
	quit(t, c)
	c.RequireRestored()
}

// A terminal that goes away, as a window that is closed, ends the program.
func TestATerminalThatGoesEndsTheProgram(t *testing.T) {
	t.Parallel()
	c := program(t, "view")
	c.WaitFor("? help", 1)
	c.HangUp()
	c.WaitForEnd()
}
