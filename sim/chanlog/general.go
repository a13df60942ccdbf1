package chanlog

import (
	"bytes"
	"fmt"
	"slices"
)

// rowReader is the general way to read a row: any record that a splitter can
// cut.
type rowReader struct {
	layout layout
	split  splitter
	// sawComma says that some number had a decimal comma.
	sawComma bool
}

// fault is what is wrong with a record, at an offset of it.
type fault struct {
	at          int
	found, want string
	// cut says that a record that breaks off may have this fault.
	cut bool
	// fatal says that the rows after it cannot be told either.
	fatal bool
}

// read takes the numbers of the record that the splitter has cut.
func (r *rowReader) read(data []byte) (row rowNumbers, wrong *fault) {
	if wrong = r.checkCount(); wrong != nil {
		return row, wrong
	}
	n, text, ok := r.number(data, r.layout.time)
	if ok {
		row.time, ok = n.micros(r.layout.unit)
	}
	if !ok {
		return row, r.badNumber(r.layout.time, text, "a time")
	}
	if row.channel, wrong = r.value(data, r.layout.channel); wrong != nil {
		return row, wrong
	}
	row.armed = absent
	if r.layout.armed >= 0 {
		row.armed, wrong = r.value(data, r.layout.armed)
	}
	return row, wrong
}

// checkCount compares the number of fields with the header's. An empty field
// behind a delimiter at the end may be there or not.
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
	return &fault{at: at, found: plural(found, "field"), want: fmt.Sprintf("%d", want), cut: found < want}
}

func (r *rowReader) number(data []byte, column int) (n number, text []byte, ok bool) {
	text = r.split.text(data, column)
	n, ok = parseNumber(text, r.layout.comma)
	r.sawComma = r.sawComma || ok && bytes.IndexByte(text, ',') >= 0
	return n, text, ok
}

// value reads a channel; an empty field is no value.
func (r *rowReader) value(data []byte, column int) (float64, *fault) {
	n, text, ok := r.number(data, column)
	switch {
	case len(text) == 0:
		return absent, nil
	case !ok:
		return 0, r.badNumber(column, text, "a number, nan or nothing")
	}
	return n.float(text), nil
}

func (r *rowReader) badNumber(column int, text []byte, want string) *fault {
	f := &fault{at: int(r.split.fields[column].start), found: quoteShort(text), want: want, cut: true}
	if len(text) == 0 {
		f.found = "nothing"
	}
	where := fmt.Sprintf("column #%d", column+1)
	if r.layout.names != nil && r.layout.names[column] != "" {
		where = "column " + quoteShort(r.layout.names[column])
	}
	f.found += " in " + where
	return f
}

// headerKind says what a record is that cannot be read as a row.
type headerKind int

const (
	noHeader    headerKind = iota
	sameHeader             // the header once more, as in files that were put together
	otherHeader            // one with the wanted columns in other places
)

// headerKind compares the record with the header.
func (r *rowReader) headerKind(data []byte) headerKind {
	if r.layout.names == nil {
		return noHeader
	}
	if time := r.layout.time; time < len(r.split.fields) {
		if _, ok := parseNumber(r.split.text(data, time), r.layout.comma); ok {
			return noHeader
		}
	}
	var names []string
	for i := range r.split.fields {
		names = append(names, fold(string(r.split.text(data, i))))
	}
	switch time, channel := r.layout.names[r.layout.time], r.layout.names[r.layout.channel]; {
	case slices.Equal(names, r.layout.names):
		return sameHeader
	case time != "" && channel != "" && slices.Contains(names, time) && slices.Contains(names, channel):
		return otherHeader
	}
	return noHeader
}
