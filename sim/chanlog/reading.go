package chanlog

import (
	"bytes"
	"slices"
)

// reading is a record at the start of a log, split by one delimiter.
type reading struct {
	delim   byte
	fields  []string
	numbers int // fields that are numbers, clocks or dates
	words   int // two-valued ones
	empty   int
	size    int
	lines   int64
}

// read splits the record at the start of data with every possible delimiter;
// more says that with one of them the record may continue.
func (s *search) read(data []byte) (readings []reading, more bool) {
	delims := []Delimiter{DelimiterComma, delimiterSemicolon, delimiterTab, delimiterBar}
	if !bytes.ContainsAny(data[:firstLine(data)], ",;\t|") {
		delims = append(delims, delimiterSpaces)
	}
	if s.opts.Delimiter != delimiterAuto {
		delims = []Delimiter{s.opts.Delimiter}
	}
	final := s.src.ended() || len(data) > maxLine
	data = data[:min(len(data), maxLine)]
	for _, d := range delims {
		switch s.split.split(data, byte(d), final) {
		case splitMore:
			more = true
		case splitDone:
			readings = append(readings, s.copyReading(data, byte(d)))
		}
	}
	return readings, more
}

// cut splits a whole record again.
func (s *search) cut(record []byte, delim byte) (reading, bool) {
	if s.split.split(record, delim, true) != splitDone || s.split.size != len(record) {
		return reading{}, false
	}
	return s.copyReading(record, delim), true
}

func (s *search) copyReading(data []byte, delim byte) reading {
	out := reading{delim: delim, size: s.split.size, lines: countLines(data[:s.split.size])}
	for i := range s.split.fields {
		text := s.split.text(data, i)
		if len(text) == 0 {
			out.empty++
		} else if isValue(text, delim != ',') {
			out.numbers++
		} else if _, ok := twoValuedWord(text); ok {
			out.words++
		}
		out.fields = append(out.fields, string(text))
	}
	return out
}

// isValue reports whether a text is a number, with a unit or without, a clock, a
// date, or both.
func isValue(text []byte, comma bool) bool {
	if _, ok := parseNumber(text, comma); ok {
		return true
	}
	if text[0] < '0' && text[0] != '-' && text[0] != '+' && text[0] != '.' || text[0] > '9' {
		return false
	}
	numbers := cells{scale: 1, comma: comma}
	_, isClock := parseClock(text, comma)
	_, isDate := parseDate(text, orderOpen)
	_, isDated := parseDated(text, orderOpen, comma)
	_, _, isMeasured := parseMeasured(text, comma)
	_, _, isWidth := numbers.read(text)
	return isClock || isDate || isDated || isMeasured || isWidth
}

// countLines counts lines, including one without a line end.
func countLines(data []byte) int64 {
	n := bytes.Count(data, newline)
	if len(data) > 0 && data[len(data)-1] != '\n' {
		n++
	}
	return int64(n)
}

// record makes the record at the start of data pending. It is the line of the
// given size, unless it reads as a row or as well-formed fields over several
// lines.
func (s *search) record(data []byte, line int, readings []reading) pendingRecord {
	out := pendingRecord{size: line, lines: 1}
	for i := range readings {
		rd := &readings[i]
		if s.opts.isRow(rd) && (out.row == nil || rd.share() > out.row.share() ||
			rd.share() == out.row.share() && len(rd.fields) > len(out.row.fields)) {
			out.row, out.size, out.lines = rd, rd.size, rd.lines
		}
	}
	for _, rd := range readings {
		if out.row == nil && rd.size > out.size {
			out.size, out.lines = rd.size, rd.lines
		}
	}
	return out
}

// isRow reports whether a record reads as a row: a number in the time column
// and a number or nothing in the channel's, or numbers in most fields.
func (o *Options) isRow(rd *reading) bool {
	if len(rd.fields) < 2 || rd.numbers == 0 {
		return false
	}
	time, known := parseNumberRef(o.Spec.Time)
	if known && !rd.isNumber(time-1) {
		return false
	}
	if rd.share() > 0.5 {
		return true
	}
	channel, ok := parseNumberRef(o.Spec.Channel)
	return known && ok && (rd.isNumber(channel-1) || rd.isEmpty(channel-1))
}

// share returns the share of the fields that read as numbers.
func (rd *reading) share() float64 {
	return float64(rd.numbers+rd.words+rd.empty) / float64(len(rd.fields))
}

func (rd *reading) isNumber(column int) bool {
	if column < 0 || column >= len(rd.fields) {
		return false
	}
	text := []byte(rd.fields[column])
	if n, ok := parseNumber(text, rd.delim != ','); ok {
		return n.finite()
	}
	return len(text) > 0 && isValue(text, rd.delim != ',')
}

func (rd *reading) isEmpty(column int) bool {
	return column >= 0 && column < len(rd.fields) && rd.fields[column] == ""
}

// sameShape reports whether two records have equally many fields, ignoring a
// final delimiter.
func (rd *reading) sameShape(other reading) bool {
	return rd.width() == other.width() || len(rd.fields) == len(other.fields)
}

// width returns the number of fields, ignoring an empty one after a final
// delimiter.
func (rd *reading) width() int {
	if n := len(rd.fields); n > 1 && rd.fields[n-1] == "" {
		return n - 1
	}
	return len(rd.fields)
}

// resolve finds the wanted columns, by the record's fields as the header or by
// their number alone.
func (rd *reading) resolve(opts Options, isHeader bool) (resolved, *misfit) {
	r := resolver{spec: opts.Spec, count: len(rd.fields)}
	if isHeader {
		r.names = rd.fields
	} else if opts.lastNumber() <= rd.width() {
		r.count = rd.width()
	}
	return r.resolve()
}

// lastNumber returns the highest column requested by number, 0 if none is.
func (o *Options) lastNumber() int {
	last := 0
	for _, ref := range []string{o.Spec.Time, o.Spec.Channel, o.Spec.Armed, o.Spec.Failsafe} {
		if number, ok := parseNumberRef(ref); ok {
			last = max(last, number)
		}
	}
	return last
}

// wants reports whether a header is one of the requested names, or reads as a
// time if none was requested.
func (o *Options) wants(name string) bool {
	asked := []string{fold(o.Spec.Time), fold(o.Spec.Channel), fold(o.Spec.Armed), fold(o.Spec.Failsafe)}
	_, isTime := readsAsTime(name)
	return name != "" && slices.Contains(asked, fold(name)) || o.Spec.Time == defaultTime && isTime
}
