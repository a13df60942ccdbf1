package session

import (
	"context"
	"fmt"
	"io"
	"os"

	"flicktally/sim/source"
)

// Input is where samples come from.
type Input struct {
	Name string // for people
	// read brings what comes to the session, and says when it has ended.
	read func(*Session)
}

// Opener finds out what a stream holds; the name is for its errors.
type Opener func(stream io.Reader, name string) (*source.Source, error)

// Stream returns what reads a stream up to its end.
func Stream(name string, stream io.Reader, open Opener) Input {
	return streamInput(name, open, func(context.Context) (io.ReadCloser, error) { return io.NopCloser(stream), nil })
}

// Path returns what reads a file, or a pipe, up to its end. Opening a pipe waits
// for whoever writes.
func Path(path string, open Opener) Input {
	return streamInput(path, open, func(context.Context) (io.ReadCloser, error) { return os.Open(path) })
}

// streamInput reads a stream of any kind that a log can be of. Opening may wait.
func streamInput(name string, open Opener, stream func(context.Context) (io.ReadCloser, error)) Input {
	return Input{name, func(s *Session) { s.end(s.readStream(name, open, stream)) }}
}

// readStream returns what ends the stream, nil if it ended as it should.
func (s *Session) readStream(name string, open Opener, begin func(context.Context) (io.ReadCloser, error)) error {
	stream, err := begin(s.ctx)
	if err != nil {
		return fmt.Errorf("cannot read the source: %w", err)
	}
	context.AfterFunc(s.ctx, func() { stream.Close() }) // ends a read that waits
	src, err := open(stream, name)
	if err != nil {
		return err
	}
	s.begin(src.Tap(), src.Rig(s.rig))
	for {
		block, err := src.Next()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return err
		case !s.take(block, src.Reading()):
			return nil
		}
	}
}
