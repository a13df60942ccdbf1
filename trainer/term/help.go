package term

import "strings"

// HelpLine explains keys or an action of the pointer.
type HelpLine struct {
	Keys []string
	Does string
}

const (
	HelpColumn = 52 // width of a column of help
	HelpKeys   = 12 // width of the keys in it
)

// Help is the help in front of a screen, in pages of lines.
type Help struct {
	IsOpen bool
	page   int
}

func (h *Help) Open() { *h = Help{IsOpen: true} }

// Turn turns the pages by a key; any other key closes the help.
func (h *Help) Turn(key string, pages int) {
	switch key {
	case "?", "space", "right", "down":
		h.page++
		h.IsOpen = h.page < pages
	case "left", "up":
		h.page = max(0, h.page-1)
	default:
		h.IsOpen = false
	}
}

// HelpPages divides lines into pages of the size of the screen.
func HelpPages(lines []HelpLine, width, height int) [][]HelpLine {
	columns := max(1, width/HelpColumn)
	perPage := max(1, (height-2)*columns)
	var pages [][]HelpLine
	for len(lines) > perPage {
		pages = append(pages, lines[:perPage])
		lines = lines[perPage:]
	}
	return append(pages, lines)
}

func (h *Help) Draw(c *Canvas, pages [][]HelpLine) {
	page := pages[min(h.page, len(pages)-1)]
	c.Text(0, 0, "keys", Strong)
	if h.page+1 < len(pages) {
		c.TextRight(0, "?: more, q: close", Dim)
	} else {
		c.TextRight(0, "q: close", Dim)
	}
	rows := c.Height - 2
	for i, line := range page {
		column := c.Area(i/rows*HelpColumn, 1+i%rows, HelpColumn, 1)
		x := column.Text(0, 0, strings.Join(line.Keys, " "), Strong)
		column.Text(max(x+1, HelpKeys), 0, line.Does, Plain)
	}
}
