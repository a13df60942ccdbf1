package session

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"
)

// arrival is what comes from a link at once.
type arrival struct {
	from string // who sent it; "" where a link has one sender
	data []byte
	rows bool // it begins and ends with whole rows, as a datagram does
	// torn says that it does not follow what came before: a row that was begun
	// does not go on.
	torn bool
}

// link is where bytes come from. It may go and come back by itself, which it
// tells the session.
type link interface {
	// next waits for what comes next. At the end it returns io.EOF, or why the
	// link cannot go on.
	next() (arrival, error)
	io.Closer
}

// lookAgain is how often a file is looked at for more, and a device that went
// for its return.
const lookAgain = 50 * time.Millisecond

// pause waits a moment; it is false once the session is over.
func (s *Session) pause() bool {
	select {
	case <-s.ctx.Done():
		return false
	case <-time.After(lookAgain):
		return true
	}
}

// stream is a link that ends: standard input, a pipe, a file as it is.
type stream struct {
	io.ReadCloser
	buffer [64 << 10]byte
}

func (l *stream) next() (arrival, error) {
	n, err := l.Read(l.buffer[:])
	if n > 0 {
		return arrival{data: append([]byte(nil), l.buffer[:n]...)}, nil
	}
	return arrival{}, err
}

// Stream returns what reads a stream up to its end.
func Stream(name string, from io.Reader, opts Options) Input {
	return opts.input(name, firstSeconds, func(*Session) (link, error) {
		return &stream{ReadCloser: io.NopCloser(from)}, nil
	})
}

// opened returns what reads a file, or a pipe, up to its end. Opening a pipe waits
// for whoever writes.
func opened(path string, opts Options) Input {
	return opts.input(path, 0, func(s *Session) (link, error) {
		switch info, err := os.Stat(path); {
		case err == nil && info.Mode()&os.ModeNamedPipe != 0:
			s.setTrouble("waiting for somebody to write into " + path)
			defer s.setTrouble("")
		case err == nil && info.Mode().IsRegular():
			s.readsWhole()
		}
		file, err := os.Open(path)
		return &stream{ReadCloser: file}, err
	})
}

// pump brings what comes from a link to a receiver, until the link ends or the
// session is over. It returns why the link ended.
func (s *Session) pump(open func(*Session) (link, error), r *receiver) error {
	arrivals, failed := make(chan arrival), make(chan error, 1)
	s.work(func() { failed <- s.listen(open, arrivals) })
	tick := time.NewTicker(lookAgain)
	defer tick.Stop()
	for {
		var err error
		select {
		case <-s.ctx.Done():
			return nil
		case a := <-arrivals:
			err = r.arrive(s.clock(), a)
		case <-tick.C:
			err = r.tick(s.clock())
		case err := <-failed:
			return r.finish(s.clock(), err)
		}
		if err != nil {
			return err
		}
	}
}

// listen hands on what comes from a link, and returns how it ends.
func (s *Session) listen(open func(*Session) (link, error), arrivals chan<- arrival) error {
	l, err := open(s)
	if err != nil {
		return fmt.Errorf("cannot read the source: %w", err)
	}
	stop := context.AfterFunc(s.ctx, func() { l.Close() }) // ends a read that waits
	defer func() {
		if stop() {
			l.Close()
		}
	}()
	for {
		a, err := l.next()
		if errors.Is(err, io.EOF) {
			return io.EOF
		}
		if err != nil {
			return err
		}
		select {
		case arrivals <- a:
		case <-s.ctx.Done():
			return io.EOF
		}
	}
}
