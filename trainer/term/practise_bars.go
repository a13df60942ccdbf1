package term

import (
	"math"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

// drawPattern draws the presses that are wanted over those that were made, both
// from the first press on.
func drawPattern(c *Canvas, b *trainer.PatternBar) {
	const labels = 8
	bar := c.Area(labels, 0, c.Width-labels, 2)
	length := max(b.Length, 1)
	column := func(m sim.Micros) int { return int(int64(m) * int64(bar.Width-1) / int64(length)) }
	draw := func(y int, label string, spans []sim.Span, shade Shade, role Role) {
		c.Text(0, y, label, Dim)
		for x := range bar.Width {
			bar.Set(x, y, c.Glyphs.Shades[Dotted], Dim)
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
	draw(0, "follow", b.Wanted, Dense, Strong)
	draw(1, "yours", made, Solid, Pressed)
	if b.At > 0 {
		for y := range 2 {
			bar.Set(column(b.At), y, c.Glyphs.Cursor, Pointer)
		}
	}
}

// drawTrend draws whether the last trials were early or late on the whole: their
// mean and how they spread around it, about the middle for neither.
func drawTrend(c *Canvas, t trainer.Trend) {
	if t.Words == "" {
		return
	}
	x := c.Text(0, 0, "less ", Dim)
	const more = " more  "
	bar := c.Area(x, 0, min(41, c.Width-x-len(more)-len(t.Words)), 1)
	if bar.Width < 11 {
		c.Text(0, 0, t.Words, Plain)
		return
	}
	scale := max(math.Abs(t.Mean)+2*t.SD, float64(50*sim.Millisecond))
	column := func(off float64) int {
		return int(math.Round((off/scale + 1) / 2 * float64(bar.Width-1)))
	}
	for x := range bar.Width {
		shade, role := Dotted, Dim
		if x >= column(t.Mean-t.SD) && x <= column(t.Mean+t.SD) {
			shade, role = Light, Plain
		}
		bar.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
	bar.Set(column(0), 0, c.Glyphs.Cursor, Dim)
	bar.Set(column(t.Mean), 0, c.Glyphs.Shades[Solid], Pointer)
	c.Text(x+bar.Width, 0, more+t.Words, Plain)
}

// drawHold draws the hold as it runs towards the long-press deadline, which is
// the right edge, and under it what the places mean.
func drawHold(c *Canvas, b trainer.HoldBar) {
	if b.Window.LongPress <= 0 {
		return
	}
	column := func(m sim.Micros) int {
		return int(int64(m) * int64(c.Width) / int64(b.Window.LongPress))
	}
	filled := int(math.Ceil(b.Fraction() * float64(c.Width)))
	for x := range c.Width {
		shade, role := Light, roleOf(lanes.Toggled)
		if x < column(b.Window.MinPress) {
			shade, role = Clear, roleOf(lanes.Short)
		}
		if near := b.Aim - b.Tolerance; b.Tolerance > 0 && x >= column(near) && x <= column(b.Aim+b.Tolerance) {
			shade = Dotted
		}
		if x < filled {
			shade, role = Solid, holdRole(b)
		}
		c.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
	if b.Aim > 0 && column(b.Aim) < c.Width {
		c.Set(column(b.Aim), 0, c.Glyphs.Cursor, Pointer)
	}
	labelHold(c.Area(0, 1, c.Width, 1), b, column)
}

// holdRole tells by the look what would become of a hold: the strip of the press
// window has the same looks in every view.
func holdRole(b trainer.HoldBar) Role {
	switch {
	case b.Hold >= b.Window.LongPress:
		return roleOf(lanes.Long)
	case b.Hold >= b.Window.MinPress:
		return roleOf(lanes.Toggled)
	default:
		return roleOf(lanes.Short)
	}
}

// labelHold tells where toggling begins, what to aim for, and the deadline.
func labelHold(c *Canvas, b trainer.HoldBar, column func(sim.Micros) int) {
	c.TextRight(0, "long "+b.Window.LongPress.Rounded(), Dim)
	for _, label := range []struct {
		at   sim.Micros
		text string
		role Role
	}{
		{b.Aim, "aim " + (b.Aim / sim.Millisecond * sim.Millisecond).String(), Pointer},
		{b.Window.MinPress, "toggles from " + b.Window.MinPress.Rounded(), Dim},
		{b.Window.MinPress, b.Window.MinPress.Rounded(), Dim},
	} {
		if x := column(label.at); label.at > 0 && c.isBlank(x, len(label.text)+1) {
			c.Text(x, 0, label.text, label.role)
		}
	}
}
