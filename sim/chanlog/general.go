package chanlog

import (
	"bytes"
	"fmt"
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

// isHeader reports whether the record is the header once more, as in files that
// were put together.
func (r *rowReader) isHeader(data []byte) bool {
	if r.layout.names == nil || r.split.count != len(r.layout.names) {
		return false
	}
	for i, name := range r.layout.names {
		if fold(string(r.split.text(data, i))) != name {
			return false
		}
	}
	return true
}

// isOtherHeader reports whether the record names the wanted columns in other
// places than the header does.
func (r *rowReader) isOtherHeader(data []byte) bool {
	if r.layout.names == nil {
		return false
	}
	wanted := map[string]bool{}
	for _, column := range []int{r.layout.time, r.layout.channel} {
		if name := r.layout.names[column]; name != "" {
			wanted[name] = true
		}
	}
	for i := range r.split.fields {
		delete(wanted, fold(string(r.split.text(data, i))))
	}
	return len(wanted) == 0
}
