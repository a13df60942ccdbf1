package term

import (
	"math"
	"strings"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

// HoldMarks are what a hold's bar shows beside the hold.
type HoldMarks struct {
	Ghost sim.Micros // the hold before; 0 is none
	Note  string     // about the window, where there is room; else what is before its colon
}

// HoldColumn returns the column of a hold on its bar.
func HoldColumn(c *Canvas, b trainer.HoldBar, hold sim.Micros) int {
	return int(int64(hold) * int64(c.Width) / int64(b.Window.LongPress))
}

// DrawHold draws the hold as it runs towards the long-press deadline, which is
// the right edge, and under it what the places mean.
func DrawHold(c *Canvas, b trainer.HoldBar, marks HoldMarks) {
	if b.Window.LongPress <= 0 {
		return
	}
	column := func(m sim.Micros) int { return HoldColumn(c, b, m) }
	filled := int(math.Ceil(b.Fraction() * float64(c.Width)))
	for x := range c.Width {
		shade, role := Light, RoleOf(lanes.Toggled)
		if x < column(b.Window.MinPress) {
			shade, role = lanes.Clear, RoleOf(lanes.Short)
		}
		if near := b.Aim - b.Tolerance; b.Tolerance > 0 && x >= column(near) && x <= column(b.Aim+b.Tolerance) {
			shade = Dotted
		}
		if x < filled {
			shade, role = Solid, holdRole(b)
		}
		c.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
	if marks.Ghost > 0 && column(marks.Ghost) < c.Width {
		c.Set(column(marks.Ghost), 0, c.Glyphs.Mark, Plain)
	}
	if b.Aim > 0 && column(b.Aim) < c.Width {
		c.Set(column(b.Aim), 0, c.Glyphs.Cursor, Pointer)
	}
	labelHold(c.Area(0, 1, c.Width, 1), b, marks.Note, column)
}

// holdRole tells by the look what would become of a hold: the strip of the press
// window has the same looks in every view.
func holdRole(b trainer.HoldBar) Role {
	switch {
	case b.Hold >= b.Window.LongPress:
		return RoleOf(lanes.Long)
	case b.Hold >= b.Window.MinPress:
		return RoleOf(lanes.Toggled)
	default:
		return RoleOf(lanes.Short)
	}
}

// labelHold tells where toggling begins, what to aim for, and the deadline.
func labelHold(c *Canvas, b trainer.HoldBar, note string, column func(sim.Micros) int) {
	long := "long " + b.Window.LongPress.Rounded()
	c.TextRight(0, long, Dim)
	for _, label := range []struct {
		at   sim.Micros
		text string
		role Role
	}{
		{b.Aim, "aim " + b.Aim.Rounded(), Pointer},
		{b.Window.MinPress, "toggles from " + b.Window.MinPress.Rounded(), Dim},
		{b.Window.MinPress, b.Window.MinPress.Rounded(), Dim},
	} {
		if x := column(label.at); label.at > 0 && c.IsBlank(x, len(label.text)+1) {
			c.Text(x, 0, label.text, label.role)
		}
	}
	short, _, _ := strings.Cut(note, ":")
	for _, text := range []string{note, short} {
		if x := c.Width - len(long) - len(text) - 1; text != "" && c.IsBlank(x-1, len(text)+2) {
			c.Text(x, 0, text, Dim)
			return
		}
	}
}
