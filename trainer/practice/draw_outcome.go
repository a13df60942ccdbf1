package practice

import "flicktally/trainer/term"

func (o *outcomePage) draw(p *Screen, c *term.Canvas) {
	term.DrawFrame(c, "Done: "+o.kind.Title(), p.footer("enter next, a again, m menu, q quit"))
	body := c.Area(0, 1, c.Width, c.Height-2)
	left, all := body.Height, -1 // rows for lines that may be left out; rows for everything, with gaps
	for _, line := range o.lines {
		all += line.rows(c.Width) + line.whyRows(c.Width) + 1
		if line.ends {
			left -= line.rows(c.Width)
		}
	}
	y := 0
	for _, line := range o.lines {
		rows := line.rows(c.Width)
		if !line.ends {
			if rows > left {
				continue
			}
			left -= rows
		}
		body.Area(0, y, c.Width, rows).Wrapped(line.Text, line.Role)
		y += rows
		if all <= body.Height {
			body.Area(2, y, c.Width-2, line.whyRows(c.Width)).Wrapped(line.why, term.Dim)
			y += line.whyRows(c.Width) + 1
		}
	}
}

func (l outcomeLine) rows(width int) int { return len(term.Wrap(l.Text, width)) }

func (l outcomeLine) whyRows(width int) int {
	if l.why == "" {
		return 0
	}
	return len(term.Wrap(l.why, width-2))
}
