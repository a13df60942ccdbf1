package rigfile

import (
	"fmt"
	"strings"
	"unicode"

	"flicktally/sim/excerpt"
)

// quote writes a TOML basic string. Unprintable characters are escaped, so that
// no terminal acts on them.
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

// clip shortens a text that would fill the screen.
func clip(s string) string {
	const most = 300
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return s
}

// didYouMean returns a hint with the candidate closest to word; "" if none is
// close.
func didYouMean(word string, candidates []string) string {
	if near, ok := excerpt.Nearest(strings.ToLower(word), candidates); ok {
		return "try " + near
	}
	return ""
}
