package chanlog

import (
	"bytes"
	"io"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// readRecord reads the record at the start of the window in the general way. It
// returns false at the end of the log, if it needs more data, or if the record
// starts a segment and the block has samples.
func (r *Reader) readRecord() bool {
	data := r.src.window()
	if len(data) == 0 {
		if r.src.ended() {
			r.finish()
		}
		return false
	}
	line := firstLine(data)
	whole := data[line-1] == '\n' || r.src.ended()
	if r.overlong || line > maxLine {
		return r.skipOverlong(line, data[line-1] == '\n')
	}
	if !whole {
		return false
	}
	blank, lines := blankLines(data, r.rows.layout.delim)
	if lines == 0 && isBlank(data[:line]) && (r.rows.layout.delim != '\t' || bytes.IndexByte(data[:line], '\t') < 0) {
		blank, lines = line, 1 // the last one
	}
	if lines > 0 {
		return r.consumeAs(&r.sum.Blank, blank, lines)
	}
	if r.opts.Record && data[0] == '#' {
		return r.readComment(data[:line])
	}
	return r.readFields(data, line)
}

// consumeAs consumes the start of the window and counts it in a tally. It
// returns true.
func (r *Reader) consumeAs(tally *Tally, size int, lines int64) bool {
	tally.add(lines, int64(size))
	r.src.consume(size, lines)
	return true
}

// readComment reads a comment. After a [SegmentMark] the next row starts a
// segment.
func (r *Reader) readComment(line []byte) bool {
	switch string(bytes.TrimRight(line, "\r\n")) {
	case SegmentMark:
		r.clock.started = false
	case StartMark:
		r.nextStart = sim.StartRecording
	}
	return r.consumeAs(&r.sum.Comments, len(line), 1)
}

// readFields reads a record that is not blank, whose first line has the given
// size. After a wrong quote, reading continues with the next line.
func (r *Reader) readFields(data []byte, line int) bool {
	mark := 0
	if bytes.HasPrefix(data, byteOrderMark) {
		mark = len(byteOrderMark) // of a concatenated file
	}
	split := &r.rows.split
	record := data[mark:min(len(data), maxLine)]
	switch split.split(record, r.rows.layout.delim, r.src.ended() || len(data) > maxLine) {
	case splitMore:
		return false
	case splitUnclosed:
		return r.reject(line, 1, fault{at: mark + split.at, found: "a quote that is not closed",
			want: "a quote after the field", torn: data[line-1] != '\n'})
	case splitStray:
		if open := split.open; !r.rows.sawText && bytes.IndexByte(record[open:split.at], '\n') >= 0 {
			return r.rejectRunOver(line, mark+open)
		}
		return r.reject(line, 1, fault{at: mark + split.at, found: "text after a closing quote",
			want: "a delimiter or the end of the line"})
	}
	size := mark + split.size
	lines := countLines(data[:size])
	if lines > 1 && !r.rows.sawText {
		if at := split.lineEndWithin(record); at >= 0 {
			return r.rejectRunOver(line, mark+at)
		}
	}
	switch {
	case split.ended || r.src.err == io.EOF:
	case r.src.ended():
		return r.reject(size, lines, fault{torn: true})
	default:
		return r.reject(line, 1, fault{found: "a record of more than 1 MiB", want: "a row of numbers"})
	}
	row, wrong := r.rows.read(record)
	if wrong != nil {
		return r.takeOther(record, mark, lines, *wrong)
	}
	return r.takeRow(row, size, lines)
}

// rejectRunOver rejects a line whose quoted field continues on the next line.
func (r *Reader) rejectRunOver(line, open int) bool {
	return r.reject(line, 1, fault{at: open, found: "a quoted field that runs over a line end",
		want: "a quote that closes on its line, as no text before it is quoted"})
}

// takeOther takes a record that cannot be read as a row: a repeated header, or
// one with a fault.
func (r *Reader) takeOther(record []byte, mark int, lines int64, wrong fault) bool {
	split := &r.rows.split
	size := mark + split.size
	if isHeader, same := r.rows.compareHeader(record); same {
		r.sum.HeaderRepeats++
		return r.consumeAs(&r.sum.Header, size, lines)
	} else if isHeader {
		wrong = fault{found: "a header with other columns", want: "the columns of the first header", fatal: true}
	}
	if i := bytes.IndexByte(record[:split.size], 0); i >= 0 {
		if r.sum.Rows == 0 && !r.opts.Lenient {
			r.fail(r.search.binary(mark + i))
			return false
		}
		wrong = fault{at: i, found: "a byte 0, as in binary files", want: "a row of numbers", torn: wrong.torn}
	}
	wrong.at += mark
	wrong.torn = wrong.torn && !split.ended
	return r.reject(size, lines, wrong)
}

// heldRow is a row far ahead of the one before it. It is held until the next row
// shows whether it is broken.
type heldRow struct {
	row
	size, lines int64 // 0 lines: no row is held
}

// takeRow makes a sample of a row, unless the row starts a segment while the
// block has samples of the previous one.
func (r *Reader) takeRow(row row, size int, lines int64) bool {
	r.settleHeld(r.clock.sequel(row.time))
	if r.clock.wraps(row.time) {
		r.clock.wrap()
		r.sum.Wraps++
		r.sum.Wrapped = r.clock.counter.passed
	}
	switch r.clock.sequel(row.time) {
	case sim.Ahead:
		r.held = heldRow{row, int64(size), lines}
		r.noteRow(row)
		r.src.consume(size, lines)
		return true
	case sim.Late:
		if !r.rows.split.ended {
			return r.consumeAs(&r.sum.Torn, size, lines) // its time may lack digits
		}
		return r.consumeAs(&r.sum.Late, size, lines)
	case sim.Back:
		if r.clock.started && !r.rows.split.ended {
			return r.consumeAs(&r.sum.Torn, size, lines)
		}
		if r.samples = r.spread.flush(r.samples, r.spread.width); len(r.samples) > 0 {
			return false
		}
		r.startSegment(row.time)
	}
	r.noteRow(row)
	r.addRow(row, int64(size), lines)
	r.src.consume(size, lines)
	if r.fast.scanner.expectFields(r.rows.split.count, r.rows.layout.columns) {
		r.shareFast()
	}
	return true
}

// noteRow notes what is odd about the row at the start of the window.
func (r *Reader) noteRow(row row) {
	r.sum.Unended = !r.rows.split.ended
	if r.check.isOutside(row.channel) {
		r.noteOutside(row.channel, 0)
	}
}

// addRow makes a sample of a row and counts it.
func (r *Reader) addRow(row row, size, lines int64) {
	r.samples = r.spread.add(r.samples, r.sample(&row))
	r.sum.Data.add(lines, size)
	r.sum.Rows++
}

// settleHeld takes a held row. It leaves the row out as broken if the row after
// it fits the row before it.
func (r *Reader) settleHeld(next sim.Sequel) {
	held := r.held
	r.held = heldRow{}
	switch {
	case held.lines == 0:
	case next == sim.InTime || next == sim.Late:
		r.sum.Broken.add(held.lines, held.size)
	default:
		r.addRow(held.row, held.size, held.lines)
	}
}

func (r *Reader) startSegment(at int64) {
	segment := Segment{Line: r.src.line + 1}
	if r.clock.started {
		segment.Back = sim.Micros(r.clock.last - at)
	}
	if at >= dated && at < datedUpTo {
		segment.Began = sim.Micros(at)
	}
	r.clock.start(at)
	r.segmentStart, r.nextStart = r.nextStart, ""
	r.sum.SegmentCount++
	if len(r.sum.Segments) < maxSegmentsListed {
		r.sum.Segments = append(r.sum.Segments, segment)
	}
}

// reject handles a record that cannot be read: as torn if it may be a truncated
// last one, otherwise as an error or, if the reader is lenient, as skipped.
func (r *Reader) reject(size int, lines int64, f fault) bool {
	if f.torn {
		return r.consumeAs(&r.sum.Torn, size, lines)
	}
	e := r.src.errorAt(f.at, f.found, f.want)
	if f.fatal || !r.opts.Lenient {
		r.settleHeld(sim.Back)
		e.Skippable = !f.fatal
		r.fail(e)
		return false
	}
	if r.sum.FirstSkip == nil {
		r.sum.FirstSkip = e
	}
	return r.consumeAs(&r.sum.Skipped, size, lines)
}

// skipOverlong skips a piece of a line that is too long; last says that the line
// ends with it. The first piece counts as a line.
func (r *Reader) skipOverlong(size int, last bool) bool {
	first := !r.overlong
	r.overlong = !last
	if first {
		return r.reject(size, 1, fault{found: "a line of more than 1 MiB", want: "a row of numbers"})
	}
	return r.consumeAs(&r.sum.Skipped, size, 0)
}

// fail ends the reading with an error, after the samples before it.
func (r *Reader) fail(err error) {
	r.samples = r.spread.flush(r.samples, r.spread.width)
	r.err = err
}

// finish ends the reading at the end of the log.
func (r *Reader) finish() {
	r.settleHeld(sim.Back)
	r.fail(r.src.failure())
	switch {
	case r.src.damaged() && r.opts.Lenient && r.sum.Rows > 0:
		r.sum.Damage = excerpt.Printable(r.src.err.Error())
		r.err = io.EOF
	case r.err == io.EOF && r.sum.Rows == 0:
		e := r.search.found.place
		e.Found, e.Want = "the end of the log and no row", "rows of numbers after the header"
		r.err = &e
	}
	if r.err != io.EOF {
		return
	}
	if err := r.check.judge(r.sum.Rows, r.rows.layout.columnName(r.rows.layout.channel)); err != nil {
		r.err = err
	}
}
