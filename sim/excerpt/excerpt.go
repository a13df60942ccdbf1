// Package excerpt writes text for people: a marked place in an input, text with its
// unprintable characters escaped, wrapped lines, similar names. Input is not trusted:
// no control character reaches the terminal.
package excerpt

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// How many characters of a long line are shown before and after the place.
const (
	before = 50
	after  = 30
)

// Explain writes an error about a place in an input on two lines: the message, and
// the place ("heron.toml:12:14") with its line. A mark, », precedes the byte at
// offset at of the line. A long line is cut around the mark. Unprintable characters
// are shown as dots, a tab as a space.
func Explain(message, place, line string, at int) string {
	if line == "" {
		return message + "\n  in " + Place(place)
	}
	return message + "\n  " + Place(place) + " reads: " + marked(line, at)
}

// placed is a file with a line, and perhaps a column.
var placed = regexp.MustCompile(`^(.+?):(\d+)(?::(\d+))?$`)

// Place writes a place such as "heron.toml:12:14" in words: "line 12, column 14 of
// heron.toml".
func Place(place string) string {
	parts := placed.FindStringSubmatch(place)
	if parts == nil {
		return place
	}
	text := "line " + parts[2]
	if parts[3] != "" {
		text += ", column " + parts[3]
	}
	return text + " of " + parts[1]
}

func marked(line string, at int) string {
	head, tail := []rune(strings.Map(oneCell, line[:at])), []rune(strings.Map(oneCell, line[at:]))
	left, right := string(head), string(tail)
	if len(head) > before {
		left = "…" + string(head[len(head)-before:])
	}
	if len(tail) > after {
		right = string(tail[:after]) + "…"
	}
	return left + "»" + right
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

// Printable returns s with unprintable characters escaped as in a Go string
// literal.
func Printable(s string) string {
	if !strings.ContainsFunc(s, unprintable) {
		return s
	}
	quoted := strconv.Quote(s)
	return quoted[1 : len(quoted)-1]
}

// Quote quotes up to 40 bytes of an input for a message.
func Quote[T string | []byte](text T) string {
	const most = 40
	if len(text) <= most {
		return strconv.Quote(string(text))
	}
	return strconv.Quote(string(text[:most])) + "…"
}

// Cell returns a text for a field of a table: printable, and with an apostrophe
// before a text that a spreadsheet would read as a formula.
func Cell(text string) string {
	text = Printable(text)
	if first, _ := utf8.DecodeRuneInString(strings.TrimLeft(text, " ")); text != "" && strings.ContainsRune("=+-@＝＋－＠", first) {
		return "'" + text
	}
	return text
}
