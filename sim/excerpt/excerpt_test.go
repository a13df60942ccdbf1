package excerpt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim/excerpt"
)

func TestExplain(t *testing.T) {
	for _, test := range []struct {
		rule string
		line string
		at   int
		want string
	}{
		{"first byte", "loss = 2", 0, "»loss = 2"},
		{"inside", "loss = 2", 7, "loss = »2"},
		{"behind the line", "loss =", 6, "loss =»"},
		{"a tab is one space", "\tloss\t= 2", 8, " loss = »2"},
		{"control characters are dots", "a\x1b[2J\u202eb\x00", 5, "a·[2J»·b·"},
		{"bytes that are no text are dots", "a\xff\xfeb", 3, "a··»b"},
		{"a long line is cut around the place", strings.Repeat("a", 60) + strings.Repeat("b", 40), 60,
			"…" + strings.Repeat("a", 50) + "»" + strings.Repeat("b", 30) + "…"},
	} {
		t.Run(test.rule, func(t *testing.T) {
			assert.Equal(t, "found\n  line 7, column 1 of a.toml reads: "+test.want, excerpt.Explain("found", "a.toml:7:1", test.line, test.at))
		})
	}
	assert.Equal(t, "found\n  in line 7, column 1 of a.toml", excerpt.Explain("found", "a.toml:7:1", "", 0))
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

// The characters that may start a formula are those of OWASP, "CSV Injection", with
// their wide forms, here also after spaces, which some programs ignore. Tab and carriage
// return, which OWASP lists as well, are escaped.
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
