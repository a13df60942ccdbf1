package chanlog

import (
	"bytes"
	"slices"

	"flicktally/sim"
)

// row is the wanted part of a row: the time in µs as the log counts it, and the
// channels.
type row struct {
	time           int64
	channel, armed sim.PulseWidth
	lost           bool // by the failsafe column; channel is then [sim.Lost]
}

// parts has what both ways to read a row use to read its cells.
type parts struct {
	form           timeForm
	channel, armed cells
	failsafe       failsafe
	comma          bool
}

func newParts(l *layout, spec *sim.LogSpec) parts {
	return parts{
		form:     l.form,
		channel:  newCells(spec, spec.Words, l.comma),
		armed:    newCells(spec, spec.ArmedWords, l.comma),
		failsafe: failsafe{newCells(spec, spec.FailsafeWords, l.comma), spec.FailsafeRange},
		comma:    l.comma,
	}
}

// rowScanner reads a row in the fast way. It reads only plain lines without
// quotes. For a line that both ways can read, both give the same.
type rowScanner struct {
	delim    byte
	delims   int  // in a row
	trailing bool // the last one ends the row
	parts    parts
	wanted   []wantedColumn // in the order of the columns
	dense    bool           // every column is wanted
	thins    bool           // unchanged rows are left out, by their shape
	minute   knownMinute    // of the previous row, if its time has a date
	shape    rowShape       // of the previous row, if shapes is set
	shapes   bool           // shape is of use
}

// wantedColumn is a column to be read.
type wantedColumn struct {
	column int
	role   role
	// texts says that the cells are clocks, or dates and words known by their
	// text. Otherwise they are plain numbers.
	texts bool
	known []knownText
	// jump is how far the column was, in the previous row, from where the search
	// for it started.
	jump int
	// digits is the number of digits of the field in the previous row; 0 if it
	// had other characters. Of a date with a clock it is the length.
	digits int
}

// knownText is a text whose meaning the general way has found.
type knownText struct {
	text  string
	value float64 // µs, days, or 1 for a lost signal
}

// maxKnown is the most texts of a column that are known.
const maxKnown = 16

type role int

const (
	roleTime role = iota
	roleDate
	roleChannel
	roleArmed
	roleFailsafe
)

// newRowScanner returns a scanner; thins says that unchanged rows are left out.
func newRowScanner(l *layout, parts parts, thins bool) rowScanner {
	s := rowScanner{delim: l.delim, parts: parts, thins: thins && l.form.kind != timeDated && l.armed != l.channel, wanted: l.wanted()}
	for i := range s.wanted {
		w := &s.wanted[i]
		w.texts = w.role == roleDate || w.role == roleTime && l.form.kind != timeNumber || parts.hasWords(w.role)
	}
	slices.SortFunc(s.wanted, func(a, b wantedColumn) int { return a.column - b.column })
	s.shape.know(&s.parts)
	s.expectFields(l.columns, l.columns)
	return s
}

// hasWords reports whether the cells of a role are words.
func (p *parts) hasWords(r role) bool {
	return r == roleChannel && len(p.channel.words) > 0 || r == roleArmed && len(p.armed.words) > 0 ||
		r == roleFailsafe && len(p.failsafe.words) > 0
}

// learn notes what a text of a column means. It reports whether that is new.
func (s *rowScanner) learn(r role, text []byte, value float64) bool {
	i := slices.IndexFunc(s.wanted, func(w wantedColumn) bool { return w.role == r })
	w := &s.wanted[i]
	if len(w.known) == maxKnown || bytes.IndexByte(text, '"') >= 0 {
		return false
	}
	w.texts = true
	w.known = append(w.known, knownText{string(text), value})
	return true
}

// expectFields sets the number of fields in a row, to that of a row read in the
// general way. One field more than there are columns is an empty one, after a
// trailing delimiter. It reports whether anything changes.
func (s *rowScanner) expectFields(fields, columns int) bool {
	if fields-1 == s.delims {
		return false
	}
	s.delims, s.trailing = fields-1, fields > columns
	s.dense = len(s.wanted) == fields
	for i, w := range s.wanted {
		s.dense = s.dense && w.column == i // a column may be wanted twice
	}
	s.shapes = s.thins || s.dense && !slices.ContainsFunc(s.wanted, func(w wantedColumn) bool { return w.texts })
	return true
}

// scan reads the row at the start of data and returns its size with the line
// end; 0 if the general way is needed.
func (s *rowScanner) scan(data []byte, row *row) (size int) {
	row.armed, row.lost = sim.Absent, false
	if s.dense && s.shapes && s.shape.scan(data, row) {
		size = s.shape.size
	} else if size = s.scanFields(data, row); size == 0 {
		return 0
	}
	if row.lost {
		row.channel = sim.Lost
	}
	return size
}

// scanFields reads a row field by field. Of unwanted columns it only counts the
// delimiters.
func (s *rowScanner) scanFields(data []byte, row *row) (size int) {
	line := data // of a dense row: the end is where its last field ends
	if !s.dense {
		if line, size = s.wideLine(data); size == 0 {
			return 0
		}
	}
	row.time = 0
	s.shape.begin()
	at, begin, column := 0, 0, 0 // begin is where the last cell started
	for i := range s.wanted {
		w := &s.wanted[i]
		switch skip := w.column - column; {
		case skip == 0:
			at = begin
		case skip == 1 && at < len(line) && line[at] == s.delim:
			at++
		case skip > 0 && s.dense:
			return 0
		case skip > 0:
			if at = s.skip(line, at, skip, &w.jump); at < 0 {
				return 0
			}
		}
		begin, column = at, w.column
		n, end, ok := s.takeCell(row, w, line, at)
		if !ok || end == len(data) {
			return 0
		}
		if s.shapes {
			s.shape.add(w, at, end, n, data[end])
		}
		at = end
	}
	if s.dense {
		size = s.denseSize(data, at)
	} else if bytes.Count(line[at:], []byte{s.delim}) != s.delims-column {
		return 0
	}
	s.shape.end(size)
	return size
}

// denseSize returns the size of a row whose last field ends at an offset; 0 if
// no line end follows.
func (s *rowScanner) denseSize(data []byte, at int) int {
	rest := data[at:]
	if len(rest) > 1 && rest[0] == '\r' {
		at, rest = at+1, rest[1:]
	}
	if len(rest) == 0 || rest[0] != '\n' {
		return 0
	}
	return at + 1
}

// takeCell reads the cell of a wanted column at an offset of a line.
func (s *rowScanner) takeCell(row *row, w *wantedColumn, line []byte, at int) (n decimal, end int, ok bool) {
	if w.texts {
		return s.takeText(row, w, line, at)
	}
	n, end = w.scan(line, at)
	ok = n.digits > 0 && (s.dense || end == len(line) || line[end] == s.delim)
	return n, end, ok && s.store(row, w.role, n)
}

// takeText reads a clock, or a cell whose text is known. The decimal has the
// digits of a clock's seconds.
func (s *rowScanner) takeText(row *row, w *wantedColumn, data []byte, at int) (n decimal, end int, ok bool) {
	if w.role == roleTime && s.parts.form.kind == timeDated {
		// Try the length of the row before: no delimiter is part of a date.
		if end = at + w.digits; w.digits > 0 && end < len(data) && data[end] == s.delim {
			if n, end, ok := s.takeTime(row, data[at:end], end); ok {
				return n, end, ok
			}
		}
	}
	for end = at; end < len(data) && data[end] != s.delim && data[end] != '\n'; end++ {
	}
	if end < len(data) && data[end] == '\n' && end > at && data[end-1] == '\r' {
		end--
	}
	text := data[at:end]
	if w.role == roleTime {
		w.digits = len(text)
		return s.takeTime(row, text, end)
	}
	for i := range w.known {
		if k := &w.known[i]; k.text == string(text) {
			row.put(w.role, k.value)
			return decimal{}, end, true
		}
	}
	return decimal{}, end, false
}

// takeTime reads a clock, with or without a date.
func (s *rowScanner) takeTime(row *row, text []byte, end int) (n decimal, after int, ok bool) {
	if s.parts.form.kind == timeDated {
		at, ok := s.minute.parse(text, s.parts.form.order, s.parts.comma)
		row.time = at
		return decimal{}, end, ok
	}
	c, ok := parseClock(text, s.parts.comma)
	row.time += c.micros
	return decimal{digits: 1 + c.decimals, decimals: c.decimals}, end, ok
}

// put stores what a text means.
func (r *row) put(role role, value float64) {
	switch role {
	case roleDate:
		r.time += int64(value) * dayMicros
	case roleChannel:
		r.channel = sim.PulseWidth(value)
	case roleArmed:
		r.armed = sim.PulseWidth(value)
	case roleFailsafe:
		r.lost = value != 0
	}
}

// wideLine returns the line at the start of data without its end. size includes
// the end; it is 0 if the line is not plain.
func (s *rowScanner) wideLine(data []byte) (line []byte, size int) {
	size = bytes.IndexByte(data, '\n') + 1
	if size == 0 || size > maxLine {
		return nil, 0
	}
	line = withoutReturn(data[:size-1])
	if bytes.IndexByte(line, '"') >= 0 || s.trailing && !s.endsWithDelim(line) {
		return nil, 0
	}
	return line, size
}

// endsWithDelim reports whether a line, without its line feed, ends with a
// delimiter.
func (s *rowScanner) endsWithDelim(line []byte) bool {
	line = withoutReturn(line)
	return len(line) > 0 && line[len(line)-1] == s.delim
}

// withoutReturn returns a line without the carriage return at its end.
func withoutReturn(line []byte) []byte {
	if len(line) > 0 && line[len(line)-1] == '\r' {
		return line[:len(line)-1]
	}
	return line
}

// scan reads the decimal at an offset like [scanDecimal]. It first tries the
// number of digits of the previous row, without a search for the end.
func (w *wantedColumn) scan(line []byte, at int) (n decimal, end int) {
	if end = at + w.digits; w.digits > 0 && at+maxFixedDigits < len(line) && line[end]-'0' > 9 && line[end] != '.' {
		if value, others := fixedDigits(line[at:], w.digits); others == 0 {
			return decimal{mantissa: value, digits: w.digits}, end
		}
	}
	n, end = scanDecimal(line, at)
	w.digits = 0
	if n.digits == end-at && n.digits <= maxPlainDigits {
		w.digits = n.digits
	}
	return n, end
}

// store stores a number. It fails if only the general way can read it exactly.
func (s *rowScanner) store(row *row, role role, n decimal) bool {
	if n.digits > maxPlainDigits && role != roleTime || n.digits > maxTimeDigits {
		return false
	}
	ok := true
	switch role {
	case roleTime:
		row.time, ok = n.micros(s.parts.form.tick)
	case roleChannel:
		row.channel = s.parts.channel.width(n.float())
	case roleArmed:
		row.armed = s.parts.armed.width(n.float())
	case roleFailsafe:
		row.lost = s.parts.failsafe.says(n.float())
	}
	return ok
}

// skip returns the offset after the n-th delimiter from an offset on, -1 if
// there are too few. It starts shortly before the place in the previous row,
// and counts the delimiters up to there at once.
func (s *rowScanner) skip(line []byte, from, n int, jump *int) int {
	const short = 8 // fields change their width
	at := from
	if near := from + *jump - short; *jump > 4*short && near < len(line) {
		if passed := bytes.Count(line[from:near], []byte{s.delim}); passed < n {
			at, n = near, n-passed
		}
	}
	at = behind(line, at, n, s.delim)
	*jump = at - from
	return at
}
