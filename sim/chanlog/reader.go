package chanlog

import (
	"bytes"
	"io"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// Options say where the numbers of a log are, and how strictly it is read.
type Options struct {
	// Spec must be valid ([sim.Rig.Validate]); that of [sim.DefaultRig] is a
	// beginning.
	Spec sim.LogSpec
	// Delimiter is the byte between fields; the zero value finds out.
	Delimiter Delimiter
	// Lenient skips and counts what cannot be read in a row, instead of ending
	// with an error there.
	Lenient bool
	// Thin lets the reader leave out samples, where that saves time.
	Thin sim.Thinning
	// Ahead has the log read, and decompressed, in a goroutine of its own, which
	// ends with the log or with [Reader.Close].
	Ahead bool
}

// Block is a run of samples of one segment.
type Block struct {
	Segment int // from 1
	// Samples are valid until the next call of [Reader.Next]; never empty.
	Samples []sim.Sample
	Omitted int // samples that were left out between them; see [Options.Thin]
}

// Reader reads a channel log as samples.
type Reader struct {
	opts    Options
	general bool // see tuning
	src     source
	search  search
	scanner rowScanner
	still   stillRows
	rows    rowReader
	clock   clock
	quotes  quoteFinder

	sum      Summary
	samples  []sim.Sample
	omitted  int  // of the block
	started  bool // the beginning was looked at for a byte order mark
	overlong bool // within a line that is too long, which is skipped
	err      error
}

// blockSize is the most samples that a block has: 48 KB, so that they are still
// at hand when the chain takes them.
const blockSize = 2048

// NewReader returns a reader of the log that r yields: CSV, as it is or
// compressed with gzip. Name stands in errors. The reader uses at most 16 MiB
// whatever its input is: lines are bounded by 1 MiB, columns by 20 000.
func NewReader(r io.Reader, name string, opts Options) *Reader {
	return newReader(r, name, opts, defaultTuning)
}

// Close ends what reads ahead. It does not close the stream, nor wait for a read
// of it that is under way. The reader must not be used after it.
func (r *Reader) Close() { r.src.pieces.stop() }

// tuning is what must make no difference to what is read; the tests vary it.
type tuning struct {
	buffer  int  // bytes that are read at once
	general bool // read no row the fast way
}

var defaultTuning = tuning{buffer: 128 << 10}

func newReader(r io.Reader, name string, opts Options, tune tuning) *Reader {
	out := &Reader{
		opts:    opts,
		general: tune.general,
		src:     newSource(r, name, tune.buffer, opts.Ahead),
		sum:     Summary{File: excerpt.Printable(name)},
		samples: make([]sim.Sample, 0, blockSize),
		still:   stillRows{thin: opts.Thin},
	}
	out.search = search{opts: opts, src: &out.src, sum: &out.sum}
	return out
}

// Next returns the next samples, in the order of the log: those that are there
// without reading on, where there are any. At the end of the log it returns
// [io.EOF]; else a [SyntaxError] or the error of the stream, after the samples
// before it. After an error it returns the same error again.
func (r *Reader) Next() (Block, error) {
	r.samples, r.omitted = r.samples[:0], 0
	for r.err == nil {
		r.advance()
		if len(r.samples) > 0 {
			return Block{Segment: int(r.sum.SegmentCount), Samples: r.samples, Omitted: r.omitted}, nil
		}
		if r.err == nil {
			r.src.fill()
		}
	}
	return Block{}, r.err
}

// Summary returns what became of every byte so far.
func (r *Reader) Summary() Summary {
	sum := r.sum
	sum.Gzip = r.src.gzip
	sum.DecimalComma = r.rows.sawComma
	return sum
}

// advance reads what the window has, until the samples are full, the segment
// changes, or more is needed.
func (r *Reader) advance() {
	if !r.started && !r.start() {
		return
	}
	if r.search.found == nil {
		if err := r.search.run(); err != nil {
			r.err = err
			return
		}
		if r.search.found == nil {
			return
		}
		r.begin(r.search.found)
	}
	for r.err == nil && len(r.samples) < cap(r.samples) {
		if !r.general {
			r.scanRows()
		}
		if len(r.samples) == cap(r.samples) || !r.readRecord() {
			return
		}
	}
}

// start looks for a byte order mark.
func (r *Reader) start() bool {
	data := r.src.window()
	if len(data) < len(byteOrderMark) && !r.src.ended() {
		return false
	}
	if bytes.HasPrefix(data, byteOrderMark) {
		r.sum.ByteOrderMark = true
		r.sum.Preamble.add(0, int64(len(byteOrderMark)))
		r.src.consume(len(byteOrderMark), 0)
	}
	r.started = true
	return true
}

// begin takes over what the search has found.
func (r *Reader) begin(found *resolved) {
	r.scanner = newRowScanner(&found.layout, r.opts.Thin.Within > 0)
	r.rows.layout = found.layout
	r.clock.micros = found.timeUnit == sim.UnitMicros
	r.sum.settle(found, r.opts)
}

// scanRows reads plain rows the fast way, up to the first that is not plain.
func (r *Reader) scanRows() {
	data := r.src.window()
	if !r.scanner.dense {
		data = data[:r.quotes.next(data, r.src.offset)]
	}
	pos, rows := 0, 0
	for len(r.samples) < cap(r.samples) {
		row, size := r.scanner.scan(data[pos:])
		if size == 0 {
			break
		}
		at, ok := r.clock.forward(row.time)
		if !ok {
			break
		}
		s := r.sample(at, row)
		r.samples = append(r.samples, s)
		rows++
		if r.scanner.learns {
			still, skip := r.still.after(data[pos:], &r.scanner, s.Channel)
			r.omitted += still
			rows += still
			pos += skip
		}
		pos += size
	}
	r.sum.Data.add(int64(rows), int64(pos))
	r.sum.Rows += int64(rows)
	r.src.consume(pos, int64(rows))
}

// sample turns the numbers of a row into pulse widths. The conversion keeps a
// machine from fusing both steps into one, which would round otherwise than
// others do.
func (r *Reader) sample(at sim.Micros, row rowNumbers) sim.Sample {
	scale, offset := r.opts.Spec.Scale, r.opts.Spec.Offset
	return sim.Sample{
		At:      at,
		Channel: sim.PulseWidth(float64(row.channel*scale) + offset),
		Armed:   sim.PulseWidth(float64(row.armed*scale) + offset),
	}
}

// quoteFinder finds the next quote in the window, without looking at any place
// twice.
type quoteFinder struct {
	at  int64 // there is none in the log before here
	hit bool  // there is one here
}

// next returns the offset of the first quote in the window, whose own offset in
// the log is given, or the window's size.
func (q *quoteFinder) next(window []byte, offset int64) int {
	if q.at < offset {
		q.at, q.hit = offset, false
	}
	if !q.hit {
		begin := q.at - offset
		if i := bytes.IndexByte(window[begin:], '"'); i >= 0 {
			q.at, q.hit = q.at+int64(i), true
		} else {
			q.at = offset + int64(len(window))
		}
	}
	return int(q.at - offset)
}
