package chanlog

import (
	"bytes"
	"slices"

	"flicktally/sim"
)

// row is the wanted part of a row: the time in µs as counted by the log, and
// the channels.
type row struct {
	time           int64
	channel, armed sim.PulseWidth
	lost           bool // by the failsafe column; channel is then [sim.Lost]
}

// parts has the cell readers of both ways to read a row.
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

// rowScanner reads a row in the fast way. It takes only plain lines without
// quotes and leaves everything else to the general way, which gives the same
// for lines that both can read.
type rowScanner struct {
	delim    byte
	columns  int
	trailing bool // the rows have a delimiter after their last field
	parts    parts
	wanted   []wantedColumn // ascending
	dense    bool           // no column is unwanted
	shared   bool           // the armed channel is the channel
	pattern  uint64         // eight delimiters
	learns   bool           // also learns shapes of rows that are not dense
	minute   knownMinute    // of the previous row, if its time has a date
	shape    rowShape       // of the previous row, if learned
}

// wantedColumn is a column to be found.
type wantedColumn struct {
	column int
	role   role
	// texts says that the cells are not plain numbers but clocks, or words and
	// dates known by their text.
	texts bool
	known []knownText
	// jump is the distance from the start of the search to the column in the
	// previous row.
	jump int
	// digits is the number of digits of the field in the previous row; 0 if it
	// was anything but digits. Of a date with a clock it is the length.
	digits int
}

// knownText is a cell whose meaning the general way has learned.
type knownText struct {
	text  string
	value float64 // µs, days, or 1 for a lost signal
}

// maxKnown is the most texts of a column that are remembered.
const maxKnown = 16

type role int

const (
	roleTime role = iota
	roleDate
	roleChannel
	roleArmed
	roleFailsafe
)

// newRowScanner returns a scanner; thins says that shapes of rows are needed.
func newRowScanner(l *layout, parts parts, thins bool) rowScanner {
	s := rowScanner{delim: l.delim, parts: parts, shared: l.armed == l.channel, learns: thins && l.armed != l.channel && l.form.kind != timeDated}
	s.pattern = uint64(l.delim) * eachByte
	for _, w := range l.wanted() {
		if w.role == roleArmed && s.shared {
			continue
		}
		w.texts = w.role == roleDate || w.role == roleTime && l.form.kind != timeNumber || parts.hasWords(w.role)
		s.wanted = append(s.wanted, w)
	}
	slices.SortFunc(s.wanted, func(a, b wantedColumn) int { return a.column - b.column })
	s.shape.know(&s.parts)
	s.adapt(l.columns, l.columns)
	return s
}

// hasWords reports whether the cells of a role are words.
func (p *parts) hasWords(r role) bool {
	return r == roleChannel && len(p.channel.words) > 0 || r == roleArmed && len(p.armed.words) > 0 ||
		r == roleFailsafe && len(p.failsafe.words) > 0
}

// isPlain reports whether rows of a layout can be read the fast way: one
// delimiter between fields, and no column wanted twice except a channel that is
// also the armed channel.
func isPlain(l *layout, spec *sim.LogSpec) bool {
	wanted := l.wanted()
	for i, a := range wanted {
		for _, b := range wanted[:i] {
			if a.column == b.column && !(b.role == roleChannel && a.role == roleArmed && slices.Equal(spec.Words, spec.ArmedWords)) {
				return false
			}
		}
	}
	return l.delim != ' '
}

// learn notes what a text of a column means. It reports whether that is new.
func (s *rowScanner) learn(r role, text []byte, value float64) bool {
	for i := range s.wanted {
		w := &s.wanted[i]
		if w.role != r || len(w.known) == maxKnown || bytes.IndexByte(text, '"') >= 0 {
			continue
		}
		w.texts = true
		w.known = append(w.known, knownText{string(text), value})
		return true
	}
	return false
}

// adapt makes the scanner expect rows with as many fields as one read the
// general way. It reports whether that is a change.
func (s *rowScanner) adapt(fields, columns int) bool {
	trailing, columns := fields == columns+1, min(fields, columns)
	if trailing == s.trailing && columns == s.columns {
		return false
	}
	s.trailing, s.columns = trailing, columns
	s.dense = len(s.wanted) == s.columns && !s.trailing
	return true
}

// delims returns the number of delimiters of a row.
func (s *rowScanner) delims() int {
	if s.trailing {
		return s.columns
	}
	return s.columns - 1
}

// scan reads the row at the start of data and returns its size with the line
// end; 0 if the general way is needed.
func (s *rowScanner) scan(data []byte, row *row) (size int) {
	row.armed, row.lost = sim.Absent, false
	ok := true
	switch {
	case !s.dense:
		row.time = 0
		size, ok = s.scanWide(data, row)
	case s.shape.scan(data, row):
		size = s.shape.size
	default:
		row.time = 0
		size, ok = s.scanDense(data, row)
	}
	if !ok {
		return 0
	}
	if s.shared {
		row.armed = row.channel
	}
	if row.lost {
		row.channel = sim.Lost
	}
	return size
}

// scanDense reads a row whose numbers are all wanted, one after the other, up
// to the line end.
func (s *rowScanner) scanDense(data []byte, row *row) (int, bool) {
	at := 0
	s.shape.begin()
	for i := range s.wanted {
		if i > 0 {
			if data[at] != s.delim {
				return 0, false
			}
			at++
		}
		w := &s.wanted[i]
		if w.texts {
			n, end, ok := s.takeText(row, w, data, at)
			if !ok || end >= len(data) {
				return 0, false
			}
			s.shape.add(w, at, end, n, data[end])
			at = end
			continue
		}
		n, end := scanDecimal(data, at)
		if end >= len(data) || n.digits == 0 || !s.store(row, w.role, n) {
			return 0, false
		}
		s.shape.add(w, at, end, n, data[end])
		at = end
	}
	if data[at] == '\r' && at+1 < len(data) {
		at++
	}
	if data[at] != '\n' {
		return 0, false
	}
	s.shape.end(at + 1)
	return at + 1, true
}

// scanWide reads a row that has unwanted columns: it only counts their
// delimiters.
func (s *rowScanner) scanWide(data []byte, row *row) (int, bool) {
	line, size := s.wideLine(data)
	if size == 0 {
		return 0, false
	}
	if s.learns {
		s.shape.begin()
	}
	at, column := 0, 0
	for i := range s.wanted {
		w := &s.wanted[i]
		if skip := w.column - column; skip > 0 {
			if at = s.skip(line, at, skip, &w.jump); at < 0 {
				return 0, false
			}
			column = w.column
		}
		n, end, ok := s.takeCell(row, w, line, at)
		if !ok {
			return 0, false
		}
		if s.learns {
			s.shape.add(w, at, end, n, data[end])
		}
		at = end
	}
	if s.learns {
		s.shape.end(size)
	}
	return size, s.isRest(line[at:], column)
}

// takeCell takes the cell of a wanted column at an offset of a line.
func (s *rowScanner) takeCell(row *row, w *wantedColumn, line []byte, at int) (n decimal, end int, ok bool) {
	if w.texts {
		return s.takeText(row, w, line, at)
	}
	n, end = w.scan(line, at)
	return n, end, n.digits > 0 && (end == len(line) || line[end] == s.delim) && s.store(row, w.role, n)
}

// takeText takes a clock, or a cell whose text is known. The decimal is the
// seconds of a clock.
func (s *rowScanner) takeText(row *row, w *wantedColumn, data []byte, at int) (n decimal, end int, ok bool) {
	if w.role == roleTime && s.parts.form.kind == timeDated {
		// As long as in the row before: a delimiter in between is no part of a date.
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

// takeTime takes a clock, with or without a date.
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

// isRest reports whether the text after a column has the right number of
// columns.
func (s *rowScanner) isRest(text []byte, column int) bool {
	if rest := s.columns - 1 - column; rest > 0 {
		return bytes.Count(text, []byte{s.delim}) == rest
	}
	return len(text) == 0
}

// wideLine returns the line at the start of data without its end. size includes
// the end; it is 0 if the line is not plain.
func (s *rowScanner) wideLine(data []byte) (line []byte, size int) {
	size = bytes.IndexByte(data, '\n') + 1
	if size == 0 || size > maxLine {
		return nil, 0
	}
	line = withoutReturn(data[:size-1])
	if bytes.IndexByte(line, '"') >= 0 {
		return nil, 0
	}
	if s.trailing {
		if !s.endsWithDelim(line) {
			return nil, 0
		}
		line = line[:len(line)-1]
	}
	return line, size
}

// endsWithDelim reports whether a line, without its line feed, ends with a
// delimiter.
func (s *rowScanner) endsWithDelim(line []byte) bool {
	line = withoutReturn(line)
	return len(line) > 0 && line[len(line)-1] == s.delim
}

// withoutReturn is a line without the carriage return that may end it.
func withoutReturn(line []byte) []byte {
	if len(line) > 0 && line[len(line)-1] == '\r' {
		return line[:len(line)-1]
	}
	return line
}

// scan reads the decimal at an offset like [scanDecimal]. If it has as many
// digits as in the previous row, it does so without searching for the end.
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

// store takes a number; it refuses what only the general way can decide.
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
// there are too few. It first tries to jump to shortly before its place in the
// previous row, and counts the delimiters up to there.
func (s *rowScanner) skip(line []byte, from, n int, jump *int) int {
	const short = 8 // margin, as fields change their width
	at := from
	if near := from + *jump - short; *jump > 4*short && near < len(line) {
		if passed := bytes.Count(line[from:near], []byte{s.delim}); passed < n {
			at, n = near, n-passed
		}
	}
	at = behind(line, at, n, s.delim, s.pattern)
	*jump = at - from
	return at
}
