package term

import (
	"slices"
	"strings"

	"github.com/rivo/uniseg"
)

// Cell is one place of a picture.
type Cell struct {
	Text    string // one character as a reader sees it; "" behind a wide one
	Role    Role
	Reverse bool
}

var blank = Cell{Text: " "}

// IsBlank reports whether nothing was drawn on the cell.
func (c Cell) IsBlank() bool { return c == blank }

// Canvas is a rectangle of cells to draw on. Drawing outside it has no effect.
type Canvas struct {
	Width, Height int
	Glyphs        *Glyphs // the characters available on the terminal

	picture *picture
	x, y    int // of the canvas within the picture
}

// picture is all cells of a screen.
type picture struct {
	width int
	cells []Cell
}

// NewCanvas returns a blank canvas.
func NewCanvas(width, height int, glyphs *Glyphs) *Canvas {
	p := &picture{width, slices.Repeat([]Cell{blank}, width*height)}
	return &Canvas{Width: width, Height: height, Glyphs: glyphs, picture: p}
}

// Area returns the part of a canvas at x, y as a canvas.
func (c *Canvas) Area(x, y, width, height int) *Canvas {
	area := *c
	area.x, area.y = c.x+x, c.y+y
	area.Width = max(0, min(width, c.Width-x))
	area.Height = max(0, min(height, c.Height-y))
	return &area
}

// At returns the cell at x, y; nil outside the canvas.
func (c *Canvas) At(x, y int) *Cell {
	if x < 0 || y < 0 || x >= c.Width || y >= c.Height {
		return nil
	}
	return &c.picture.cells[(c.y+y)*c.picture.width+c.x+x]
}

// Set puts a character that is one column wide at x, y.
func (c *Canvas) Set(x, y int, text string, role Role) {
	if cell := c.At(x, y); cell != nil {
		*cell = Cell{Text: text, Role: role}
	}
}

// Text writes text from x on and returns the column after it. The text may come
// from a log or a rig: characters that a terminal could act on show as "?".
func (c *Canvas) Text(x, y int, text string, role Role) int {
	state := -1
	for text != "" {
		var character string
		var width int
		character, text, width, state = uniseg.FirstGraphemeClusterInString(text, state)
		if strings.ContainsFunc(character, c.Glyphs.cannotShow) {
			character, width = "?", 1
		}
		if width == 0 {
			continue
		}
		if x+width > c.Width {
			return x
		}
		c.Set(x, y, character, role)
		for behind := 1; behind < width; behind++ {
			c.Set(x+behind, y, "", role)
		}
		x += width
	}
	return x
}

// TextRight writes text so that it ends at the right edge.
func (c *Canvas) TextRight(y int, text string, role Role) {
	c.Text(max(0, c.Width-uniseg.StringWidth(text)), y, text, role)
}

// Wrapped writes text over the lines of the canvas, broken between words. An
// ellipsis ends text that does not fit.
func (c *Canvas) Wrapped(text string, role Role) {
	lines := Wrap(text, c.Width)
	if len(lines) > c.Height && c.Height > 0 {
		last := Wrap(lines[c.Height-1], c.Width-1)[0]
		lines = append(lines[:c.Height-1], last+c.Glyphs.Ellipsis)
	}
	for y, line := range lines {
		c.Text(0, y, line, role)
	}
}

// Fitted writes the first of several texts that fits into the line, or what fits
// of the last one.
func (c *Canvas) Fitted(role Role, texts ...string) {
	for _, text := range texts[:len(texts)-1] {
		if uniseg.StringWidth(text) <= c.Width {
			c.Text(0, 0, text, role)
			return
		}
	}
	c.Text(0, 0, texts[len(texts)-1], role)
}

// IsBlank reports whether a number of cells of the first line exist and are blank.
func (c *Canvas) IsBlank(from, cells int) bool {
	for x := from; x < from+cells; x++ {
		if cell := c.At(x, 0); cell == nil || *cell != blank {
			return false
		}
	}
	return true
}

// Reverse shows the whole canvas in reverse.
func (c *Canvas) Reverse() {
	for y := range c.Height {
		for x := range c.Width {
			c.At(x, y).Reverse = true
		}
	}
}

// Wrap breaks text between words into lines of at most width columns. A word
// longer than a line is not broken.
func Wrap(text string, width int) []string {
	lines := []string{""}
	for word := range strings.FieldsSeq(text) {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = word
		case uniseg.StringWidth(*last)+1+uniseg.StringWidth(word) <= width:
			*last += " " + word
		default:
			lines = append(lines, word)
		}
	}
	return lines
}

// String returns the canvas as lines of text without trailing blanks.
func (c *Canvas) String() string {
	var text strings.Builder
	for y := range c.Height {
		var line strings.Builder
		for x := range c.Width {
			line.WriteString(c.At(x, y).Text)
		}
		text.WriteString(strings.TrimRight(line.String(), " "))
		text.WriteByte('\n')
	}
	return text.String()
}
