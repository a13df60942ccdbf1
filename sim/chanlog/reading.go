package chanlog

import (
	"bytes"
	"cmp"
	"slices"
)

// reading is a record at the start of a log, split by one of the delimiters.
type reading struct {
	delim   byte
	fields  []string
	numbers int // fields that are numbers, clocks or dates
	words   int // two-valued ones
	empty   int
	size    int
	lines   int64
}

// read splits the record at the start of data by every possible delimiter. more
// says that the record may continue beyond data by one of them.
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

// copyReading copies the record that was split last, and counts its values.
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

// isValue reports whether a text is a number, with or without a unit, a clock, a
// date, or a date with a clock.
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

// pendingRecord returns the record to be pended: the line of the given size,
// unless it reads as a row or as well-formed fields over several lines.
func (o *Options) pendingRecord(line int, readings []reading) pendingRecord {
	out := pendingRecord{size: line, lines: 1}
	for i := range readings {
		rd := &readings[i]
		if !o.isRow(rd) {
			continue
		}
		if row := out.row; row == nil || cmp.Or(cmp.Compare(rd.share(), row.share()), len(rd.fields)-len(row.fields)) > 0 {
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

// isRow reports whether a record reads as a row: the time column has a number,
// and so do most fields, or the channel has a number or nothing.
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

// share returns the share of the fields that are values or empty.
func (rd *reading) share() float64 {
	return float64(rd.numbers+rd.words+rd.empty) / float64(len(rd.fields))
}

// isNumber reports whether a column has a finite number, a clock or a date.
func (rd *reading) isNumber(column int) bool {
	if column < 0 || column >= len(rd.fields) {
		return false
	}
	text := []byte(rd.fields[column])
	if n, ok := parseNumber(text, rd.delim != ','); ok {
		return !n.special
	}
	return len(text) > 0 && isValue(text, rd.delim != ',')
}

func (rd *reading) isEmpty(column int) bool {
	return column >= 0 && column < len(rd.fields) && rd.fields[column] == ""
}

// width returns the number of fields, without an empty one after a final
// delimiter.
func (rd *reading) width() int {
	if n := len(rd.fields); n > 1 && rd.fields[n-1] == "" {
		return n - 1
	}
	return len(rd.fields)
}

// resolve finds the wanted columns: by their names if the record is the header,
// otherwise by their number.
func (rd *reading) resolve(opts Options, isHeader bool) (resolved, *misfit) {
	switch {
	case isHeader:
		return resolve(opts.Spec, rd.fields, len(rd.fields))
	case opts.lastNumber() <= rd.width():
		return resolve(opts.Spec, nil, rd.width())
	}
	return resolve(opts.Spec, nil, len(rd.fields))
}

// lastNumber returns the highest column requested by number, 0 if none is.
func (o *Options) lastNumber() int {
	last := 0
	for _, name := range o.requested() {
		if number, ok := parseNumberRef(name); ok {
			last = max(last, number)
		}
	}
	return last
}

// requested lists the names of the wanted columns; "" for none.
func (o *Options) requested() []string {
	return []string{fold(o.Spec.Time), fold(o.Spec.Channel), fold(o.Spec.Armed), fold(o.Spec.Failsafe)}
}

// wants reports whether a header is one of the requested names, or reads as a
// time if none was requested.
func (o *Options) wants(name string) bool {
	_, isTime := readsAsTime(name)
	return name != "" && slices.Contains(o.requested(), fold(name)) || o.Spec.Time == defaultTime && isTime
}
