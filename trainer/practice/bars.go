package practice

import (
	"math"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// drawPattern draws the presses that are wanted over those that were made, both
// from the first press on.
func drawPattern(c *term.Canvas, b *trainer.PatternBar) {
	const labels = 8
	bar := c.Area(labels, 0, c.Width-labels, 2)
	length := max(b.Length, 1)
	column := func(m sim.Micros) int { return int(int64(m) * int64(bar.Width-1) / int64(length)) }
	draw := func(y int, label string, spans []sim.Span, shade term.Shade, role term.Role) {
		c.Text(0, y, label, term.Dim)
		for x := range bar.Width {
			bar.Set(x, y, c.Glyphs.Shades[term.Dotted], term.Dim)
		}
		for _, s := range spans {
			for x := column(s.From); x <= column(min(s.To, b.At+length)) && x < bar.Width; x++ {
				bar.Set(x, y, c.Glyphs.Shades[shade], role)
			}
		}
	}
	made := append([]sim.Span{}, b.Made...)
	if n := len(made); n > 0 {
		made[n-1].To = min(made[n-1].To, b.At)
	}
	draw(0, "follow", b.Wanted, term.Dense, term.Strong)
	draw(1, "yours", made, term.Solid, term.Pressed)
	if b.At > 0 {
		for y := range 2 {
			bar.Set(column(b.At), y, c.Glyphs.Cursor, term.Pointer)
		}
	}
}

// drawTrend draws whether the last trials were early or late on the whole: their
// mean and how they spread around it, about the middle for neither.
func drawTrend(c *term.Canvas, t trainer.Trend) {
	if t.Words == "" {
		return
	}
	x := c.Text(0, 0, "less ", term.Dim)
	const more = " more  "
	bar := c.Area(x, 0, min(41, c.Width-x-len(more)-len(t.Words)), 1)
	if bar.Width < 11 {
		c.Text(0, 0, t.Words, term.Plain)
		return
	}
	scale := max(math.Abs(t.Mean)+2*t.SD, float64(50*sim.Millisecond))
	column := func(off float64) int {
		return int(math.Round((off/scale + 1) / 2 * float64(bar.Width-1)))
	}
	for x := range bar.Width {
		shade, role := term.Dotted, term.Dim
		if x >= column(t.Mean-t.SD) && x <= column(t.Mean+t.SD) {
			shade, role = term.Light, term.Plain
		}
		bar.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
	bar.Set(column(0), 0, c.Glyphs.Cursor, term.Dim)
	bar.Set(column(t.Mean), 0, c.Glyphs.Shades[term.Solid], term.Pointer)
	c.Text(x+bar.Width, 0, more+t.Words, term.Plain)
}
