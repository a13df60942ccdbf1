package livelines

import (
	"io"
	"sync"

	"flicktally/sim/files"
	"flicktally/sim/tell"
)

// Outlet is a writer that never waits for the reader of its output, as the record and
// the final file must not depend on one.
type Outlet struct {
	to   io.Writer
	done sync.WaitGroup

	mu      sync.Mutex
	changed *sync.Cond // there is output, or the outlet is closed
	waiting []byte
	dropped int
	closed  bool
	err     error
}

// mostWaiting limits the output that waits, to some twenty minutes of lines.
const mostWaiting = 8 << 20

// NewOutlet returns an outlet to a writer.
func NewOutlet(to io.Writer) *Outlet {
	o := &Outlet{to: to}
	o.changed = sync.NewCond(&o.mu)
	o.done.Go(o.run)
	return o
}

// Write never waits. The error is the one that ended the output.
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
		o.changed.Signal()
	}
	return len(p), nil
}

// failed returns the error that ended the output, nil if none did.
func (o *Outlet) failed() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.err
}

// run writes the waiting output until the outlet is closed or the output fails.
func (o *Outlet) run() {
	o.mu.Lock()
	defer o.mu.Unlock()
	for o.err == nil {
		for len(o.waiting) == 0 {
			if o.closed {
				return
			}
			o.changed.Wait()
		}
		next := o.waiting
		o.waiting = nil
		o.mu.Unlock()
		_, err := o.to.Write(next)
		o.mu.Lock()
		o.err = err
	}
}

// Close waits until the output is written. It returns the error that ended the
// output, unless that is a closed pipe.
func (o *Outlet) Close(note func(format string, args ...any)) error {
	o.mu.Lock()
	o.closed = true
	o.changed.Signal()
	o.mu.Unlock()
	o.done.Wait()
	if o.dropped > 0 {
		note("%s dropped, as standard output was not read", tell.Counted(o.dropped, "line", "lines"))
	}
	if o.err != nil && !files.IsClosedPipe(o.err) {
		return o.err
	}
	return nil
}
