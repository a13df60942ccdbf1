package chanlog

import "encoding/binary"

// stillField tells whether a wanted field of a row is still, with the byte
// behind it.
type stillField struct {
	wantedColumn
	size int
	// Two words cover the field and the byte behind it, the second of them, at
	// last, ends with that byte, unless one word has more room than they need.
	words [2]wordText
	last  int
	used  uint64 // of a word
	may   textRange
}

// maxStillField is how long a field may be with the byte behind it.
const maxStillField = 2 * word

// fieldBytes is a field and what follows it.
type fieldBytes [maxStillField + word]byte

// is reports whether the field at an offset is still. It notes a time, so that
// only a later one is.
func (f *stillField) is(data []byte, at int) bool {
	if at+len(fieldBytes{}) > len(data) {
		return false
	}
	field := (*fieldBytes)(data[at:])
	first := binary.LittleEndian.Uint64(field[:]) & f.used
	second := binary.LittleEndian.Uint64(field[f.last&(maxStillField-1):]) & f.used
	text := binary.BigEndian.Uint64(field[f.may.at&(maxStillField-1):]) & f.may.mask
	if (f.words[0].differs(first)|f.words[1].differs(second))&highBits != 0 || text < f.may.low || text > f.may.high {
		return false
	}
	if f.role == roleTime {
		f.may.low = text + 1
	}
	return true
}

// learnWide takes the texts of the wanted fields of the row at the beginning of
// data, if they are short enough.
func (s *stillRows) learnWide(data []byte, columns []wantedColumn, shape *rowShape) bool {
	s.wide = s.wide[:0]
	for i, place := range shape.fields {
		f := stillField{wantedColumn: columns[i], size: place.end - place.at}
		if f.size+1 > maxStillField || place.at+len(fieldBytes{}) > len(data) {
			return false
		}
		switch place.role {
		case roleTime:
			f.may = s.time
		case roleChannel:
			f.may = s.value
		case roleArmed:
			f.may.at = place.at
		}
		f.may.at -= place.at
		f.last = max(0, f.size+1-word)
		f.used = byteRange(0, f.size+1)
		for i, at := range []int{0, f.last} {
			text := binary.LittleEndian.Uint64(data[place.at+at:]) & f.used
			f.words[i] = newWordText(text, byteRange(f.may.at-at, f.may.at+f.may.size()-at))
		}
		s.wide = append(s.wide, f)
	}
	return true
}

// countWide returns how many rows behind the one at the beginning of data may be
// left out, their size, and how many more are still.
func (s *stillRows) countWide(data []byte, scanner *rowScanner) (rows, size, kept int) {
	first := scanner.shape.size
	var begins [keptRows]int // of the rows before
	for at := first; ; rows++ {
		n := s.scanWide(data[at:], scanner)
		if n == 0 {
			break
		}
		begins[rows%keptRows] = at
		at += n
	}
	kept = min(rows, keptRows)
	if rows -= kept; rows > 0 {
		size = begins[rows%keptRows] - first
	}
	return rows, size, kept
}

// scanWide returns the size of the row at the beginning of data if it is still,
// else 0.
func (s *stillRows) scanWide(data []byte, scanner *rowScanner) int {
	line, size := scanner.wideLine(data)
	if size == 0 {
		return 0
	}
	at, column := 0, 0
	for i := range s.wide {
		f := &s.wide[i]
		if skip := f.column - column; skip > 0 {
			if at = scanner.skip(line, at, skip, &f.jump); at < 0 {
				return 0
			}
			column = f.column
		}
		if !f.is(data, at) {
			return 0
		}
		at += f.size
	}
	if !scanner.isRest(line[at:], column) {
		return 0
	}
	return size
}
