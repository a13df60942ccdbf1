package plot

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/tell"
)

func TestParseSizeReadsWidthAndHeight(t *testing.T) {
	for text, want := range map[string]Size{"1200x800": {1200, 800}, "640": {640, 0}} {
		size, err := ParseSize(text)
		require.NoError(t, err)
		assert.Equal(t, want, size)
	}
	for text, want := range map[string]string{
		"":          `found "", want WIDTHxHEIGHT or WIDTH in pixels`,
		"wide":      `found "wide"`,
		"800x":      `found "800x"`,
		"-800":      `found "-800"`,
		"800x0":     `found "800x0"`,
		"100x100":   "found a width of 100 pixels, want 360 to 20000",
		"900x30000": "found a height of 30000 pixels, want at most 20000",
	} {
		_, err := ParseSize(text)
		assert.ErrorContains(t, err, want)
	}
}

func TestFormatFollowsTheFileName(t *testing.T) {
	for name, want := range map[string]Format{"a.png": pngFile, "b/c.SVG": SVG, "d.e.pdf": pdf} {
		format, err := FormatOf(name)
		require.NoError(t, err)
		assert.Equal(t, want, format)
	}
	for name, want := range map[string]string{
		"chart":     `found no ending in the file name "chart", want .png, .svg or .pdf`,
		"chart.gif": `found .gif in the file name "chart.gif", want .png, .svg or .pdf`,
	} {
		_, err := FormatOf(name)
		assert.EqualError(t, err, want)
	}
}

func TestCleanLeavesOneLineOfPrintableText(t *testing.T) {
	for in, want := range map[string]string{
		"plain":               "plain",
		"two\nlines\tand\x00": "two lines and",
		"\xff\xfebroken":      "broken",
		"esc\x1b[31m":         "esc [31m",
		"Möwe · 25 µs":        "Möwe · 25 µs",
	} {
		assert.Equal(t, want, clean(in))
	}
}

func TestTruncateKeepsTheStart(t *testing.T) {
	style := light.text()
	for _, text := range []string{"", "a", "the mark rounding", strings.Repeat("ßé", 300)} {
		for _, width := range []vg.Length{20, 60, 1e6} {
			short := truncate(style, text, width)
			assert.LessOrEqual(t, style.Width(short), width)
			if short != text {
				assert.True(t, strings.HasPrefix(text, strings.TrimSuffix(short, ellipsis)))
			}
		}
	}
}

func TestWrapKeepsEveryWordThatFits(t *testing.T) {
	style := light.text()
	text := "press 3 at 1:31.000 was held 2.31s, with the long-press threshold at 1.5s"
	lines := wrap(style, text, 120)
	assert.Greater(t, len(lines), 2)
	assert.Equal(t, text, strings.Join(lines, " "))
	for _, line := range lines {
		assert.LessOrEqual(t, style.Width(line), vg.Length(120))
	}
	assert.Len(t, wrap(style, strings.Repeat("x", 500), 120), 1, "a long word is cut")
}

// The names of a log and a rig must not break a file.
func TestHostileNamesStayText(t *testing.T) {
	hostile := "</text><script>alert('1')</script>&amp;\x00\x1b\n]]>\xff\u202e Ж"
	rig := heron()
	rig.Log.Channel, rig.Name = hostile, hostile
	r, trace := flicks(rig, 4*sim.Second, 280*ms)
	findings := []tell.Finding{{At: 0, Text: hostile}}
	c, err := Timing(r, findings, trace, TimingView{Title: hostile, Look: Look{Notes: []string{hostile}}})
	require.NoError(t, err)
	d := readBack(t, c)
	assert.Equal(t, clean(hostile), d.title)
	assert.Contains(t, d.allText(), "<script>alert('1')</script>&amp;")
	assert.NotContains(t, string(written(t, c, SVG)), "<script>")
	assert.True(t, bytes.HasPrefix(written(t, c, pdf), []byte("%PDF-")))
}

func TestPDFHasAFixedTime(t *testing.T) {
	r, trace := flicks(heron(), 4*sim.Second, 280*ms)
	pdf := written(t, timing(t, r, trace, TimingView{}), pdf)
	assert.Contains(t, string(pdf), "/CreationDate (D:19700101000000)")
	assert.Contains(t, string(pdf), "/ModDate (D:19700101000000)")
}

func TestChartHasTheRequestedSize(t *testing.T) {
	r, trace := flicks(heron(), 4*sim.Second, 280*ms)
	c := timing(t, r, trace, TimingView{Look: Look{Size: Size{Width: 900, Height: 700}}})
	assert.Equal(t, Size{900, 700}, c.size)
	d := readBack(t, c)
	assert.InDelta(t, 900*0.75, float64(d.width), 0.01) // 96 pixels an inch, 72 points an inch
	assert.InDelta(t, 700*0.75, float64(d.height), 0.01)
	requireReadable(t, d, "stretched")
	assert.Equal(t, standardWidth, timing(t, r, trace, TimingView{}).size.Width)
}

func TestLabelsDoNotOverlapAndTheirLinesCrossNone(t *testing.T) {
	rows := newLabelRows(0, 100, 2)
	row, from, ok := rows.place(10, 40)
	require.True(t, ok)
	assert.Equal(t, 0, row)
	assert.Equal(t, vg.Length(0), from, "moved in from the left end")

	_, _, ok = rows.place(20, 40)
	assert.False(t, ok, "the line from the second row to 20 would cross the first label")
	row, _, ok = rows.place(50, 40)
	require.True(t, ok)
	assert.Equal(t, 1, row, "30 to 70 overlaps the first label, 50 is free")
	_, _, ok = rows.place(55, 12)
	assert.False(t, ok, "the first row keeps 50 free, the second is taken")
	_, _, ok = rows.place(50, 101)
	assert.False(t, ok, "wider than the row")
}
