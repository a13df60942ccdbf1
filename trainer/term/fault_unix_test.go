//go:build unix

package term

import (
	"math/rand/v2"
	"testing"
)

// Terminals that are tiny, change their size all the time, or go away.

func TestATerminalOfOneCharacter(t *testing.T) {
	t.Parallel()
	c := program(t, "screen")
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
	c := program(t, "screen")
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

// A terminal that goes away, like a window that is closed, ends the program.
func TestATerminalThatGoesEndsTheProgram(t *testing.T) {
	t.Parallel()
	c := program(t, "screen")
	c.WaitFor("? help", 1)
	c.HangUp()
	c.WaitForEnd()
}
