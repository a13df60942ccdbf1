package rigfile

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
)

// maxSize limits a rig file, and so the memory to read one. Real files have a
// few kilobytes.
const maxSize = 64 << 10

const byteOrderMark = "\xef\xbb\xbf"

// source is the text of a rig file, without a byte order mark.
type source struct {
	name string
	data []byte
}

// newSource refuses data that is not UTF-8 text or is too large.
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

// syntaxFault is the fault of a text that is not TOML. The parser's offset may
// be at the last byte of a character.
func (s source) syntaxFault(offset int, message string) *fault {
	for offset > 0 && offset < len(s.data) && !utf8.RuneStart(s.data[offset]) {
		offset--
	}
	return &fault{offset: offset, text: "not valid TOML: " + excerpt.Printable(message)}
}

// error returns the error of a fault at its offset.
func (s source) error(f *fault) error {
	before := s.data[:f.offset]
	start := bytes.LastIndexByte(before, '\n') + 1
	line, _, _ := bytes.Cut(s.data[start:], []byte("\n"))
	line = bytes.TrimSuffix(line, []byte("\r"))
	at := min(f.offset-start, len(line)) // something missing at the end of a line may be reported behind its \r
	return problem.Hinted(&Error{
		File:   s.name,
		Line:   bytes.Count(before, []byte("\n")) + 1,
		Column: utf8.RuneCount(line[:at]) + 1,
		Key:    clip(f.key),
		Text:   clip(f.text),
		line:   string(line),
		at:     at,
	}, clip(f.hint))
}
