package chanlog

import (
	"bytes"
	"slices"

	"flicktally/sim"
)

// rowNumbers are the numbers of a row: the time in µs by the log's own count,
// the channels as they are logged, NaN where there is none.
type rowNumbers struct {
	time           int64
	channel, armed float64
}

var absent = float64(sim.Absent)

// rowScanner is the fast way to read a row: it takes plain lines only, without
// quotes, and leaves everything odd to the general way, which reads the same
// from the lines that both can read.
type rowScanner struct {
	delim    byte
	columns  int
	trailing bool // the rows have a delimiter behind their last field
	unit     int
	wanted   []wantedColumn // ascending
	dense    bool           // no column is unwanted
	shared   bool           // the armed channel is the channel
	pattern  uint64         // eight delimiters
	learns   bool           // shapes of rows that are not dense, too
	shape    rowShape       // of the row before, where it was learned
}

// wantedColumn is a column to be found.
type wantedColumn struct {
	column int
	role   role
	// jump is from where the search for it began to where it was, in the row
	// before.
	jump int
	// digits is of how many digits alone the field was, in the row before; 0 if
	// it was anything else.
	digits int
}

type role int

const (
	roleTime role = iota
	roleChannel
	roleArmed
)

// newRowScanner returns a scanner; thins says that shapes of rows are wanted.
func newRowScanner(l *layout, thins bool) rowScanner {
	s := rowScanner{delim: l.delim, unit: l.unit, shared: l.armed == l.channel, learns: thins && l.armed != l.channel}
	s.pattern = uint64(l.delim) * eachByte
	s.wanted = []wantedColumn{{column: l.time, role: roleTime}, {column: l.channel, role: roleChannel}}
	if l.armed >= 0 && !s.shared {
		s.wanted = append(s.wanted, wantedColumn{column: l.armed, role: roleArmed})
	}
	slices.SortFunc(s.wanted, func(a, b wantedColumn) int { return a.column - b.column })
	s.adapt(l.columns, l.columns)
	return s
}

// adapt lets the scanner expect rows with as many fields as one had that was
// read the general way. It reports whether it had expected others.
func (s *rowScanner) adapt(fields, columns int) bool {
	trailing, columns := fields == columns+1, min(fields, columns)
	if trailing == s.trailing && columns == s.columns {
		return false
	}
	s.trailing, s.columns = trailing, columns
	s.dense = len(s.wanted) == s.columns && !s.trailing
	return true
}

// delims is how many delimiters a row has.
func (s *rowScanner) delims() int {
	if s.trailing {
		return s.columns
	}
	return s.columns - 1
}

// scan reads the row at the beginning of data and returns its size with the
// line end; 0 where the general way has to look.
func (s *rowScanner) scan(data []byte) (row rowNumbers, size int) {
	row.armed = absent
	var ok bool
	switch {
	case !s.dense:
		size, ok = s.scanWide(data, &row)
	case s.shape.scan(data, &row):
		size, ok = s.shape.size, true
	default:
		size, ok = s.scanDense(data, &row)
	}
	if !ok {
		return row, 0
	}
	if s.shared {
		row.armed = row.channel
	}
	return row, size
}

// scanDense reads a row whose numbers are all wanted: one after the other, up
// to the line end.
func (s *rowScanner) scanDense(data []byte, row *rowNumbers) (int, bool) {
	at := 0
	s.shape.begin(s.unit)
	for i := range s.wanted {
		if i > 0 {
			if data[at] != s.delim {
				return 0, false
			}
			at++
		}
		n, end := scanDecimal(data, at)
		if end >= len(data) || n.digits == 0 || !s.store(row, s.wanted[i].role, n) {
			return 0, false
		}
		s.shape.add(s.wanted[i].role, at, end, n, data[end])
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

// scanWide reads a row that has unwanted columns: it counts their delimiters
// only.
func (s *rowScanner) scanWide(data []byte, row *rowNumbers) (int, bool) {
	line, size := s.wideLine(data)
	if size == 0 {
		return 0, false
	}
	if s.learns {
		s.shape.begin(s.unit)
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
		n, end := w.scan(line, at)
		if n.digits == 0 || end < len(line) && line[end] != s.delim || !s.store(row, w.role, n) {
			return 0, false
		}
		if s.learns {
			s.shape.add(w.role, at, end, n, data[end])
		}
		at = end
	}
	if s.learns {
		s.shape.end(size)
	}
	return size, s.isRest(line[at:], column)
}

// isRest reports whether what follows a column holds the columns behind it.
func (s *rowScanner) isRest(text []byte, column int) bool {
	if rest := s.columns - 1 - column; rest > 0 {
		return bytes.Count(text, []byte{s.delim}) == rest
	}
	return len(text) == 0
}

// wideLine cuts the line at the beginning of data, without what ends it. Its
// size counts that; it is 0 where the line is not plain.
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

// scan reads the decimal at an offset as [scanDecimal] does; where it is like
// that of the row before, without waiting for its end to be found.
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

// store takes a number; it refuses what only the general way can tell.
func (s *rowScanner) store(row *rowNumbers, role role, n decimal) bool {
	if n.digits > maxPlainDigits && role != roleTime || n.digits > maxTimeDigits {
		return false
	}
	ok := true
	switch role {
	case roleTime:
		row.time, ok = n.micros(s.unit)
	case roleChannel:
		row.channel = n.float()
	case roleArmed:
		row.armed = n.float()
	}
	return ok
}

// skip returns the offset behind the n-th delimiter from an offset on, -1 if
// there are not as many. It first tries to jump to shortly before where that
// was in the row before, and counts the delimiters on the way.
func (s *rowScanner) skip(line []byte, from, n int, jump *int) int {
	const short = 8 // a little before, as fields change their width
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
