package rigfile

import (
	"fmt"
	"strings"
	"unicode"
)

// quote writes a TOML basic string. What does not print is escaped, so that no
// terminal acts on it.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteRune('\\')
			b.WriteRune(r)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			fmt.Fprintf(&b, `\U%08X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// clip cuts a text that would fill the screen.
func clip(s string) string {
	const most = 300
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return s
}

// didYouMean is the hint that names the candidate that takes the fewest edits,
// or "" if none is near enough to have been meant.
func didYouMean(word string, candidates []string) string {
	best, fewest := "", len(word)/3+1
	for _, candidate := range candidates {
		if n := edits(strings.ToLower(word), candidate); n < fewest {
			best, fewest = candidate, n
		}
	}
	if best == "" {
		return ""
	}
	return "did you mean " + best + "?"
}

// edits counts the insertions, deletions and replacements from a to b
// (Levenshtein 1966), by the usual table of which one row is kept.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
