package session

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"
)

// arrival is data that arrives from a link at once.
type arrival struct {
	from string // who sent it; "" if the link has a single sender
	data []byte
	rows bool // it consists of whole rows, as a datagram does
	// torn says that it does not continue the arrival before: an unfinished row is
	// dropped.
	torn bool
}

// link is a source of bytes. If it disappears and comes back, it tells the session.
type link interface {
	// next waits for the next arrival. The error is io.EOF at the end, or says why
	// the link cannot continue.
	next() (arrival, error)
	io.Closer
}

// lookAgain is the interval of checks for more data in a file, and for the
// return of a device.
const lookAgain = 50 * time.Millisecond

// pause waits for lookAgain; it returns false once the session is over.
func (s *Session) pause() bool {
	select {
	case <-s.ctx.Done():
		return false
	case <-time.After(lookAgain):
		return true
	}
}

// stream is a link that ends: standard input, a pipe, a file that is not followed.
type stream struct {
	io.ReadCloser
	buffer [64 << 10]byte
}

func (l *stream) next() (arrival, error) {
	n, err := l.Read(l.buffer[:])
	if n > 0 {
		return arrival{data: bytes.Clone(l.buffer[:n])}, nil
	}
	return arrival{}, err
}

// Stream returns an input that reads a stream to its end.
func Stream(name string, from io.Reader, opts Options) Input {
	return opts.input(name, firstSeconds, func(*Session) (link, error) {
		return &stream{ReadCloser: io.NopCloser(from)}, nil
	})
}

// opened returns an input that reads a file or a pipe to its end. Opening a pipe
// waits for its writer.
func opened(path string, opts Options) Input {
	return opts.input(path, 0, func(s *Session) (link, error) {
		switch info, err := os.Stat(path); {
		case err == nil && info.Mode()&os.ModeNamedPipe != 0:
			s.setTrouble("waiting for another program to write to " + path)
			defer s.setTrouble("")
		case err == nil && info.Mode().IsRegular():
			s.readsWhole()
		}
		file, err := os.Open(path)
		return &stream{ReadCloser: file}, err
	})
}

// pump passes the data of a link to a receiver until the link ends or the
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

// listen passes on the data of a link and returns why it ended.
func (s *Session) listen(open func(*Session) (link, error), arrivals chan<- arrival) error {
	l, err := open(s)
	if err != nil {
		return fmt.Errorf("cannot read the source: %w", err)
	}
	stop := context.AfterFunc(s.ctx, func() { l.Close() }) // ends a blocked read
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
