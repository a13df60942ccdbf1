package chanlog

import "bytes"

// Limits on the memory of a reader, whatever its input.
const (
	maxLine    = 1 << 20 // bytes of a record with its line end
	maxColumns = 20_000
)

// field is where the text of a field is in a record, without outer spaces and
// quotes.
type field struct {
	start, end int32
	quoted     bool
}

// splitter splits a record of RFC 4180 into fields. Beyond the RFC it accepts LF
// as a line end, spaces outside quotes, and quotes inside a field that does not
// start with one.
type splitter struct {
	fields []field // at most maxColumns
	count  int     // of all fields
	size   int     // bytes of the record, with its line end
	ended  bool    // the record has a line end
	at     int     // offset of the fault
	open   int     // of splitStray: offset of the opening quote
}

type splitStatus int

const (
	splitDone     splitStatus = iota
	splitMore                 // the record may continue beyond the data
	splitUnclosed             // the quoted field at the fault is not closed
	splitStray                // the text at the fault follows a closing quote
)

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f' }

// split splits the record at the start of data. final says that no more data
// belongs to it.
func (s *splitter) split(data []byte, delim byte, final bool) splitStatus {
	s.fields, s.count, s.size, s.ended = s.fields[:0], 0, 0, false
	for pos := 0; ; pos++ {
		f, end, status := s.field(data, pos, delim, final)
		if status != splitDone {
			return status
		}
		if delim == ' ' {
			end = lastSpace(data, end)
		}
		if end == len(data) && !final {
			return splitMore
		}
		s.add(f)
		if end == len(data) || data[end] == '\n' {
			s.ended = end < len(data)
			s.size = min(end+1, len(data))
			return splitDone
		}
		pos = end
	}
}

// field reads the field at an offset, and returns the offset after it.
func (s *splitter) field(data []byte, pos int, delim byte, final bool) (field, int, splitStatus) {
	start := pos
	for start < len(data) && isSpace(data[start]) && (data[start] != delim || delim == ' ') {
		start++
	}
	if start < len(data) && data[start] == '"' {
		return s.quotedField(data, start, delim, final)
	}
	if delim == ' ' {
		pos = start
	}
	for pos < len(data) && data[pos] != delim && data[pos] != '\n' {
		pos++
	}
	end := pos
	for end > start && isSpace(data[end-1]) {
		end--
	}
	return field{int32(min(start, end)), int32(end), false}, pos, splitDone
}

// quotedField reads the field whose quote opens at an offset.
func (s *splitter) quotedField(data []byte, open int, delim byte, final bool) (f field, pos int, status splitStatus) {
	end, status := s.closingQuote(data, open, final)
	if status != splitDone {
		return field{}, 0, status
	}
	pos = end + 1
	for pos < len(data) && isSpace(data[pos]) && data[pos] != delim {
		pos++
	}
	if pos < len(data) && data[pos] != delim && data[pos] != '\n' {
		if !final && bytes.IndexByte(data[pos:], '\n') < 0 {
			return field{}, 0, splitMore // the error shows the whole line
		}
		s.at, s.open = pos, open
		return field{}, 0, splitStray
	}
	return field{int32(open + 1), int32(end), true}, pos, splitDone
}

// lastSpace returns the last of the spaces at an offset, as a run of them is one
// delimiter. At the end of a line it returns that end.
func lastSpace(data []byte, at int) int {
	end := at
	for end < len(data) && isSpace(data[end]) {
		end++
	}
	if end > at && end < len(data) && data[end] != '\n' {
		return end - 1
	}
	return end
}

// closingQuote returns the offset of the quote that closes a field opened at an
// offset.
func (s *splitter) closingQuote(data []byte, open int, final bool) (int, splitStatus) {
	for pos := open + 1; ; pos += 2 {
		i := bytes.IndexByte(data[pos:], '"')
		last := pos+i+1 == len(data)
		switch {
		case !final && (i < 0 || last):
			return 0, splitMore
		case i < 0:
			s.at = open
			return 0, splitUnclosed
		case last || data[pos+i+1] != '"':
			return pos + i, splitDone
		}
		pos += i
	}
}

func (s *splitter) add(f field) {
	s.count++
	if len(s.fields) < maxColumns {
		s.fields = append(s.fields, f)
	}
}

// text returns the text of a field, without outer spaces and with doubled
// quotes undone.
func (s *splitter) text(data []byte, i int) []byte {
	f := s.fields[i]
	text := data[f.start:f.end]
	if f.quoted {
		text = bytes.TrimSpace(text)
		if bytes.Contains(text, []byte(`""`)) {
			text = bytes.ReplaceAll(text, []byte(`""`), []byte(`"`))
		}
	}
	return text
}

// empty reports whether a field has no text, not even quotes.
func (s *splitter) empty(i int) bool {
	return s.fields[i].start == s.fields[i].end && !s.fields[i].quoted
}

// lineEndWithin returns the offset of the quote that opens the first field with
// a line end inside; -1 if there is none.
func (s *splitter) lineEndWithin(data []byte) int {
	for _, f := range s.fields {
		if f.quoted && bytes.IndexByte(data[f.start:f.end], '\n') >= 0 {
			return int(f.start) - 1
		}
	}
	return -1
}

// firstLine returns the size of the line at the start of data, with its line
// feed if it has one.
func firstLine(data []byte) int {
	if i := bytes.IndexByte(data, '\n'); i >= 0 {
		return i + 1
	}
	return len(data)
}

// blankLines returns the size and the number of the lines at the start of data
// that have only spaces and a line end.
func blankLines(data []byte, delim byte) (size int, lines int64) {
	for i, c := range data {
		switch {
		case c == '\n':
			size = i + 1
			lines++
		case !isSpace(c) || c == delim && c != ' ':
			return size, lines
		}
	}
	return size, lines
}

// isBlank reports whether a line has only spaces.
func isBlank(line []byte) bool { return len(bytes.TrimSpace(line)) == 0 }
