package chanlog

import (
	"encoding/binary"
	"math/bits"

	"flicktally/sim/chanlog/bitmap"
)

// unchangedField is the text of a wanted field, with the byte after it, in an
// unchanged row.
type unchangedField struct {
	wantedColumn
	size int
	near int // an offset in the row, shortly before the field
	// The tail is the word that ends with the byte after the field, or the field
	// and that byte if they are shorter than a word. It contains what may differ.
	tail      wordText
	used      uint64 // the bytes of the tail that belong to the field
	tailAt    int    // offset in the field
	mayDiffer textRange
	// The head is the first word of a longer field.
	head, headMask uint64
}

// maxUnchangedField is the greatest length of a field with the byte after it.
const maxUnchangedField = 2 * word

// nearby is how far before its last place the search for a field starts, since
// the fields before it change their width; maxPassed is how many fields may end
// in between.
const (
	nearby    = 10
	maxPassed = 3
)

// learnWide takes over the texts of the wanted fields of the row at the start of
// data, if they are short enough.
func (s *unchangedRows) learnWide(data []byte, columns []wantedColumn, shape *rowShape) bool {
	s.wide = s.wide[:0]
	s.nearEnd = max(0, shape.size-1-bitmap.Ahead/2)
	for i, place := range shape.fields {
		f := unchangedField{wantedColumn: columns[i], size: place.end - place.at, near: max(0, place.at-nearby)}
		if f.size+1 > maxUnchangedField || place.at+maxUnchangedField+word > len(data) {
			return false
		}
		text := data[place.at:]
		f.tailAt = max(0, f.size+1-word)
		switch tail := place.at + f.tailAt; place.role {
		case roleTime:
			f.mayDiffer = s.time.from(tail)
			f.mayDiffer.low++ // a row at the same time is not unchanged
		case roleChannel:
			f.mayDiffer = s.value.from(tail)
		}
		f.used = byteRange(0, f.size+1)
		f.tail = newWordText(binary.LittleEndian.Uint64(text[f.tailAt:])&f.used, bits.ReverseBytes64(f.mayDiffer.mask))
		f.head, f.headMask = binary.LittleEndian.Uint64(text), byteRange(0, f.tailAt)
		s.wide = append(s.wide, f)
	}
	return true
}

// countWide returns how many rows after the one at the start of data may be left
// out, their size, and how many more are unchanged.
func (s *unchangedRows) countWide(data []byte, scanner *rowScanner) (rows, size, kept int) {
	first := scanner.shape.size
	run := unchangedRun{at: first}
	for s.followWide(&run, data[run.at:], scanner) {
	}
	kept = min(run.rows, keptRows)
	if rows = run.rows - kept; rows > 0 {
		size = run.begins[0] - first
	}
	return rows, size, kept
}

// unchangedRun is a run of unchanged rows.
type unchangedRun struct {
	rows   int
	begins [keptRows]int // offsets of the last ones
	at     int           // offset after them
}

// followWide adds rows to a run, from the start of data to the end of the map. It
// reports whether there were any.
func (s *unchangedRows) followWide(run *unchangedRun, data []byte, scanner *rowScanner) bool {
	if cap(data) < len(window{}) {
		return false
	}
	s.text = (*window)(data[:cap(data)])
	known := s.bits.Draw(data, scanner.delim)
	want := bitmap.Of(scanner.delims, 0)
	begins := run.begins
	var before bitmap.Count // the row
	begin, rows := 0, 0
	for begin+s.nearEnd < known {
		near := begin + s.nearEnd
		end := near + bits.TrailingZeros64(s.bits.Ends(near))
		if end >= known || s.text[end&(windowSize-1)] != '\n' {
			break
		}
		now := s.bits.Count(end)
		if now-before != want || !s.fieldsAreUnchanged(begin, end, before) || scanner.trailing && !scanner.endsWithDelim(data[begin:end]) {
			break
		}
		begins[0], begins[1] = begins[1], run.at+begin
		begin, before = end+1, now+bitmap.Of(0, 1)
		rows++
	}
	run.begins = begins
	run.rows += rows
	run.at += begin
	return rows > 0
}

// fieldsAreUnchanged reports whether the wanted fields of the row from begin to
// end are unchanged; before is what the map counts before it. If so, only later
// rows will be unchanged.
func (s *unchangedRows) fieldsAreUnchanged(begin, end int, before bitmap.Count) bool {
	for i := range s.wide {
		f := &s.wide[i]
		at := begin
		if f.column > 0 {
			near := begin + f.near
			hits := s.bits.Delims(near)
			passed := uint64(f.column - 1 - (s.bits.CountDelims(near) - before.Delims()))
			if passed > maxPassed {
				return false
			}
			// Clear that many of the lowest bits. A branch for each would often be
			// mispredicted.
			hits &= hits - (passed|passed>>1)&1
			hits &= hits - passed>>1
			hits &= hits - passed>>1&passed
			if hits == 0 {
				return false // the field is farther off
			}
			at = near + bits.TrailingZeros64(hits) + 1
		}
		if at+f.size > end { // the row is so short that its map may end before near
			return false
		}
		field := s.text[at&(windowSize-1):]
		head := binary.LittleEndian.Uint64(field)
		tail := binary.LittleEndian.Uint64(field[f.tailAt&(maxUnchangedField-1):]) & f.used
		text := bits.ReverseBytes64(tail) & f.mayDiffer.mask
		if (head^f.head)&f.headMask|f.tail.differs(tail)&highBits != 0 || text < f.mayDiffer.low || text > f.mayDiffer.high {
			return false
		}
		if f.role == roleTime {
			f.mayDiffer.low = text + 1
		}
	}
	return true
}
