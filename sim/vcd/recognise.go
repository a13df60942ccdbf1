package vcd

import (
	"bytes"
	"slices"
)

// Recognise reports whether a file starts like a dump: a keyword of the
// declarations starts one of its first lines, and the lines before are not rows
// of a table. sure is false if more bytes could change the answer.
func Recognise(head []byte) (is, sure bool) {
	const mostLines = 8
	head = bytes.TrimPrefix(head, []byte(byteOrderMark))
	if bytes.HasPrefix([]byte(byteOrderMark), head) {
		return false, false
	}
	for range mostLines {
		head = bytes.TrimLeft(head, " \t\r\n")
		if len(head) == 0 {
			return false, false
		}
		if head[0] == '$' {
			return recogniseKeyword(head)
		}
		line, rest, whole := bytes.Cut(head, []byte{'\n'})
		if bytes.ContainsAny(line, ",;\t") || len(line) > maxName {
			return false, true
		}
		if !whole {
			return false, false
		}
		head = rest
	}
	return false, true
}

func recogniseKeyword(head []byte) (is, sure bool) {
	keywords := []string{"$attrbegin", "$comment", "$date", "$enddefinitions", "$scope", "$timescale", "$timezero", "$upscope", "$var", "$version"}
	end := bytes.IndexAny(head, " \t\r\n")
	if end < 0 {
		return false, len(head) > len("$enddefinitions")
	}
	return slices.Contains(keywords, string(head[:end])), true
}
