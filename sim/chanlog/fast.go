package chanlog

import (
	"slices"
	"sync/atomic"
)

// fastRows reads plain rows in the fast way. It does not need the rows before
// them, so a goroutine can read rows ahead.
type fastRows struct {
	scanner   rowScanner
	unchanged unchangedRows
}

// fastRow is a row and the rows after it that are left out.
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
		if f.scanner.thins {
			unchanged, skip := f.unchanged.after(data, &f.scanner, next.channel)
			next.rows += unchanged
			next.size += skip
		}
		out = out[:len(out)+1]
		data = data[next.size:]
	}
	return out
}

// aheadRows is rows that were read ahead; they start at an offset of a buffer.
type aheadRows struct {
	begin int
	rows  []fastRow
}

// aheadReader reads rows of pieces ahead.
type aheadReader struct {
	latest *atomic.Pointer[fastRows]
	like   *fastRows
	fast   *fastRows                   // a copy of like
	rows   [aheadBuffers + 1][]fastRow // buffers, for the rows of each piece
	count  int
}

// read reads rows from the first line that starts in a piece.
func (a *aheadReader) read(p *piece) aheadRows {
	latest := a.latest.Load()
	if latest == nil {
		return aheadRows{}
	}
	if latest != a.like {
		a.like, a.fast = latest, latest.clone()
	}
	rows := &a.rows[a.count%len(a.rows)]
	a.count++
	if *rows == nil {
		*rows = make([]fastRow, 0, blockSize)
	}
	data := p.buf[p.begin:p.end]
	begin := firstLine(data)
	return aheadRows{p.begin + begin, a.fast.read(data[begin:], *rows)}
}
