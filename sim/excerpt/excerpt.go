// Package excerpt shows a place in an input file to a person at a terminal: the
// line with a caret under the place. What an input holds is not trusted:
// nothing that a terminal would act on passes.
package excerpt

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"
)

// How many characters of a long line are shown before and after the place.
const (
	before = 50
	after  = 30
)

// At returns two lines: the given line with its 1-based number, and a caret
// under the byte at offset at, or behind the line where it is len(line). A long
// line is cut around the place. What does not print shows as a dot, a tab as a
// space.
func At(line string, number, at int) string {
	head, tail := []rune(strings.Map(oneCell, line[:at])), []rune(strings.Map(oneCell, line[at:]))
	left, right := string(head), string(tail)
	if len(head) > before {
		left = "…" + string(head[len(head)-before:])
	}
	if len(tail) > after {
		right = string(tail[:after]) + "…"
	}
	digits := strconv.Itoa(number)
	margin, indent := strings.Repeat(" ", len(digits)), strings.Repeat(" ", uniseg.StringWidth(left))
	return digits + " | " + left + right + "\n" + margin + " | " + indent + "^"
}

func oneCell(r rune) rune {
	switch {
	case r == '\t':
		return ' '
	case unprintable(r):
		return '·'
	}
	return r
}

func unprintable(r rune) bool { return r == utf8.RuneError || !unicode.IsPrint(r) }

// Printable returns s with everything escaped that does not print, as a Go
// string literal escapes it.
func Printable(s string) string {
	if !strings.ContainsFunc(s, unprintable) {
		return s
	}
	quoted := strconv.Quote(s)
	return quoted[1 : len(quoted)-1]
}

// Quote quotes a text of an input for a message, the first 40 bytes of it.
func Quote[T string | []byte](text T) string {
	const most = 40
	if len(text) <= most {
		return strconv.Quote(string(text))
	}
	return strconv.Quote(string(text[:most])) + "…"
}

// Cell returns a text as a field of a table: printable, and with an apostrophe
// before what a spreadsheet would take for a formula.
func Cell(text string) string {
	text = Printable(text)
	if first, _ := utf8.DecodeRuneInString(strings.TrimLeft(text, " ")); text != "" && strings.ContainsRune("=+-@＝＋－＠", first) {
		return "'" + text
	}
	return text
}
