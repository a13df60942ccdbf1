package term

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
