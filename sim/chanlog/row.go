package chanlog

import (
	"bytes"
	"encoding/binary"
	"math/bits"
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
	delim   byte
	columns int
	// trailing says that the rows have a delimiter after their last field.
	trailing bool
	unit     int
	wanted   []wantedColumn // ascending
	pattern  uint64         // eight delimiters
}

// wantedColumn is a column to be found. The jump is from where the search for
// it began to where it was, in the row before.
type wantedColumn struct {
	column int
	role   role
	jump   int
}

type role int

const (
	roleTime role = iota
	roleChannel
	roleArmed
)

func newRowScanner(l *layout) rowScanner {
	s := rowScanner{delim: l.delim, columns: l.columns, unit: l.unit}
	s.pattern = uint64(l.delim) * 0x0101010101010101
	s.wanted = []wantedColumn{{column: l.time, role: roleTime}, {column: l.channel, role: roleChannel}}
	if l.armed >= 0 && l.armed != l.channel {
		s.wanted = append(s.wanted, wantedColumn{column: l.armed, role: roleArmed})
	}
	slices.SortFunc(s.wanted, func(a, b wantedColumn) int { return a.column - b.column })
	return s
}

// scan reads a line without its line end. It returns false where the general
// way has to look.
func (s *rowScanner) scan(line []byte) (row rowNumbers, ok bool) {
	if s.trailing {
		if len(line) == 0 || line[len(line)-1] != s.delim {
			return row, false
		}
		line = line[:len(line)-1]
	}
	row.armed = absent
	at, column := 0, 0
	for i := range s.wanted {
		w := &s.wanted[i]
		if skip := w.column - column; skip > 0 {
			if at = s.skip(line, at, skip, &w.jump); at < 0 {
				return row, false
			}
			column = w.column
		}
		var n number
		if n, at = s.plainNumber(line, at); at < 0 {
			return row, false
		}
		switch w.role {
		case roleTime:
			if row.time, ok = n.micros(s.unit); !ok {
				return row, false
			}
		case roleChannel:
			row.channel = n.plainFloat()
		case roleArmed:
			row.armed = n.plainFloat()
		}
	}
	if rest := s.columns - 1 - column; rest > 0 {
		return row, bytes.Count(line[at:], []byte{s.delim}) == rest
	}
	return row, at == len(line)
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
	at = s.walk(line, at, n)
	*jump = at - from
	return at
}

const (
	lowBits  = 0x7f7f7f7f7f7f7f7f
	highBits = ^uint64(lowBits)
)

// walk returns the offset behind the n-th delimiter from an offset on, -1 if
// there are not as many; it looks at eight bytes at once.
func (s *rowScanner) walk(line []byte, at, n int) int {
	for ; at+8 <= len(line); at += 8 {
		x := binary.LittleEndian.Uint64(line[at:]) ^ s.pattern
		// The high bit of each byte that is 0 in x, exactly.
		hits := ^((x&lowBits + lowBits) | x) & highBits
		here := bits.OnesCount64(hits)
		if here < n {
			n -= here
			continue
		}
		for ; n > 1; n-- {
			hits &= hits - 1
		}
		return at + bits.TrailingZeros64(hits)/8 + 1
	}
	for ; at < len(line); at++ {
		if line[at] == s.delim {
			if n--; n == 0 {
				return at + 1
			}
		}
	}
	return -1
}

// plainNumber reads a number of up to 18 digits without an exponent, and
// returns the offset of the delimiter behind it, or of the end; -1 if the field
// is anything else.
func (s *rowScanner) plainNumber(line []byte, at int) (n number, end int) {
	for at < len(line) && line[at] == ' ' {
		at++
	}
	if at < len(line) && line[at] == '-' {
		n.negative = true
		at++
	}
	begin := at
	for at < len(line) && line[at]-'0' <= 9 {
		n.mantissa = n.mantissa*10 + uint64(line[at]-'0')
		at++
	}
	digits := at - begin
	if at < len(line) && line[at] == '.' {
		at++
		begin = at
		for at < len(line) && line[at]-'0' <= 9 {
			n.mantissa = n.mantissa*10 + uint64(line[at]-'0')
			at++
		}
		n.exponent = begin - at
		digits += at - begin
	}
	for at < len(line) && line[at] == ' ' {
		at++
	}
	if digits == 0 || digits > maxPlainDigits || at < len(line) && line[at] != s.delim {
		return n, -1
	}
	return n, at
}

// maxPlainDigits is how many digits surely fit the 53 bits of a float64, and
// are enough for µs since 1970 until the year 2286.
const maxPlainDigits = 15

// plainFloat is float for a number of few digits.
func (n number) plainFloat() float64 {
	v := float64(n.mantissa)
	if n.exponent < 0 {
		v /= exactPowers[-n.exponent]
	}
	if n.negative {
		return -v
	}
	return v
}

// adapt lets the scanner expect rows with as many fields as one had that was
// read the general way.
func (s *rowScanner) adapt(fields, columns int) {
	s.columns, s.trailing = fields, fields == columns+1
	if s.trailing {
		s.columns = columns
	}
}
