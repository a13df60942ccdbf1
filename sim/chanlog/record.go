package chanlog

import (
	"bytes"
	"io"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// readRecord takes the record at the beginning of the window the general way.
// It returns false if it needs more, if the segment changes with it, or at the
// end of the log.
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
	if isBlank(data[:line]) && (r.rows.layout.delim != '\t' || bytes.IndexByte(data[:line], '\t') < 0) {
		r.sum.Blank.add(1, int64(line))
		r.src.consume(line, 1)
		return true
	}
	if r.opts.Comments && data[0] == '#' {
		return r.takeComment(data[:line])
	}
	return r.readFields(data, line)
}

// takeComment takes a comment. Where it begins a segment, the clock waits for the
// first row of it.
func (r *Reader) takeComment(line []byte) bool {
	if string(bytes.TrimRight(line, "\r\n")) == SegmentMark {
		r.clock.begun = false
	}
	r.sum.Comments.add(1, int64(len(line)))
	r.src.consume(len(line), 1)
	return true
}

// readFields takes a record that is not blank, whose first line has the given
// size. A quote that is wrong costs that line only.
func (r *Reader) readFields(data []byte, line int) bool {
	mark := 0
	if bytes.HasPrefix(data, byteOrderMark) {
		mark = len(byteOrderMark) // of a file that was put after another
	}
	split := &r.rows.split
	record := data[mark:min(len(data), maxLine)]
	switch split.split(record, r.rows.layout.delim, r.src.ended() || len(data) > maxLine) {
	case splitMore:
		return false
	case splitUnclosed:
		return r.reject(line, 1, fault{at: mark + split.at, found: "a quote that is not closed",
			want: "a quote after the field", cut: data[line-1] != '\n'})
	case splitStray:
		return r.reject(line, 1, fault{at: mark + split.at, found: "text after a closing quote",
			want: "a delimiter or the end of the line"})
	}
	size := mark + split.size
	lines := countLines(data[:size])
	switch {
	case split.ended || r.src.err == io.EOF:
	case r.src.ended():
		return r.reject(size, lines, fault{cut: true})
	default:
		return r.reject(line, 1, fault{found: "a record of more than 1 MiB", want: "a row of numbers"})
	}
	row, wrong := r.rows.read(record)
	if wrong != nil {
		return r.takeOther(record, mark, lines, *wrong)
	}
	return r.takeRow(row, size, lines)
}

// takeOther takes a record that cannot be read as a row.
func (r *Reader) takeOther(record []byte, mark int, lines int64, wrong fault) bool {
	split := &r.rows.split
	size := mark + split.size
	switch r.rows.headerKind(record) {
	case sameHeader:
		r.sum.Header.add(lines, int64(size))
		r.sum.HeaderRepeats++
		r.src.consume(size, lines)
		return true
	case otherHeader:
		wrong = fault{found: "a header with other columns", want: "the columns of the first header", fatal: true}
	}
	if i := bytes.IndexByte(record[:split.size], 0); i >= 0 {
		wrong = fault{at: i, found: "a byte 0, as in binary files", want: "a row of numbers", cut: wrong.cut}
	}
	wrong.at += mark
	wrong.cut = wrong.cut && !split.ended
	return r.reject(size, lines, wrong)
}

// takeRow makes a sample of a row, unless a segment begins with it while the
// block has samples of the one before.
func (r *Reader) takeRow(row rowNumbers, size int, lines int64) bool {
	at, ok := r.clock.forward(row.time)
	if !ok {
		switch {
		case r.clock.wraps(row.time):
			r.clock.wrap()
			r.sum.Wraps++
		case r.clock.begun && !r.rows.split.ended:
			return r.tear(size, lines)
		case len(r.samples) > 0:
			return false
		default:
			r.beginSegment(row.time)
		}
		at, _ = r.clock.forward(row.time)
	}
	r.samples = append(r.samples, r.sample(at, row))
	r.sum.Data.add(lines, int64(size))
	r.sum.Rows++
	r.sum.Unended = !r.rows.split.ended
	r.src.consume(size, lines)
	if r.fast.scanner.adapt(r.rows.split.count, r.rows.layout.columns) {
		r.readAhead()
	}
	return true
}

func (r *Reader) beginSegment(at int64) {
	segment := Segment{Line: r.src.line + 1}
	if r.clock.begun {
		segment.Back = sim.Micros(r.clock.last - at)
	}
	r.clock.begin(at)
	r.sum.SegmentCount++
	if len(r.sum.Segments) < MaxSegmentsListed {
		r.sum.Segments = append(r.sum.Segments, segment)
	}
}

// reject takes a record that cannot be read: as torn if it is the last and
// breaks off, else as an error or, if lenient, as skipped.
func (r *Reader) reject(size int, lines int64, f fault) bool {
	e := r.src.errorAt(f.at, f.found, f.want)
	switch {
	case f.cut:
		return r.tear(size, lines)
	case f.fatal || !r.opts.Lenient:
		r.err = e
		return false
	default:
		r.sum.Skipped.add(lines, int64(size))
		r.noteSkip(e)
	}
	r.src.consume(size, lines)
	return true
}

// tear leaves out the last line, which breaks off: it cannot be read, or its
// time, of which digits may be missing, would run backwards.
func (r *Reader) tear(size int, lines int64) bool {
	r.sum.Torn.add(lines, int64(size))
	r.src.consume(size, lines)
	return true
}

func (r *Reader) noteSkip(e *SyntaxError) {
	if len(r.sum.Skips) < MaxSkipsListed {
		r.sum.Skips = append(r.sum.Skips, e)
	}
}

// skipOverlong takes a piece of a line that is longer than a line may be; it
// counts as a line with its first piece.
func (r *Reader) skipOverlong(size int, last bool) bool {
	lines := int64(0)
	if !r.overlong {
		lines = 1
		e := r.src.errorAt(0, "a line of more than 1 MiB", "a row of numbers")
		if !r.opts.Lenient {
			r.err = e
			return false
		}
		r.noteSkip(e)
	}
	r.overlong = !last
	r.sum.Skipped.add(lines, int64(size))
	r.src.consume(size, lines)
	return true
}

// finish ends the log.
func (r *Reader) finish() {
	r.err = r.src.failure()
	switch {
	case r.src.damaged() && r.opts.Lenient && r.sum.Rows > 0:
		r.sum.Damage = excerpt.Printable(r.src.err.Error())
		r.err = io.EOF
	case r.err == io.EOF && r.sum.Rows == 0:
		r.err = r.src.errorAt(0, "the end of the log and no row", "rows of numbers after the header")
	}
}
