package chanlog

import (
	"context"
	"io"
	"sync/atomic"
)

// pieces reads a stream piece by piece, optionally ahead of the consumer in a
// separate goroutine.
type pieces struct {
	r     io.Reader
	size  int // most bytes read at once
	ahead bool
	spare []byte // a buffer for the next piece, if nothing is read ahead

	full   chan piece
	empty  chan []byte
	cancel context.CancelFunc // nil if nothing is read ahead
	// fast, once known, reads the rows of a piece while others wait, to take
	// work off the consumer.
	fast atomic.Pointer[fastRows]
}

// piece is the data of one read, buf[begin:end].
type piece struct {
	buf        []byte // with room before the data
	begin, end int
	err        error // why nothing follows; nil if something may
	ahead      aheadRows
}

// aheadBuffers is the number of buffers: one that waits, one that is being read,
// and one more, so that neither side waits for the other every time.
const aheadBuffers = 3

// start starts to read a stream.
func (p *pieces) start(r io.Reader) {
	p.r = r
	if !p.ahead {
		return
	}
	p.full = make(chan piece, aheadBuffers)
	p.empty = make(chan []byte, aheadBuffers+1) // plus the consumer's own
	ctx, cancel := context.WithCancel(context.Background())
	p.cancel = cancel
	for range aheadBuffers {
		p.empty <- nil
	}
	go p.run(ctx)
}

// run reads until nothing follows or the reading is stopped.
func (p *pieces) run(ctx context.Context) {
	ahead := aheadReader{latest: &p.fast}
	for {
		select {
		case buf := <-p.empty:
			next := p.read(buf)
			if len(p.full) > 1 { // with only one waiting, the consumer would soon block
				next.ahead = ahead.read(&next)
			}
			p.full <- next // has room for all pieces
			if next.err != nil {
				return
			}
		case <-ctx.Done():
			return
		}
	}
}

// next returns the next piece, whose buffer is then the caller's.
func (p *pieces) next() piece {
	if p.ahead {
		return <-p.full
	}
	return p.read(p.spare)
}

// recycle takes back a buffer.
func (p *pieces) recycle(buf []byte) {
	if p.ahead {
		p.empty <- buf
	} else {
		p.spare = buf
	}
}

// newBuffer returns a buffer with room after it for a [window].
func newBuffer(size int) []byte { return make([]byte, size, size+len(window{})) }

// stop stops the reading ahead, at the latest when the current read returns.
func (p *pieces) stop() {
	if p.cancel != nil {
		p.cancel()
	}
}

// read reads once, so that it does not delay the data of a live pipe.
func (p *pieces) read(buf []byte) piece {
	room := p.size / 64 // enough for part of a line
	if len(buf) < room+p.size {
		buf = newBuffer(room + p.size)
	}
	const patience = 100 // reads without a byte, as in bufio
	for range patience {
		n, err := p.r.Read(buf[room:])
		if n > 0 || err != nil {
			return piece{buf: buf, begin: room, end: room + n, err: err}
		}
	}
	return piece{buf: buf, begin: room, end: room, err: io.ErrNoProgress}
}
