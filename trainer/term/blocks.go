package term

// block is a part of a picture, over its whole width.
type block struct {
	rows int // 0: those that the others leave; for one block of a picture
	draw func(*Canvas)
}

// gap is a blank row.
var gap = block{1, func(*Canvas) {}}

// drawBlocks draws blocks below each other.
func drawBlocks(c *Canvas, blocks []block) {
	left := c.Height
	for _, b := range blocks {
		left -= b.rows
	}
	y := 0
	for _, b := range blocks {
		rows := b.rows
		if rows == 0 {
			rows = left
		}
		b.draw(c.Area(0, y, c.Width, rows))
		y += rows
	}
}
