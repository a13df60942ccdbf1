package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"flicktally/sim/tell"
)

// outlet passes on what is printed without ever waiting for whoever reads it:
// the record and the final file must not depend on that.
type outlet struct {
	to   io.Writer
	wake chan struct{}
	done chan struct{}

	mu      sync.Mutex
	waiting []byte
	dropped int
	closed  bool
	err     error
}

// mostWaiting limits what waits to be read: some twenty minutes of lines.
const mostWaiting = 8 << 20

func newOutlet(to io.Writer) *outlet {
	o := &outlet{to: to, wake: make(chan struct{}, 1), done: make(chan struct{})}
	go o.run()
	return o
}

// Write never waits. Its error is the one that ended the output.
func (o *outlet) Write(p []byte) (int, error) {
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

func (o *outlet) nudge() {
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

// run writes what waits until the outlet is closed or the output ends.
func (o *outlet) run() {
	defer close(o.done)
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

// close waits until all is read. It returns the error that ended the output, but
// for that of a reader who went.
func (o *outlet) close(t *talk) error {
	o.mu.Lock()
	o.closed = true
	o.mu.Unlock()
	o.nudge()
	<-o.done
	if o.dropped > 0 {
		t.note("%s left out of standard output, which nobody read", tell.Counted(o.dropped, "line", "lines"))
	}
	if o.err != nil && !isClosedPipe(o.err) {
		return fmt.Errorf("cannot write the result: %w", o.err)
	}
	return nil
}

// neverWait returns an outlet to standard output, and lets notes go through one as
// well until they are restored.
func (t *talk) neverWait() (out *outlet, restore func()) {
	// A write to a pipe that nobody reads is an error, and must not end the program.
	signal.Notify(make(chan os.Signal, 1), syscall.SIGPIPE)
	direct := t.err
	notes := newOutlet(direct)
	t.err = notes
	return newOutlet(flushing{t.out}), func() {
		t.err = direct
		_ = notes.close(t) // of standard error nobody could be told
	}
}

// flushing writes through at once.
type flushing struct{ *bufio.Writer }

func (f flushing) Write(p []byte) (int, error) {
	n, err := f.Writer.Write(p)
	if err == nil {
		err = f.Flush()
	}
	return n, err
}
