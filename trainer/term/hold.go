package term

import (
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer"
)

// HoldMarks are what the bar of a hold shows besides the hold.
type HoldMarks struct {
	Previous sim.Micros // the hold before; 0 = none
	Note     string     // about the window; cut at its colon if there is little room
}

// holdStrip is the strip of the press window on the columns of a canvas.
type holdStrip struct {
	lanes.Strip
	width int
}

func newHoldStrip(c *Canvas, b trainer.HoldBar) holdStrip {
	return holdStrip{lanes.CloseStripOf(b.Camera), c.Width}
}

func (s holdStrip) column(share float64) int { return min(s.width-1, int(share*float64(s.width))) }

// HoldColumns returns the function from a hold to its column on the bar.
func HoldColumns(c *Canvas, b trainer.HoldBar) func(hold sim.Micros) int {
	s := newHoldStrip(c, b)
	return func(hold sim.Micros) int { return s.column(s.X(hold)) }
}

// HoldRuns reports whether the bar of a current hold still grows.
func HoldRuns(b trainer.HoldBar) bool {
	return b.Holding && lanes.CloseStripOf(b.Camera).X(b.Hold) < 1
}

// DrawHold draws the hold as a bar over the press window, with labels below it.
// Dots are holds that do not toggle.
func DrawHold(c *Canvas, b trainer.HoldBar, marks HoldMarks) {
	s := newHoldStrip(c, b)
	column := HoldColumns(c, b)
	filled, fill := column(b.Hold), RoleOf(s.At(s.X(b.Hold)).Look)
	for x := range c.Width {
		look := s.At((float64(x) + 0.5) / float64(c.Width)).Look
		shade, role := lanes.Dotted, RoleOf(look)
		switch {
		case b.Hold > 0 && x <= filled:
			shade, role = lanes.Solid, fill
		case b.Tolerance > 0 && x >= column(b.Aim-b.Tolerance) && x <= column(b.Aim+b.Tolerance):
			shade = lanes.Dense
		case look == lanes.Toggled:
			shade = lanes.Faint
		case look == lanes.Unknown:
			shade = lanes.Questioned
		}
		c.Set(x, 0, c.Glyphs.Shades[shade], role)
	}
	if marks.Previous > 0 {
		c.Set(column(marks.Previous), 0, c.Glyphs.Mark, Plain)
	}
	if b.Aim > 0 {
		c.Set(column(b.Aim), 0, c.Glyphs.Cursor, Pointer)
	}
	s.label(c.Area(0, 1, c.Width, 1), b, marks.Note)
}

// label writes the aim, and where each zone starts. A note about the window takes
// the room of the zones' names.
func (s holdStrip) label(c *Canvas, b trainer.HoldBar, note string) {
	if b.Aim > 0 {
		c.Text(s.column(s.X(b.Aim)), 0, "aim "+b.Aim.Rounded(), Pointer)
	}
	for _, mark := range slices.Backward(s.Marks) {
		zone := s.At(mark.At)
		named := zone.Name + " from " + mark.Words
		if zone.Look == lanes.Unknown || note != "" {
			named = mark.Words
		}
		for _, text := range []string{named, mark.Words} {
			if x := min(s.column(mark.At), c.Width-len(text)); roomAt(c, x, text) {
				c.Text(x, 0, text, Dim)
				break
			}
		}
	}
	short, _, _ := strings.Cut(note, ":")
	for _, text := range []string{note, short} {
		for x := c.Width - len(text); x >= 0 && text != ""; x-- {
			if roomAt(c, x, text) {
				c.Text(x, 0, text, Dim)
				return
			}
		}
	}
}

// roomAt reports whether a text fits at a column with a blank on both sides.
func roomAt(c *Canvas, x int, text string) bool {
	from, to := max(0, x-1), min(c.Width, x+len(text)+1)
	return c.IsBlank(from, to-from)
}
