package term

import (
	"sync"

	"github.com/gdamore/tcell/v2"
)

// steadyTty returns the last size of a terminal that has gone. The screen library
// reads the size in two places; if the terminal disappeared in between, its buffer
// would be smaller than what it draws, and drawing would never end.
type steadyTty struct {
	tcell.Tty
	mu   sync.Mutex
	last tcell.WindowSize
}

// WindowSize returns the size of the terminal, or the last one it had.
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
