package chanlog

import (
	"slices"
	"sync/atomic"
)

// fastRows reads plain rows in the fast way. It does not depend on earlier
// rows, so a goroutine may read rows ahead.
type fastRows struct {
	scanner   rowScanner
	unchanged unchangedRows
}

// fastRow is a row, with its time as counted by the log, and the rows after it
// that are left out.
type fastRow struct {
	row
	rows int // 1, plus those left out
	size int // of all of them
}

// clone returns a copy that shares nothing that changes.
func (f *fastRows) clone() *fastRows {
	c := *f
	c.scanner.wanted = slices.Clone(f.scanner.wanted)
	for i := range c.scanner.wanted {
		c.scanner.wanted[i].known = slices.Clone(f.scanner.wanted[i].known)
	}
	c.scanner.shape.fields = slices.Clone(f.scanner.shape.fields)
	c.unchanged.wide = slices.Clone(f.unchanged.wide)
	return &c
}

// read appends the rows at the start of data to out, up to the first that is
// not plain, while out has room.
func (f *fastRows) read(data []byte, out []fastRow) []fastRow {
	for len(out) < cap(out) {
		next := &out[:len(out)+1][len(out)]
		size := f.scanner.scan(data, &next.row)
		if size == 0 {
			break
		}
		next.rows, next.size = 1, size
		if f.scanner.learns {
			unchanged, skip := f.unchanged.after(data, &f.scanner, next.channel)
			next.rows += unchanged
			next.size += skip
		}
		out = out[:len(out)+1]
		data = data[next.size:]
	}
	return out
}

// stretch is rows that were read ahead; they begin at an offset of a buffer.
type stretch struct {
	begin int
	rows  []fastRow
}

// rowsAhead reads rows of pieces ahead, with the latest fastRows that it was
// given.
type rowsAhead struct {
	latest *atomic.Pointer[fastRows]
	like   *fastRows
	fast   *fastRows // a copy of like
	// rooms has a buffer for the rows of each piece.
	rooms [aheadBuffers + 1][]fastRow
	count int
}

// read reads rows from the first line that begins in a piece.
func (a *rowsAhead) read(p *piece) stretch {
	latest := a.latest.Load()
	if latest == nil {
		return stretch{}
	}
	if latest != a.like {
		a.like, a.fast = latest, latest.clone()
	}
	data := p.buf[p.begin:p.end]
	begin := firstLine(data)
	return stretch{p.begin + begin, a.fast.read(data[begin:], a.room())}
}

func (a *rowsAhead) room() []fastRow {
	room := &a.rooms[a.count%len(a.rooms)]
	a.count++
	if *room == nil {
		*room = make([]fastRow, 0, blockSize)
	}
	return *room
}
