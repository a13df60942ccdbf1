package term

import (
	"slices"
	"strings"
	"unicode"
)

// letters has the pixels of the drawn letters: five rows each, from the top.
var letters = map[rune][5]string{
	'A': {".#.", "#.#", "###", "#.#", "#.#"}, 'B': {"##.", "#.#", "##.", "#.#", "##."},
	'C': {".##", "#..", "#..", "#..", ".##"}, 'D': {"##.", "#.#", "#.#", "#.#", "##."},
	'E': {"###", "#..", "##.", "#..", "###"}, 'F': {"###", "#..", "##.", "#..", "#.."},
	'G': {".##", "#..", "#.#", "#.#", ".##"}, 'H': {"#.#", "#.#", "###", "#.#", "#.#"},
	'I': {"#", "#", "#", "#", "#"}, 'J': {"..#", "..#", "..#", "#.#", ".#."},
	'K': {"#.#", "#.#", "##.", "#.#", "#.#"}, 'L': {"#..", "#..", "#..", "#..", "###"},
	'M': {"#...#", "##.##", "#.#.#", "#...#", "#...#"}, 'N': {"#..#", "##.#", "#.##", "#..#", "#..#"},
	'O': {".#.", "#.#", "#.#", "#.#", ".#."}, 'P': {"##.", "#.#", "##.", "#..", "#.."},
	'Q': {".#.", "#.#", "#.#", ".#.", "..#"}, 'R': {"##.", "#.#", "##.", "#.#", "#.#"},
	'S': {".##", "#..", ".#.", "..#", "##."}, 'T': {"###", ".#.", ".#.", ".#.", ".#."},
	'U': {"#.#", "#.#", "#.#", "#.#", "###"}, 'V': {"#.#", "#.#", "#.#", "#.#", ".#."},
	'W': {"#...#", "#...#", "#.#.#", "##.##", "#...#"}, 'X': {"#.#", "#.#", ".#.", "#.#", "#.#"},
	'Y': {"#.#", "#.#", ".#.", ".#.", ".#."}, 'Z': {"###", "..#", ".#.", "#..", "###"},
	'0': {"###", "#.#", "#.#", "#.#", "###"}, '1': {".#.", "##.", ".#.", ".#.", "###"},
	'2': {"##.", "..#", ".#.", "#..", "###"}, '3': {"##.", "..#", ".#.", "..#", "##."},
	'4': {"#.#", "#.#", "###", "..#", "..#"}, '5': {"###", "#..", "##.", "..#", "##."},
	'6': {".##", "#..", "###", "#.#", "###"}, '7': {"###", "..#", ".#.", ".#.", ".#."},
	'8': {"###", "#.#", "###", "#.#", "###"}, '9': {"###", "#.#", "###", "..#", "##."},
	'+': {"...", ".#.", "###", ".#.", "..."}, '−': {"...", "...", "###", "...", "..."}, '-': {"...", "...", "###", "...", "..."},
	'±': {".#.", "###", ".#.", "...", "###"}, '.': {".", ".", ".", ".", "#"},
	':': {".", "#", ".", "#", "."},
	' ': {"..", "..", "..", "..", ".."}, ',': {".", ".", ".", "#", "#"}, '?': {"##.", "..#", ".#.", "...", ".#."},
}

// LetterRows is the height of a drawn letter in pixels.
const LetterRows = 5

// pixelSizes are the sizes of a pixel in columns and half rows, largest first.
// Two pixels of the smallest size share a cell.
var pixelSizes = []struct{ columns, halfRows int }{{6, 6}, {4, 4}, {2, 2}, {1, 1}}

// BigText writes a few words centred and as large as the canvas allows: in drawn
// letters, or as plain text if there is no room for them.
func BigText(c *Canvas, text string, role Role) {
	for _, size := range pixelSizes {
		lines, drawn := bigLines(text, c.Width/size.columns)
		height := len(lines)*(LetterRows+1) - 1
		if !drawn || height*size.halfRows > 2*c.Height {
			continue
		}
		top := c.Height - (height*size.halfRows+1)/2
		for i, line := range lines {
			left := (c.Width - line.width()*size.columns) / 2
			line.draw(c, left, top/2*2+i*(LetterRows+1)*size.halfRows, size.columns, size.halfRows, role)
		}
		return
	}
	lines := Wrap(text, c.Width)
	for y, line := range lines {
		row := c.Area(0, max(0, c.Height-len(lines))/2+y, c.Width, 1)
		row.Text(max(0, c.Width-len(line))/2, 0, line, role)
	}
}

// bigLine is a line of drawn letters.
type bigLine [][LetterRows]string

// bigLines breaks words into lines of at most width pixels. It reports whether all
// of them can be drawn and fit.
func bigLines(text string, width int) ([]bigLine, bool) {
	var lines []bigLine
	for word := range strings.FieldsSeq(text) {
		var drawn bigLine
		for _, r := range word {
			letter, known := letters[unicode.ToUpper(r)]
			if !known {
				return nil, false
			}
			drawn = append(drawn, letter)
		}
		if drawn.width() > width {
			return nil, false
		}
		if n := len(lines); n > 0 {
			if longer := slices.Concat(lines[n-1], bigLine{letters[' ']}, drawn); longer.width() <= width {
				lines[n-1] = longer
				continue
			}
		}
		lines = append(lines, drawn)
	}
	return lines, true
}

// width returns the width in pixels, including one between letters.
func (l bigLine) width() int {
	width := len(l) - 1
	for _, letter := range l {
		width += len(letter[0])
	}
	return width
}

// draw draws the line with its top left corner at a column and half row.
func (l bigLine) draw(c *Canvas, left, top, columns, halfRows int, role Role) {
	for _, letter := range l {
		for row, pixels := range letter {
			for i, pixel := range pixels {
				if pixel == '#' {
					c.fillPixels(left+i*columns, top+row*halfRows, columns, halfRows, role)
				}
			}
		}
		left += (len(letter[0]) + 1) * columns
	}
}

// fillPixels fills a rectangle, measured in columns and half rows.
func (c *Canvas) fillPixels(left, top, columns, halfRows int, role Role) {
	for half := top; half < top+halfRows; half++ {
		for x := left; x < left+columns; x++ {
			cell := c.At(x, half/2)
			if cell == nil {
				continue
			}
			filled := 1 << (half % 2)
			for already, pixel := range c.Glyphs.Pixels {
				if cell.Text == pixel {
					filled |= already
				}
			}
			*cell = Cell{Text: c.Glyphs.Pixels[filled], Role: role}
		}
	}
}
