package chanlog

import (
	"io"
	"sync/atomic"
)

// pieces reads a stream piece by piece; where it is told to, in a goroutine of
// its own, ahead of who takes them.
type pieces struct {
	r     io.Reader
	size  int // bytes that are read at once, at most
	ahead bool
	spare []byte // a buffer for the next piece, where nothing is read ahead

	full  chan piece
	empty chan []byte
	quit  chan struct{} // nil where nothing is read ahead, or it was stopped
	// fast, once it is known, reads rows of a piece where others wait, so that
	// who takes them has more to do than who reads them.
	fast atomic.Pointer[fastRows]
}

// piece is what was read at once, buf[begin:end], with room before it, and why
// nothing follows, if nothing does.
type piece struct {
	buf        []byte
	begin, end int
	err        error
	stretch    stretch
}

// aheadBuffers are for a piece that waits, one that is being read, and one more,
// so that no side waits for the other each time.
const aheadBuffers = 3

// start begins to read a stream.
func (p *pieces) start(r io.Reader) {
	p.r = r
	if !p.ahead {
		return
	}
	p.full = make(chan piece, aheadBuffers)
	p.empty = make(chan []byte, aheadBuffers+1) // that of who takes pieces is one more
	p.quit = make(chan struct{})
	for range aheadBuffers {
		p.empty <- nil
	}
	go p.run(p.quit)
}

// run reads until nothing follows, or nobody wants it.
func (p *pieces) run(quit <-chan struct{}) {
	ahead := rowsAhead{latest: &p.fast}
	for {
		select {
		case buf := <-p.empty:
			next := p.read(buf)
			if len(p.full) > 1 { // with one alone, who takes it would soon wait for this one
				next.stretch = ahead.read(&next)
			}
			p.full <- next // has room for all there are
			if next.err != nil {
				return
			}
		case <-quit:
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

// recycle takes a buffer that is not needed any more.
func (p *pieces) recycle(buf []byte) {
	if p.ahead {
		p.empty <- buf
	} else {
		p.spare = buf
	}
}

// newBuffer returns a buffer with as much behind it as may be looked at.
func newBuffer(size int) []byte { return make([]byte, size, size+len(window{})) }

// stop ends the reading ahead, at the latest when the read that is under way
// returns.
func (p *pieces) stop() {
	if p.quit != nil {
		close(p.quit)
		p.quit = nil
	}
}

// read reads once, so that a live pipe is not waited for longer than needed.
func (p *pieces) read(buf []byte) piece {
	room := p.size / 64 // a part of a line, as a rule
	if len(buf) < room+p.size {
		buf = newBuffer(room + p.size)
	}
	const patience = 100 // reads without a byte, as bufio has it
	for range patience {
		n, err := p.r.Read(buf[room:])
		if n > 0 || err != nil {
			return piece{buf: buf, begin: room, end: room + n, err: err}
		}
	}
	return piece{buf: buf, begin: room, end: room, err: io.ErrNoProgress}
}
