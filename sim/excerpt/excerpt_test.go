package excerpt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim/excerpt"
)

func TestAt(t *testing.T) {
	tests := []struct {
		rule   string
		line   string
		number int
		at     int
		want   string
	}{
		{"first byte", "loss = 2", 7, 0, "7 | loss = 2\n  | ^"},
		{"inside", "loss = 2", 12, 7, "12 | loss = 2\n   |        ^"},
		{"behind the line", "loss =", 7, 6, "7 | loss =\n  |       ^"},
		{"empty line", "", 1, 0, "1 | \n  | ^"},
		{"a tab is one space", "\tloss\t= 2", 7, 8, "7 |  loss = 2\n  |         ^"},
		{"control characters are dots", "a\x1b[2J\u202eb\x00", 7, 8, "7 | a·[2J·b·\n  |       ^"},
		{"bytes that are no text are dots", "a\xff\xfeb", 7, 3, "7 | a··b\n  |    ^"},
		// Unicode Standard Annex 11: these ideographs are wide.
		{"wide characters take two cells", "灰鷺x", 7, 6, "7 | 灰鷺x\n  |     ^"},
		// Unicode Standard Annex 29: base and combining mark are one character.
		{"combining marks take none", "u\u0308x", 7, 3, "7 | u\u0308x\n  |  ^"},
		{"a long line is cut around the place", strings.Repeat("a", 60) + strings.Repeat("b", 40), 7, 60,
			"7 | …" + strings.Repeat("a", 50) + strings.Repeat("b", 30) + "…\n  | " + strings.Repeat(" ", 51) + "^"},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			assert.Equal(t, test.want, excerpt.At(test.line, test.number, test.at))
		})
	}
}

func TestPrintable(t *testing.T) {
	for text, want := range map[string]string{
		"":                "",
		`über "µs"\n`:     `über "µs"\n`,
		"two\nlines\x1b[": `two\nlines\x1b[`,
		"turned \u202e":   `turned \u202e`,
		"no text \xff":    `no text \xff`,
	} {
		assert.Equal(t, want, excerpt.Printable(text))
	}
}

func TestQuote(t *testing.T) {
	long := strings.Repeat("a", 40)
	for text, want := range map[string]string{
		"":               `""`,
		"two\nlines\x1b": `"two\nlines\x1b"`,
		long:             `"` + long + `"`,
		long + "b":       `"` + long + `"…`,
	} {
		assert.Equal(t, want, excerpt.Quote(text))
		assert.Equal(t, want, excerpt.Quote([]byte(text)))
	}
}

// The characters that a spreadsheet may take for the beginning of a formula are
// those that OWASP lists under "CSV Injection", the wide forms of Asian scripts
// included, here also behind spaces, which some programs pass over; tab and carriage return, which
// it lists too, are escaped.
func TestCell(t *testing.T) {
	for text, want := range map[string]string{
		"":               "",
		"Heron":          "Heron",
		"=1+1":           "'=1+1",
		"+1":             "'+1",
		"-1":             "'-1",
		"@a":             "'@a",
		"＝1＋1":           "'＝1＋1",
		"＋1":             "'＋1",
		"－1":             "'－1",
		"＠a":             "'＠a",
		"  =1":           "'  =1",
		" ":              " ",
		"\t=1":           `\t=1`,
		"\r=1":           `\r=1`,
		"a\x1b[2J\u009b": `a\x1b[2J\u009b`,
	} {
		assert.Equal(t, want, excerpt.Cell(text))
	}
}
