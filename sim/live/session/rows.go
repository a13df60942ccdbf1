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
// ends a line. The start of a line that is too long is passed on once. Both bytes of a
// CRLF end a line, and the empty one between them is dropped.
func (c *rowCutter) cut(data []byte, rows bool, each func(line []byte, whole bool)) {
	for len(data) > 0 {
		end := bytes.IndexAny(data, "\r\n")
		switch {
		case end < 0 && !rows:
			c.begin(data, each)
			return
		case end < 0:
			end = len(data)
		}
		c.begin(data[:end], each)
		data = data[min(end+1, len(data)):]
		c.finish(each)
	}
}

// begin adds to the current line.
func (c *rowCutter) begin(data []byte, each func([]byte, bool)) {
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
