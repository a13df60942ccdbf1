package chanlog

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"

	"flicktally/sim"
	"flicktally/sim/excerpt"
)

// rowReader reads a row in the general way, from any record that a splitter can
// split.
type rowReader struct {
	layout   layout
	parts    parts
	split    splitter
	sawComma bool // a number had a decimal comma
	sawText  bool // the header or a row had quoted text
	// learn is called with the meaning of a cell that is not a number.
	learn func(r role, text []byte, value float64)
}

// fault is a fault of a record, at an offset.
type fault struct {
	at          int
	found, want string
	torn        bool // the record may be truncated
	fatal       bool // the rows after it cannot be read either
}

// read reads the wanted fields of the record that the splitter has split.
func (r *rowReader) read(data []byte) (row row, wrong *fault) {
	if wrong = r.checkCount(); wrong != nil {
		return row, wrong
	}
	if row.time, wrong = r.time(data); wrong != nil {
		return row, wrong
	}
	if row.channel, wrong = r.value(data, r.layout.channel, roleChannel, &r.parts.channel); wrong != nil {
		return row, wrong
	}
	row.armed = sim.Absent
	if r.layout.armed >= 0 {
		if row.armed, wrong = r.value(data, r.layout.armed, roleArmed, &r.parts.armed); wrong != nil {
			return row, wrong
		}
	}
	if r.layout.failsafe >= 0 {
		row.lost, wrong = r.isLost(data)
	}
	if row.lost {
		row.channel = sim.Lost
	}
	r.sawText = r.sawText || wrong == nil && r.hasQuotedText(data)
	return row, wrong
}

// time reads the time, and the date if it has a column of its own.
func (r *rowReader) time(data []byte) (at int64, wrong *fault) {
	text := r.text(data, r.layout.time)
	at, ok := r.parts.form.parse(text, r.layout.comma)
	if !ok {
		return 0, r.badCell(r.layout.time, text, r.parts.form.kind.example())
	}
	if r.layout.date >= 0 {
		date := r.text(data, r.layout.date)
		days, ok := parseDate(date, r.parts.form.order)
		if !ok {
			return 0, r.badCell(r.layout.date, date, "a date such as 2026-05-03")
		}
		r.learn(roleDate, date, float64(days))
		at += days * dayMicros
	}
	return at, nil
}

// hasQuotedText reports whether a record has quoted text that is not a number.
func (r *rowReader) hasQuotedText(data []byte) bool {
	return slices.ContainsFunc(r.split.fields, func(f field) bool {
		_, isNumber := parseNumber(bytes.TrimSpace(data[f.start:f.end]), r.layout.comma)
		return f.quoted && f.end > f.start && !isNumber
	})
}

// checkCount compares the number of fields with that of the header. An empty
// field after a final delimiter is optional.
func (r *rowReader) checkCount() *fault {
	found, want := r.split.count, r.layout.columns
	switch {
	case found == want:
		return nil
	case found == want+1 && found <= len(r.split.fields) && r.split.empty(found-1):
		return nil
	case found == want-1 && r.layout.lastUnnamed && !r.layout.has(want-1):
		return nil
	}
	at := 0
	if found > want {
		at = int(r.split.fields[want].start)
	}
	return &fault{at: at, found: plural(int64(found), "field"), want: strconv.Itoa(want), torn: found < want}
}

// text returns the text of a cell, and notes a decimal comma in it.
func (r *rowReader) text(data []byte, column int) []byte {
	text := r.split.text(data, column)
	if r.layout.comma && !r.sawComma && bytes.IndexByte(text, ',') >= 0 {
		_, r.sawComma = parseNumber(text, true)
	}
	return text
}

// value reads a channel. An empty field is an absent value.
func (r *rowReader) value(data []byte, column int, role role, cells *cells) (sim.PulseWidth, *fault) {
	text := r.text(data, column)
	w, isWord, ok := cells.read(text)
	if !ok {
		return 0, r.badCell(column, text, "a number, nan or nothing")
	}
	if isWord {
		r.learn(role, text, float64(w))
	}
	return w, nil
}

// isLost reads the failsafe column.
func (r *rowReader) isLost(data []byte) (bool, *fault) {
	text := r.text(data, r.layout.failsafe)
	lost, isWord, ok := r.parts.failsafe.read(text)
	if !ok {
		return false, r.badCell(r.layout.failsafe, text, "a number, on, off or nothing")
	}
	if isWord {
		value := 0.
		if lost {
			value = 1
		}
		r.learn(roleFailsafe, text, value)
	}
	return lost, nil
}

func (r *rowReader) badCell(column int, text []byte, want string) *fault {
	found := "nothing"
	if len(text) > 0 {
		found = excerpt.Quote(text)
	}
	return &fault{at: int(r.split.fields[column].start), found: found + " in " + r.layout.columnName(column), want: want, torn: true}
}

// columnName names a column for a message.
func (l *layout) columnName(column int) string {
	if l.names != nil && l.names[column] != "" {
		return "column " + excerpt.Quote(l.names[column])
	}
	return fmt.Sprintf("column #%d", column+1)
}

// compareHeader reports whether a record that is not a row is a header, and
// whether it is the log's own again, as in concatenated files.
func (r *rowReader) compareHeader(data []byte) (isHeader, same bool) {
	if r.layout.names == nil {
		return false, false
	}
	if time := r.layout.time; time < len(r.split.fields) {
		if _, ok := r.parts.form.parse(r.split.text(data, time), r.layout.comma); ok {
			return false, false
		}
	}
	var names []string
	for i := range r.split.fields {
		names = append(names, fold(string(r.split.text(data, i))))
	}
	time, channel := r.layout.names[r.layout.time], r.layout.names[r.layout.channel]
	isHeader = time != "" && channel != "" && slices.Contains(names, time) && slices.Contains(names, channel)
	return isHeader, slices.Equal(names, r.layout.names)
}
