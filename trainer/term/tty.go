package term

import (
	"sync"

	"github.com/gdamore/tcell/v2"
)

// steadyTty goes on telling the last size of a terminal that has gone. The
// screen takes a size in two places; where the terminal goes in between, it
// would hold a picture smaller than what it draws, and draw without end.
type steadyTty struct {
	tcell.Tty
	mu   sync.Mutex
	last tcell.WindowSize
}

// WindowSize returns the size of the terminal, or the last one that it told.
func (t *steadyTty) WindowSize() (tcell.WindowSize, error) {
	size, err := t.Tty.WindowSize()
	t.mu.Lock()
	defer t.mu.Unlock()
	if err == nil {
		t.last = size
	}
	if t.last.Width == 0 || t.last.Height == 0 {
		return size, err
	}
	return t.last, nil
}
