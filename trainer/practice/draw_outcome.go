package practice

import "flicktally/trainer/term"

func (o *outcomePage) draw(p *Screen, c *term.Canvas) {
	term.DrawFrame(c, "Done: "+o.kind.Title(), p.footer("enter next, a again, m menu, q quit"))
	body := c.Area(0, 1, c.Width, c.Height-2)
	left := body.Height
	for _, line := range o.lines {
		if line.ends {
			left -= line.rows(c.Width)
		}
	}
	why := o.rows(c.Width, true) <= body.Height
	y := 0
	for _, line := range o.lines {
		rows := line.rows(c.Width)
		switch {
		case line.ends:
		case rows > left:
			continue
		default:
			left -= rows
		}
		body.Area(0, y, c.Width, rows).Wrapped(line.Text, line.Role)
		y += rows
		if why && line.why != "" {
			y += explain(body.Area(0, y, c.Width, body.Height-y), line.why)
		}
		if why {
			y++
		}
	}
}

// rows returns how many rows the lines take, each with a gap and, with why, its
// explanation.
func (o *outcomePage) rows(width int, why bool) (rows int) {
	for _, line := range o.lines {
		rows += line.rows(width)
		if why {
			rows += 1 + len(term.Wrap(line.why, width-2))*min(1, len(line.why))
		}
	}
	return rows - 1
}

func (l outcomeLine) rows(width int) int { return len(term.Wrap(l.Text, width)) }

// explain writes the explanation of a line and returns the number of rows.
func explain(c *term.Canvas, why string) int {
	rows := len(term.Wrap(why, c.Width-2))
	c.Area(2, 0, c.Width-2, rows).Wrapped(why, term.Dim)
	return rows
}
