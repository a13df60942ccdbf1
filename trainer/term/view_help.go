package term

import "strings"

const (
	helpColumn = 52 // widest text of a line of help, with its keys
	helpKeys   = 12
)

func (v *Viewer) openHelp() { v.help, v.helpPage = true, 0 }

// turnHelp goes through the pages of the help; what is not about them closes it.
func (v *Viewer) turnHelp(key string) {
	switch pages := len(v.helpPages()); key {
	case "?", "space", "right", "down":
		v.helpPage++
		v.help = v.helpPage < pages
	case "left", "up":
		v.helpPage = max(0, v.helpPage-1)
	default:
		v.help = false
	}
}

// helpPages returns the help, cut to pages of the size of the screen.
func (v *Viewer) helpPages() [][]binding {
	all := append(append([]binding{}, bindings...), pointerHelp...)
	columns := max(1, v.width/helpColumn)
	perPage := max(1, (v.height-2)*columns)
	var pages [][]binding
	for len(all) > perPage {
		pages = append(pages, all[:perPage])
		all = all[perPage:]
	}
	return append(pages, all)
}

func (v *Viewer) drawHelp(c *Canvas) {
	pages := v.helpPages()
	page := pages[min(v.helpPage, len(pages)-1)]
	c.Text(0, 0, "keys", Strong)
	if v.helpPage+1 < len(pages) {
		c.TextRight(0, "space: more, q: close", Dim)
	} else {
		c.TextRight(0, "q: close", Dim)
	}
	rows := c.Height - 2
	for i, b := range page {
		column := c.Area(i/rows*helpColumn, 1+i%rows, helpColumn, 1)
		x := column.Text(0, 0, strings.Join(b.keys, " "), Strong)
		column.Text(max(x+1, helpKeys), 0, b.does, Plain)
	}
}
