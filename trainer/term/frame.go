package term

import "fmt"

// Parts of pictures that several programs share.

// The smallest screen that a program can use.
const (
	MinWidth  = 40
	MinHeight = 12
)

// TextLine is a line of text with its role.
type TextLine struct {
	Text string
	Role Role
}

// TooSmall reports whether the screen is too small for a program, and if so says so
// on it. what names the program.
func TooSmall(c *Canvas, what string) bool {
	if c.Width >= MinWidth && c.Height >= MinHeight {
		return false
	}
	c.Wrapped(fmt.Sprintf("%s needs %d x %d characters; this window has %d x %d. ctrl-c quits.",
		what, MinWidth, MinHeight, c.Width, c.Height), Plain)
	return true
}

// DrawFrame draws the first row, with a title, and the last.
func DrawFrame(c *Canvas, title string, footer TextLine) {
	const keys = "? help"
	c.Area(0, 0, c.Width-len(keys)-1, 1).Text(0, 0, title, Strong)
	c.TextRight(0, keys, Dim)
	c.Area(0, c.Height-1, c.Width, 1).Text(0, 0, footer.Text, footer.Role)
}

// Block is a part of a picture, over its whole width.
type Block struct {
	Rows int // 0 = all rows that the other blocks leave; at most one block has 0
	Draw func(*Canvas)
}

// Gap is a blank row.
var Gap = Block{1, func(*Canvas) {}}

// DrawBlocks draws blocks below each other.
func DrawBlocks(c *Canvas, blocks []Block) {
	left := c.Height
	for _, b := range blocks {
		left -= b.Rows
	}
	y := 0
	for _, b := range blocks {
		rows := b.Rows
		if rows == 0 {
			rows = left
		}
		b.Draw(c.Area(0, y, c.Width, rows))
		y += rows
	}
}
