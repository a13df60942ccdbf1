package excerpt

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks text between words into lines of at most width characters; a longer
// word gets a line of its own. mark precedes the first line, and the others are
// indented by its width. Line breaks in the text are kept.
func Wrap(mark, text string, width int) string {
	indent := strings.Repeat(" ", utf8.RuneCountInString(mark))
	var lines []string
	for paragraph := range strings.Lines(text) {
		line := ""
		for _, word := range strings.Fields(paragraph) {
			switch {
			case line == "":
				line = word
			case utf8.RuneCountInString(indent+line+" "+word) > width:
				lines = append(lines, line)
				line = word
			default:
				line += " " + word
			}
		}
		lines = append(lines, line)
	}
	return mark + strings.Join(lines, "\n"+indent)
}
