package session

import "bytes"

// rowCutter splits data into lines, which end in LF, CRLF or CR. It passes each on
// with LF at its end.
type rowCutter struct {
	begun    []byte // the current line so far
	overlong bool   // the current line is too long
}

// longestRow is longer than any row sent live.
const longestRow = 64 << 10

// cut calls each with every line that ends in data; rows says that the end of data
// ends a line. The start of a line that is too long is passed on once.
func (c *rowCutter) cut(data []byte, rows bool, each func(line []byte, whole bool)) {
	for len(data) > 0 {
		end := bytes.IndexAny(data, "\r\n")
		switch {
		case end < 0 && !rows:
			c.begin(data, each)
			return
		case end < 0:
			end = len(data)
		case data[end] == '\r' && end+1 == len(data) && !rows:
			c.begin(data, each) // a line feed may follow
			return
		}
		c.begin(data[:end], each)
		data = data[end:]
		data = data[lineEnd(data):]
		c.finish(each)
	}
}

// lineEnd returns how many bytes end the line at the start of data.
func lineEnd(data []byte) int {
	switch {
	case len(data) == 0:
		return 0
	case data[0] == '\r' && len(data) > 1 && data[1] == '\n':
		return 2
	default:
		return 1
	}
}

// begin adds to the current line. A carriage return at its end ends it first.
func (c *rowCutter) begin(data []byte, each func([]byte, bool)) {
	if n := len(c.begun); n > 0 && c.begun[n-1] == '\r' {
		c.begun = c.begun[:n-1]
		c.finish(each)
	}
	if c.overlong {
		return
	}
	c.begun = append(c.begun, data...)
	if len(c.begun) > longestRow {
		each(c.begun, false)
		c.begun, c.overlong = c.begun[:0], true
	}
}

func (c *rowCutter) finish(each func([]byte, bool)) {
	if !c.overlong && len(c.begun) > 0 {
		each(append(c.begun, '\n'), true)
	}
	c.begun, c.overlong = c.begun[:0], false
}

// tear ends the current line early and passes it on as incomplete.
func (c *rowCutter) tear(each func([]byte, bool)) {
	if len(c.begun) > 0 && !c.overlong {
		each(c.begun, false)
	}
	c.begun, c.overlong = c.begun[:0], false
}
