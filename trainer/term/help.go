package term

import "strings"

// helpLine tells what keys do, or the pointer.
type helpLine struct {
	keys []string
	does string
}

const (
	helpColumn = 52 // widest text of a line of help, with its keys
	helpKeys   = 12
)

// help is the help over a screen: pages of lines, while it is open.
type help struct {
	isOpen bool
	page   int
}

func (h *help) open() { *h = help{isOpen: true} }

// turn goes through so many pages; a key that is not about them closes the help.
func (h *help) turn(key string, pages int) {
	switch key {
	case "?", "space", "right", "down":
		h.page++
		h.isOpen = h.page < pages
	case "left", "up":
		h.page = max(0, h.page-1)
	default:
		h.isOpen = false
	}
}

// helpPages cuts lines to pages of the size of the screen.
func helpPages(lines []helpLine, width, height int) [][]helpLine {
	columns := max(1, width/helpColumn)
	perPage := max(1, (height-2)*columns)
	var pages [][]helpLine
	for len(lines) > perPage {
		pages = append(pages, lines[:perPage])
		lines = lines[perPage:]
	}
	return append(pages, lines)
}

func (h *help) draw(c *Canvas, pages [][]helpLine) {
	page := pages[min(h.page, len(pages)-1)]
	c.Text(0, 0, "keys", Strong)
	if h.page+1 < len(pages) {
		c.TextRight(0, "space: more, q: close", Dim)
	} else {
		c.TextRight(0, "q: close", Dim)
	}
	rows := c.Height - 2
	for i, line := range page {
		column := c.Area(i/rows*helpColumn, 1+i%rows, helpColumn, 1)
		x := column.Text(0, 0, strings.Join(line.keys, " "), Strong)
		column.Text(max(x+1, helpKeys), 0, line.does, Plain)
	}
}
