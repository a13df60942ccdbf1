package livelines

import (
	"io"
	"sync"

	"flicktally/sim/files"
	"flicktally/sim/tell"
)

// Outlet passes on output without ever waiting for its reader: the record and the
// final file must not depend on one.
type Outlet struct {
	to   io.Writer
	wake chan struct{}
	done sync.WaitGroup

	mu      sync.Mutex
	waiting []byte
	dropped int
	closed  bool
	err     error
}

// mostWaiting limits the output that waits to be read, to some twenty minutes of
// lines.
const mostWaiting = 8 << 20

// NewOutlet returns an outlet to a writer.
func NewOutlet(to io.Writer) *Outlet {
	o := &Outlet{to: to, wake: make(chan struct{}, 1)}
	o.done.Go(o.run)
	return o
}

// Write never waits. Its error is the one that ended the output.
func (o *Outlet) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	switch {
	case o.err != nil:
		return 0, o.err
	case len(o.waiting)+len(p) > mostWaiting:
		o.dropped++
	default:
		o.waiting = append(o.waiting, p...)
		o.nudge()
	}
	return len(p), nil
}

func (o *Outlet) nudge() {
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

// run writes the waiting output until the outlet is closed or the output fails.
func (o *Outlet) run() {
	for range o.wake {
		o.mu.Lock()
		next, closed := o.waiting, o.closed
		o.waiting = nil
		o.mu.Unlock()
		if len(next) > 0 {
			if _, err := o.to.Write(next); err != nil {
				o.mu.Lock()
				o.err = err
				o.mu.Unlock()
				return
			}
			o.nudge()
		} else if closed {
			return
		}
	}
}

// Close waits until everything is read. It returns the error that ended the output,
// unless the reader has gone.
func (o *Outlet) Close(note func(format string, args ...any)) error {
	o.mu.Lock()
	o.closed = true
	o.mu.Unlock()
	o.nudge()
	o.done.Wait()
	if o.dropped > 0 {
		note("%s left out of standard output, which nobody read", tell.Counted(o.dropped, "line", "lines"))
	}
	if o.err != nil && !files.IsClosedPipe(o.err) {
		return o.err
	}
	return nil
}
