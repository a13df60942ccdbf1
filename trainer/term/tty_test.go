//go:build unix

package term

import (
	"errors"
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"
)

// goneTty is a terminal that tells its sizes one after the other, and then is
// gone.
type goneTty struct {
	sizes []tcell.WindowSize
	wait  chan struct{}
}

func (t *goneTty) Start() error                { return nil }
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

// A terminal that goes just after it told another size leaves a screen that can
// still be drawn to and left: it used to draw without end.
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
