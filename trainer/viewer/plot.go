package viewer

import (
	"fmt"
	"slices"

	"github.com/rivo/uniseg"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/trainer/term"
)

// eachColumn yields every column that shows a part of the log, with the moments in
// it.
func (w window) eachColumn(yield func(column int, s sim.Span) bool) {
	for x := range w.columns {
		s := sim.Span{From: w.start(x), To: min(w.start(x+1), w.end+1)}
		if s.From > w.end || !yield(x, s) {
			return
		}
	}
}

// groups returns the visible stretches of a lane, grouped by column.
func (v *view) groups(l *lanes.Lane) []lanes.Group {
	return lanes.Thin(l.Spans, sim.Span{From: v.window.from, To: v.window.from + v.window.span - 1}, v.window.columns)
}

// columnsOf returns the first and the last column that a stretch touches.
func (w window) columnsOf(s sim.Span) (first, last int) {
	return max(0, w.column(s.From)), min(w.column(max(s.From, s.To-1)), w.columns-1)
}

// drawLevel draws a two-valued lane: full cells while pressed, otherwise a low
// line. A single edge is exact to a third of its column.
func (v *view) drawLevel(c *term.Canvas, l *lanes.Lane) {
	for x := range v.window.eachColumn {
		c.Set(x, c.Height-1, c.Glyphs.Low, term.Dim)
	}
	last := -1 // column that a stretch ended in
	for _, g := range v.groups(l) {
		from, to := v.window.columnsOf(g.Span)
		for x := from; x <= to; x++ {
			text := v.levelGlyph(c.Glyphs, g, x)
			if x == last {
				text = c.Glyphs.Gap
			}
			for y := range c.Height {
				c.Set(x, y, text, term.RoleOf(lanes.Pressed))
			}
		}
		last = to
	}
}

// levelGlyph returns the character for one column of a group of stretches.
func (v *view) levelGlyph(g *term.Glyphs, stretch lanes.Group, x int) string {
	start, end := v.window.start(x), v.window.start(x+1)
	rises, falls := stretch.From > start, stretch.To < end
	third := func(at sim.Micros) int { return int((at - start) * 3 / (end - start)) }
	switch {
	case stretch.Several():
		return g.Several
	case rises && falls || stretch.From == start && falls && stretch.Length() < end-start && third(stretch.To) == 0:
		return g.Brief
	case rises:
		return g.Rise[third(stretch.From)]
	case falls:
		return g.Fall[third(stretch.To)]
	default:
		return g.Shades[lanes.Solid]
	}
}

// drawBand draws named stretches, each with its name inside it, or else after it,
// if there is room.
func (v *view) drawBand(c *term.Canvas, l *lanes.Lane) {
	groups := v.groups(l)
	for i, g := range groups {
		from, to := v.window.columnsOf(g.Span)
		if g.Several() {
			fill(c, from, to, c.Glyphs.Several, term.RoleOf(lanes.Several))
			continue
		}
		free := v.window.columns
		if i+1 < len(groups) {
			free, _ = v.window.columnsOf(groups[i+1].Span)
		}
		label := l.Label(g.First)
		text := c.Glyphs.Shades[label.Look.Entry().Tone]
		if from == to && g.Length() < v.window.start(to+1)-v.window.start(to) {
			text = c.Glyphs.Brief
		}
		fill(c, from, to, text, term.RoleOf(label.Look))
		if nameInside(c.Area(from, 0, min(to+1, free)-from, 1), label) {
			continue
		}
		c.Area(to+1, 0, free-to-1, 1).Text(0, 0, nameFor(label, free-to-2), term.Plain)
	}
}

func fill(c *term.Canvas, from, to int, text string, role term.Role) {
	for x := from; x <= to; x++ {
		for y := range c.Height {
			c.Set(x, y, text, role)
		}
	}
}

// nameInside writes a name into a filled line, with a blank on both sides, and
// reports whether there is room for it.
func nameInside(c *term.Canvas, label lanes.Label) bool {
	name := nameFor(label, c.Width-2)
	if name == "" {
		return false
	}
	c.Text(1, 0, " "+name+" ", term.RoleOf(label.Look))
	return true
}

// nameFor returns the longest name that fits a width, or "". A doubtful name
// has a question mark.
func nameFor(label lanes.Label, width int) string {
	for _, name := range []string{label.Long, label.Short} {
		if label.Doubt && name != "" {
			name += "?"
		}
		if uniseg.StringWidth(name) <= width {
			return name
		}
	}
	return ""
}

// drawSigns draws a sign for every flick, followed by its name if there is room.
// A column with several flicks shows their number.
func (v *view) drawSigns(c *term.Canvas, l *lanes.Lane) {
	groups := v.groups(l)
	for i, g := range groups {
		from, _ := v.window.columnsOf(g.Span)
		if cell := c.At(from, 0); cell != nil && !cell.IsBlank() {
			c.Set(from, 0, c.Glyphs.Several, term.RoleOf(lanes.Several))
			continue
		}
		if g.Several() {
			c.Set(from, 0, fmt.Sprint(min(g.Past-g.First, 9)), term.RoleOf(lanes.Several))
			continue
		}
		label := l.Label(g.First)
		text := label.Look.Entry().Sign
		if c.Glyphs.ASCII {
			text = label.Look.Entry().Letter
		}
		c.Set(from, 0, text, term.RoleOf(label.Look))
		free := v.window.columns
		if i+1 < len(groups) {
			free, _ = v.window.columnsOf(groups[i+1].Span)
		}
		c.Area(from+1, 0, free-from-1, 1).Text(0, 0, nameFor(label, free-from-2), term.Plain)
	}
}

// drawLetters draws the letters of the findings and their ranges. A column with
// several findings shows their number.
func (v *view) drawLetters(c *term.Canvas, l *lanes.Lane) {
	for _, s := range l.Spans {
		if from, to := v.window.columnsOf(s); to > from {
			fill(c, from, to, c.Glyphs.Limit, term.Dim)
		}
	}
	count := map[int]int{}
	for i, s := range l.Spans {
		if !v.window.shows(s.From) {
			continue
		}
		x, label := v.window.column(s.From), l.Label(i)
		if count[x]++; count[x] > 1 {
			c.Set(x, 0, fmt.Sprint(min(count[x], 9)), term.RoleOf(lanes.Several))
			continue
		}
		c.Text(x, 0, label.Short, term.RoleOf(label.Look))
	}
}

// drawChannel draws the channel's value as a bar from the bottom, up to its
// lowest value in the column and, lighter, up to its highest.
func (v *view) drawChannel(c *term.Canvas, l *lanes.Lane) {
	v.drawLimits(c)
	for _, bin := range v.channelBins() {
		x := v.window.column(bin.From)
		if bin.Absent() {
			c.Set(x, c.Height-1, c.Glyphs.Absent, term.RoleOf(lanes.NoSignal))
			continue
		}
		role := term.Dim
		if v.pressed(bin.High) || v.pressed(bin.Low) {
			role = term.RoleOf(lanes.Pressed)
		}
		drawBar(c, x, v.scale.Share(bin.Low), v.scale.Share(bin.High), role)
	}
}

// pressed reports whether a value lies in a press range.
func (v *view) pressed(value sim.PulseWidth) bool {
	return slices.ContainsFunc(v.log.Replay.Rig.Switch.Press, func(r sim.PulseRange) bool { return r.Contains(value) })
}

// channelBins returns the channel in a bin per column. It keeps them until the
// window changes: reducing a long log for every move of the cursor would be slow.
func (v *view) channelBins() []sim.TraceBin {
	if v.binned != v.window {
		end := min(v.window.from+v.window.span, v.window.end+1)
		v.bins = v.log.Trace.Range(v.window.from, end, v.window.column(end-1)+1)
		v.binned = v.window
	}
	return v.bins
}

// drawLimits draws the ends of the press ranges, if there is room.
func (v *view) drawLimits(c *term.Canvas) {
	if c.Height < 3 {
		return
	}
	for _, r := range v.log.Replay.Rig.Switch.Press {
		for _, limit := range []sim.PulseWidth{r.Low, r.High} {
			if v.scale.Shows(limit) {
				row := c.Area(0, rowOf(c, v.scale.Share(limit)), c.Width, 1)
				fill(row, 0, row.Width-1, c.Glyphs.Limit, term.Dim)
			}
		}
	}
}

// rowOf returns the row at a share of the height, from the bottom.
func rowOf(c *term.Canvas, share float64) int {
	return c.Height - 1 - min(c.Height-1, int(share*float64(c.Height)))
}

// drawScale writes values of the channel at the right edge, one per row; the most
// important ones have priority.
func (v *view) drawScale(c *term.Canvas) {
	for _, value := range v.scale.Values(v.log.Replay.Rig.Switch.Press, 0) {
		y := rowOf(c, v.scale.Share(value.At))
		if c.Area(c.Width-len(value.Text)-1, y, len(value.Text), 1).IsBlank(0, len(value.Text)) {
			c.Text(c.Width-len(value.Text)-1, y, value.Text, term.Dim)
		}
	}
}

// drawChance draws the chance of recording as a bar over the height of the lane.
func (v *view) drawChance(c *term.Canvas) {
	belief := v.log.Replay.Belief
	i := 0
	for x, s := range v.window.eachColumn {
		middle := s.From + s.Length()/2
		for i+1 < len(belief) && belief[i+1].From <= middle {
			i++
		}
		share := belief[i].ChanceAt(middle)
		drawBar(c, x, share, share, term.RoleOf(lanes.Recording))
	}
}

// drawBar draws a bar from the bottom of the canvas: solid up to a share of its
// height, and lighter up to another. The lowest level shows even for 0.
func drawBar(c *term.Canvas, x int, solid, light float64, role term.Role) {
	levels := float64(c.Height*len(c.Glyphs.Levels) - 1)
	solidLevels, lightLevels := 1+int(solid*levels), 1+int(light*levels)
	for row := range c.Height {
		below, y := row*len(c.Glyphs.Levels), c.Height-1-row
		switch {
		case solidLevels > below:
			c.Set(x, y, c.Glyphs.Levels[min(solidLevels-below, len(c.Glyphs.Levels))-1], role)
		case lightLevels > below:
			c.Set(x, y, c.Glyphs.Between, role)
		}
	}
}
