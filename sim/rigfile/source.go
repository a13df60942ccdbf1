package rigfile

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/rivo/uniseg"
)

// maxSize bounds a rig file: one is a few kilobytes.
const maxSize = 64 << 10

const byteOrderMark = "\xef\xbb\xbf"

// source is the text of a rig file, without a byte order mark.
type source struct {
	name string
	data []byte
}

// newSource refuses what cannot be text.
func newSource(data []byte, name string) (source, *fault) {
	src := source{name, bytes.TrimPrefix(data, []byte(byteOrderMark))}
	if len(data) > maxSize {
		return src, &fault{text: fmt.Sprintf("found %d bytes, want a rig file of at most %d", len(data), maxSize)}
	}
	for i := 0; i < len(src.data); {
		r, size := utf8.DecodeRune(src.data[i:])
		if r == utf8.RuneError && size == 1 {
			return src, &fault{offset: i, text: fmt.Sprintf("found byte 0x%02x, want UTF-8 text", src.data[i]),
				hint: "save the file with the encoding UTF-8"}
		}
		i += size
	}
	return src, nil
}

// offset returns the offset of a line and a byte column, both 1-based.
func (s source) offset(line, column int) int {
	at := 0
	for range line - 1 {
		at += bytes.IndexByte(s.data[at:], '\n') + 1
	}
	return at + column - 1
}

// position returns the 1-based line and column of an offset, and the line. The
// column counts characters.
func (s source) position(offset int) (line, column int, text string) {
	before := s.data[:offset]
	start := bytes.LastIndexByte(before, '\n') + 1
	rest, _, _ := bytes.Cut(s.data[start:], []byte("\n"))
	line = bytes.Count(before, []byte("\n")) + 1
	column = utf8.RuneCount(before[start:]) + 1
	return line, column, string(bytes.TrimSuffix(rest, []byte("\r")))
}

// excerpt shows a line with a caret under the given column, cut to what fits a
// terminal. Characters that do not print show as blanks.
func excerpt(number int, text string, column int) string {
	const before, after = 50, 30
	runes := []rune(strings.Map(blank, text))
	caret := min(column-1, len(runes))
	from, to := max(caret-before, 0), min(caret+after, len(runes))
	head, tail := string(runes[from:caret]), string(runes[caret:to])
	if from > 0 {
		head = "… " + head
	}
	if to < len(runes) {
		tail += " …"
	}
	margin := fmt.Sprintf("%5d | ", number)
	return margin + head + tail + "\n" +
		strings.Repeat(" ", len(margin)-2) + "| " + strings.Repeat(" ", uniseg.StringWidth(head)) + "^"
}
