package term

import (
	"math"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

// drawHold draws the hold as it runs towards the long-press deadline, which is
// the right edge, and under it what the places mean.
func DrawHold(c *Canvas, b trainer.HoldBar) {
	if b.Window.LongPress <= 0 {
		return
	}
	column := func(m sim.Micros) int {
		return int(int64(m) * int64(c.Width) / int64(b.Window.LongPress))
	}
	filled := int(math.Ceil(b.Fraction() * float64(c.Width)))
	for x := range c.Width {
		shade, role := Light, RoleOf(lanes.Toggled)
		if x < column(b.Window.MinPress) {
			shade, role = Clear, RoleOf(lanes.Short)
		}
		if near := b.Aim - b.Tolerance; b.Tolerance > 0 && x >= column(near) && x <= column(b.Aim+b.Tolerance) {
			shade = Dotted
		}
		if x < filled {
			shade, role = Solid, HoldRole(b)
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
func HoldRole(b trainer.HoldBar) Role {
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
		if x := column(label.at); label.at > 0 && c.IsBlank(x, len(label.text)+1) {
			c.Text(x, 0, label.text, label.role)
		}
	}
}
