package chanlog

import (
	"bytes"
	"io"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// Options says where the numbers of a log are, and how to read it.
type Options struct {
	// Spec must be valid ([sim.Rig.Validate]); start from that of
	// [sim.DefaultRig].
	Spec sim.LogSpec
	// Delimiter is the byte between fields; the zero value detects it.
	Delimiter Delimiter
	// Lenient skips and counts rows that cannot be read, instead of ending with
	// an error.
	Lenient bool
	// Record says that a [Writer] wrote the rows. Lines between them that start
	// with # are comments, and [SegmentMark] starts a segment whatever the times
	// are. The times are exact: rows that share one are not spread.
	Record bool
	// Thin lets the reader leave out samples to save time.
	Thin sim.Thinning
	// Valid is the range of values that count as a signal, both ends included.
	// A log without a given scale and with mostly other numbers is an error
	// that names a fitting scale. The zero value accepts any.
	Valid sim.PulseRange
	// Live passes on each sample as soon as it arrives, with its own time.
	// Otherwise the reader first waits for some rows, to see whether most share
	// their instant.
	Live bool
	// Tick, if set, is called from time to time with the number of bytes read so
	// far, counted after decompression.
	Tick func(bytes int64)
	// Ahead reads and decompresses the log in a separate goroutine, which ends
	// with the log or with [Reader.Close].
	Ahead bool
}

// SegmentMark is the comment before the first row of a segment.
const SegmentMark = "# another flight"

// StartMark is the comment before the first row of a segment at whose start the
// camera records, whatever the rig says.
const StartMark = "# the camera records"

// Reader reads a channel log as samples.
type Reader struct {
	opts      Options
	general   bool // see tuning
	src       source
	search    search
	fast      *fastRows
	scanned   []fastRow // buffer for what fast reads
	rows      rowReader
	clock     clock
	held      heldRow
	spread    spread
	check     rangeCheck
	nextStart sim.StartState // of the next segment; "" if the log does not say
	// segmentStart is the same of this segment.
	segmentStart sim.StartState

	sum      Summary
	samples  []sim.Sample   // of the block
	omitted  []sim.Omission // in the block
	started  bool           // a byte order mark was skipped if there is one
	overlong bool           // within a line that is too long
	err      error
}

// blockSize is the most samples in a block: 48 KB, which are still cached when
// the chain takes them.
const blockSize = 2048

// fastBlock is the most rows that are read the fast way before they become
// samples: few enough to stay cached.
const fastBlock = 128

// NewReader returns a reader of the log that r yields: CSV, plain or compressed
// with gzip. name is for errors. The reader uses at most 16 MiB whatever its
// input: lines are limited to 1 MiB, columns to 20 000.
func NewReader(r io.Reader, name string, opts Options) *Reader {
	return newReader(r, name, opts, defaultTuning)
}

// Close stops the reading ahead. It does not close the stream, nor wait for its
// current read. The reader must not be used afterwards.
func (r *Reader) Close() { r.src.pieces.stop() }

// tuning has settings that must not change the result; the tests vary them.
type tuning struct {
	buffer  int  // bytes that are read at once
	general bool // read no row the fast way
}

var defaultTuning = tuning{buffer: 256 << 10}

func newReader(r io.Reader, name string, opts Options, tune tuning) *Reader {
	out := &Reader{
		opts:    opts,
		general: tune.general,
		src:     newSource(r, name, tune.buffer, opts.Ahead),
		sum:     Summary{File: excerpt.Printable(name)},
		samples: make([]sim.Sample, 0, blockSize),
		scanned: make([]fastRow, 0, fastBlock),
	}
	out.search = search{opts: opts, src: &out.src, sum: &out.sum}
	return out
}

// Next returns the next samples, in the order of the log. It reads more of the
// stream only if it has no sample yet. At the end of the log it returns
// [io.EOF]. A [SyntaxError] or an error of the stream comes after the samples
// before it, and later calls return it again.
func (r *Reader) Next() (sim.Block, error) {
	r.samples, r.omitted = r.samples[:0], r.omitted[:0]
	for r.err == nil {
		r.advance()
		if len(r.samples) > 0 {
			return sim.Block{Segment: int(r.sum.SegmentCount), Start: r.segmentStart, Samples: r.samples, Omitted: r.omitted}, nil
		}
		if r.err == nil {
			r.src.fill()
			if r.opts.Tick != nil {
				r.opts.Tick(r.src.offset + int64(len(r.src.window())))
			}
		}
	}
	return sim.Block{}, r.err
}

// Summary returns what became of every byte so far.
func (r *Reader) Summary() Summary {
	sum := r.sum
	sum.Gzip, sum.UTF16 = r.src.gzip, r.src.utf16
	sum.DecimalComma = r.rows.sawComma
	return sum
}

// Skipped returns how many lines a lenient reader has left out so far.
func (r *Reader) Skipped() int64 { return r.sum.Skipped.Lines }

// advance reads the data in the window until the block is full, the segment
// changes, or more data is needed.
func (r *Reader) advance() {
	if !r.started && !r.skipMark() {
		return
	}
	if r.search.found == nil {
		if r.err = r.search.run(); r.search.found == nil {
			return
		}
	}
	if r.fast == nil && !r.startRows() {
		return
	}
	for r.err == nil && len(r.samples) < cap(r.samples) {
		for !r.general && len(r.samples) < cap(r.samples) && r.scanRows() {
		}
		if len(r.samples) == cap(r.samples) || !r.readRecord() {
			return
		}
	}
}

// skipMark skips a byte order mark. It returns false if it needs more data.
func (r *Reader) skipMark() bool {
	data := r.src.window()
	if len(data) < len(byteOrderMark) && !r.src.ended() {
		return false
	}
	if bytes.HasPrefix(data, byteOrderMark) {
		r.consumeAs(&r.sum.Preamble, len(byteOrderMark), 0)
	}
	r.started = true
	return true
}

// startRows prepares the reading of rows from the result of the search and from
// the first rows, which show what the header does not. It returns false if it
// needs more data.
func (r *Reader) startRows() bool {
	found := r.search.found
	first, ok := r.firstRows(found)
	if !ok {
		return false
	}
	if r.err = first.settle(found); r.err != nil {
		return false
	}
	r.rows.layout, r.rows.parts, r.rows.sawText = found.layout, newParts(&found.layout, &r.opts.Spec), found.quoted
	r.rows.learn = r.learn
	r.clock.counter = first.counter(&found.layout)
	if !r.opts.Live && !r.opts.Record {
		r.spread.width = first.coarse(found.form)
	}
	thin := r.opts.Thin
	if r.spread.width > 0 {
		thin = sim.Thinning{} // it assumes that each row is later than the one before
	}
	r.fast = &fastRows{
		scanner:   newRowScanner(&found.layout, r.rows.parts, thin.Within > 0),
		unchanged: unchangedRows{thin: thin, kept: thin.First},
	}
	r.general = r.general || Delimiter(found.delim) == delimiterSpaces
	r.check = newRangeCheck(r.opts)
	r.shareFast()
	r.sum.settle(found, r.opts)
	r.sum.Spread = r.spread.width
	return true
}

// learn passes the meaning of a text to the fast way.
func (r *Reader) learn(role role, text []byte, value float64) {
	r.sum.TwoValued = r.sum.TwoValued || role == roleChannel && len(r.opts.Spec.Words) == 0
	if !r.general && r.fast.scanner.learn(role, text, value) {
		r.shareFast()
	}
}

// scanRows reads plain rows the fast way, up to the first that is not plain, or
// takes those that were read ahead. It reports whether there were any.
func (r *Reader) scanRows() bool {
	if !r.clock.started || r.held.lines > 0 {
		return false
	}
	if rows := r.src.rowsAhead(); len(rows) > 0 {
		taken := r.takeFast(rows)
		r.src.tookAhead(taken)
		return taken > 0
	}
	room := min(cap(r.scanned), cap(r.samples)-len(r.samples))
	return r.takeFast(r.fast.read(r.src.untilAhead(), r.scanned[:0:room])) > 0
}

// takeFast makes samples of rows while there is room and they are in order. It
// returns how many it took.
func (r *Reader) takeFast(rows []fastRow) (taken int) {
	lines, size := 0, 0
	for i := range rows {
		row := &rows[i]
		if r.clock.sequel(row.time) != sim.InTime || len(r.samples) >= cap(r.samples) {
			break
		}
		if r.check.isOutside(row.channel) {
			r.noteOutside(row.channel, size)
		}
		sample := r.sample(&row.row)
		if r.spread.width == 0 { // spread.add does the same, at the cost of a call
			r.samples = append(r.samples, sample)
		} else {
			r.samples = r.spread.add(r.samples, sample)
		}
		if row.rows > 1 {
			r.omitted = append(r.omitted, sim.Omission{Before: len(r.samples), Samples: row.rows - 1})
		}
		lines += row.rows
		size += row.size
		taken++
	}
	r.sum.Rows += int64(lines)
	r.consumeAs(&r.sum.Data, size, int64(lines))
	return taken
}

// noteOutside counts a value outside the valid range, in the row at an offset of
// the window.
func (r *Reader) noteOutside(v sim.PulseWidth, at int) {
	if r.check.note(v) {
		r.check.first = r.src.errorAt(at, "", "")
	}
}

// sample makes a sample of a row, which becomes the latest.
func (r *Reader) sample(row *row) sim.Sample {
	return sim.Sample{At: r.clock.take(row.time), Channel: row.channel, Armed: row.armed}
}

// shareFast passes the fast way, as it is now, to the reading ahead.
func (r *Reader) shareFast() {
	if !r.general {
		r.src.pieces.fast.Store(r.fast.clone())
	}
}
