package text

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/rigcheck"
)

// TestColourOnlyAddsToTheText: the text says everything that a colour says, and
// columns stay aligned. Colours are select graphic rendition codes (ECMA-48,
// section 8.3.117: 1 is bold, 31 is red, 0 ends both; from memory).
func TestColourOnlyAddsToTheText(t *testing.T) {
	rig := with(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow })
	flights := judged(t, belief.Observations{}, flown(sim.DefaultRig(), 300*ms, 80*ms, 2300*ms))
	for name, test := range map[string]struct {
		print func(*Printer)
		want  []string
	}{
		"a long press costs a take, a doubtful one need not": {
			func(p *Printer) { p.Flights(flights, false) },
			[]string{"\x1b[1mlake.csv\x1b[0m\n", "  0:20.0  \x1b[1mdoubtful-press\x1b[0m: ", "  0:30.0  \x1b[1;31mlong-press\x1b[0m: "},
		},
		"a fault of a rig": {
			func(p *Printer) { p.Check(rig, rigcheck.Check(rig, rigcheck.DefaultWithin)) },
			[]string{"\x1b[1;31mfault\x1b[0m  \x1b[1midle-press\x1b[0m: "},
		},
		"a risk of a rig": {
			func(p *Printer) { p.Check(sim.DefaultRig(), rigcheck.Check(sim.DefaultRig(), rigcheck.DefaultWithin)) },
			[]string{"\x1b[1mrisk\x1b[0m  \x1b[1moff-for-good\x1b[0m: "},
		},
	} {
		var out bytes.Buffer
		test.print(New(&out, true))
		for _, want := range test.want {
			assert.Contains(t, out.String(), want, name)
		}
		plain := printed(test.print)
		assert.NotContains(t, plain, "\x1b", name)
		assert.Equal(t, plain, regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(out.String(), ""), name)
	}
}

// TestTextIsWrappedAt80Columns: verdict, sums and findings are at most 80 characters
// wide, and a line of exactly 80 is not broken.
func TestTextIsWrappedAt80Columns(t *testing.T) {
	const width = 80
	full := 0
	for name, holds := range map[string][]sim.Micros{
		"one flick":        {300 * ms},
		"different ends":   {300 * ms, 80 * ms, 2300 * ms, 300 * ms},
		"alike":            many(14, 300*ms),
		"doubtful, a few":  many(8, 80*ms),
		"doubtful, many":   many(20, 80*ms),
		"short after many": append(many(24, 300*ms), 40*ms),
	} {
		report := replayed(t, false, flown(sim.DefaultRig(), holds...))
		prose := regexp.MustCompile(`(?m)^(lake|findings|  \d+:\d\d\.\d  )(.+\n)+`) // the rest is tables
		for line := range strings.SplitSeq(strings.Join(prose.FindAllString(report, -1), ""), "\n") {
			got := utf8.RuneCountInString(line)
			assert.LessOrEqual(t, got, width, "%s: %s", name, line)
			if got == width {
				full++
			}
		}
	}
	require.Positive(t, full, "lines of 80 characters")
}

// TestNoLineEndsInASpace: a row whose last cells are empty is not padded.
func TestNoLineEndsInASpace(t *testing.T) {
	clips := belief.Observations{Clips: []belief.Clip{{Name: "regatta.mp4", Length: 10 * s}}, ClipError: s}
	report := printed(func(p *Printer) {
		p.Flights(judged(t, clips, flown(sim.DefaultRig(), 300*ms, 300*ms), flown(sim.DefaultRig(), 300*ms)), true)
	})
	for line := range strings.Lines(report) {
		assert.Equal(t, strings.TrimRight(line, " \n")+"\n", line)
	}
}

// TestTableAlignsCells: a column is as wide as its widest cell, with two spaces
// between columns and before the first.
func TestTableAlignsCells(t *testing.T) {
	for name, test := range map[string]struct {
		rows [][]string
		want string
	}{
		"one cell":              {[][]string{{"take"}}, "  take\n"},
		"the second row wider":  {[][]string{{"a", "b"}, {"take", "c"}}, "  a     b\n  take  c\n"},
		"an empty first cell":   {[][]string{{"log", "x"}, {"", "y"}}, "  log  x\n       y\n"},
		"characters, not bytes": {[][]string{{"µµ", "b"}, {"abc", "c"}}, "  µµ   b\n  abc  c\n"},
		"no row":                {nil, ""},
	} {
		got := printed(func(p *Printer) {
			p.Table(func(w io.Writer) {
				for _, cells := range test.rows {
					row(w, cells...)
				}
			})
		})
		assert.Equal(t, test.want, got, name)
	}
}

// TestWriteChangesNothing: text of others passes through as it is.
func TestWriteChangesNothing(t *testing.T) {
	const given = "a\tb\x1b[1mc\n"
	assert.Equal(t, given, printed(func(p *Printer) { io.WriteString(p, given) }))
}
