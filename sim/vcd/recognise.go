package vcd

import (
	"bytes"
	"slices"
)

// Recognise reports whether a file begins as a dump does, with one of the
// keywords of its declarations. It is not sure where more bytes could change
// the answer.
func Recognise(head []byte) (is, sure bool) {
	head = bytes.TrimLeft(head, " \t\r\n")
	if len(head) == 0 || head[0] != '$' {
		return false, len(head) > 0
	}
	keywords := []string{"$comment", "$date", "$enddefinitions", "$scope", "$timescale", "$upscope", "$var", "$version"}
	end := bytes.IndexAny(head, " \t\r\n")
	if end < 0 {
		return false, len(head) > len("$enddefinitions")
	}
	return slices.Contains(keywords, string(head[:end])), true
}
