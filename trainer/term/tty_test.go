//go:build unix

package term

import (
	"errors"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// goneTty is a terminal that reports some sizes, and then is gone.
type goneTty struct {
	sizes  []tcell.WindowSize
	wait   chan struct{}
	closed bool // it cannot be taken any more
}

func (t *goneTty) Start() error {
	if t.closed {
		return errors.New("input/output error")
	}
	return nil
}

func (t *goneTty) Stop() error                 { return nil }
func (t *goneTty) Drain() error                { return nil }
func (t *goneTty) Close() error                { return nil }
func (t *goneTty) NotifyResize(func())         {}
func (t *goneTty) Write(b []byte) (int, error) { return len(b), nil }

func (t *goneTty) Read([]byte) (int, error) {
	<-t.wait
	return 0, errors.New("input/output error")
}

func (t *goneTty) WindowSize() (tcell.WindowSize, error) {
	if len(t.sizes) == 0 {
		return tcell.WindowSize{}, errors.New("input/output error")
	}
	size := t.sizes[0]
	t.sizes = t.sizes[1:]
	return size, nil
}

// A terminal that goes just after it has reported another size leaves a screen that
// can still be drawn on and closed. Drawing used to never end.
func TestATerminalThatGoesWhileItIsTaken(t *testing.T) {
	large, small := tcell.WindowSize{Width: 100, Height: 30}, tcell.WindowSize{Width: 60, Height: 20}
	tty := &goneTty{sizes: []tcell.WindowSize{large, large}, wait: make(chan struct{})}
	t.Setenv("TERM", "xterm-256color")
	screen, err := tcell.NewTerminfoScreenFromTty(&steadyTty{Tty: tty})
	require.NoError(t, err)
	require.NoError(t, screen.Init())
	close(tty.wait)
	require.NoError(t, screen.Suspend())
	tty.sizes = []tcell.WindowSize{small}
	require.NoError(t, screen.Resume())
	screen.Sync()
	width, height := screen.Size()
	require.Equal(t, small, tcell.WindowSize{Width: width, Height: height})
	screen.Fini()
}

// A terminal that cannot be taken over again ends the session like a hangup, and
// nothing is drawn on it. Drawing used to never end.
func TestATerminalThatCannotBeTakenAgain(t *testing.T) {
	size := tcell.WindowSize{Width: 100, Height: 30}
	tty := &goneTty{sizes: []tcell.WindowSize{size, size}, wait: make(chan struct{})}
	t.Setenv("TERM", "xterm-256color")
	screen, err := tcell.NewTerminfoScreenFromTty(&steadyTty{Tty: tty})
	require.NoError(t, err)
	require.NoError(t, screen.Init())
	close(tty.wait)
	s := newSession(screen, func() sim.Micros { return 0 }, time.Time{}, newStamps())
	tty.closed = true
	s.retakeScreen()
	s.paint(fullPage{})
	require.Equal(t, syscall.SIGHUP, <-s.ends)
	screen.Fini()
}

// fullPage is a program that fills the screen.
type fullPage struct{}

func (fullPage) Handle(Event) bool { return true }
func (fullPage) Wake() sim.Micros  { return sim.Never }

func (fullPage) Draw(c *Canvas) {
	for y := range c.Height {
		c.Text(0, y, strings.Repeat("x", c.Width), Plain)
	}
}
