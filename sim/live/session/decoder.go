package session

import (
	"errors"
	"io"
	"iter"

	"flicktally/sim"
	"flicktally/sim/source"
)

// decoder feeds bytes to a source. As a source reads its stream, it runs as a
// coroutine that stops where it needs more bytes.
type decoder struct {
	feed *feed
	step func() (decoded, bool)
	stop func()
	src  *source.Source // nil until the format is known
	rows int            // number of samples so far
}

// decoded is a block or an error of a source. The zero value asks for more bytes.
type decoded struct {
	block sim.Block
	err   error // io.EOF at the end
}

func newDecoder(name string, opts source.Options) *decoder {
	d := &decoder{feed: &feed{}}
	opts.Live = true
	d.step, d.stop = iter.Pull(func(yield func(decoded) bool) {
		d.feed.wait = func() bool { return yield(decoded{}) }
		src, err := source.Open(d.feed, name, opts)
		if err != nil {
			yield(decoded{err: err})
			return
		}
		d.src = src
		for {
			block, err := src.Next()
			if !yield(decoded{block, err}) || err != nil {
				return
			}
		}
	})
	return d
}

// push gives the source bytes and calls each with the blocks that they complete.
// An error ends the source.
func (d *decoder) push(data []byte, each func(sim.Block)) error {
	d.feed.data = data
	return d.run(each)
}

// end says that no more bytes follow. The error is nil if the source ends
// normally.
func (d *decoder) end(each func(sim.Block)) error {
	d.feed.ended = true
	if err := d.run(each); err != io.EOF {
		return err
	}
	return nil
}

func (d *decoder) run(each func(sim.Block)) error {
	for {
		next, ok := d.step()
		switch {
		case !ok:
			panic("internal error: a source was given bytes after its end")
		case next.err != nil:
			return next.err
		case len(next.block.Samples) == 0:
			return nil
		}
		d.rows += len(next.block.Samples)
		each(next.block)
	}
}

// summary returns the summary of the source; nil until the format is known.
func (d *decoder) summary() any {
	if d.src == nil {
		return nil
	}
	return d.src.Summary()
}

// feed is the stream that a decoder's source reads.
type feed struct {
	data  []byte
	ended bool
	wait  func() bool
}

var errStopped = errors.New("the reading was stopped")

func (f *feed) Read(p []byte) (int, error) {
	for len(f.data) == 0 {
		if f.ended {
			return 0, io.EOF
		}
		if !f.wait() {
			return 0, errStopped
		}
	}
	n := copy(p, f.data)
	f.data = f.data[n:]
	return n, nil
}

// reading describes how the stream was read so far.
func (d *decoder) reading() sim.Reading {
	if d.src == nil {
		return sim.Reading{}
	}
	return d.src.Reading()
}
