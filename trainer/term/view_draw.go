package term

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

const labelWidth = 10 // of the column with the names of the lanes

func plotWidth(width int) int { return max(1, width-labelWidth) }

// The rows from top to bottom: title, ruler, lanes, one for the cursor, one for
// the marks, and some for what is to be said about the place.
const (
	titleRow  = 0
	rulerRow  = 1
	firstLane = 2
	minLanes  = 3
)

// noteRows returns how many rows the note gets.
func (v *Viewer) noteRows() int {
	rows := max(1, min(3, (v.height-9)/5))
	if !v.wholeNote {
		return rows
	}
	text, _ := v.noteText()
	return max(rows, min(len(wrap(text, v.width)), v.height-firstLane-minLanes-2))
}

// laneRows returns how many rows all lanes together get.
func (v *Viewer) laneRows() int { return max(0, v.height-firstLane-2-v.noteRows()) }

// noteText returns what the last key had to say, or else the place of the
// cursor.
func (v *Viewer) noteText() (string, Role) {
	if v.message != "" {
		return v.message, Strong
	}
	return v.current().note()
}

// Draw draws the whole picture.
func (v *Viewer) Draw(c *Canvas) {
	switch {
	case tooSmall(c, "The viewer"):
	case v.help.isOpen:
		v.help.draw(c, v.helpPages())
	default:
		v.drawLog(c)
	}
}

func (v *Viewer) drawLog(c *Canvas) {
	view := v.current()
	lanes := c.Area(0, firstLane, c.Width, v.laneRows())
	below := firstLane + lanes.Height
	v.drawTitle(c)
	view.drawLanes(lanes)
	view.drawCursors(c.Area(labelWidth, rulerRow, view.window.columns, 1+lanes.Height))
	view.drawRuler(c.Area(labelWidth, rulerRow, view.window.columns, 1))
	c.Area(0, below, c.Width, 1).fitted(Strong, view.cursorText(v.snap)...)
	c.Area(0, below+1, c.Width, 1).fitted(Pointer, view.markTexts()...)
	text, role := v.noteText()
	c.Area(0, below+2, c.Width, v.noteRows()).Wrapped(text, role)
}

func (v *Viewer) drawTitle(c *Canvas) {
	const keys = "? help"
	log := v.current().log
	r := log.Replay
	name := log.Name
	if len(v.views) > 1 {
		name = fmt.Sprintf("%s, %d of %d", name, v.shown+1, len(v.views))
	}
	counts := strings.Join([]string{r.End.Clock(), tell.Counted(len(r.Presses), "press", "presses"),
		tell.Counted(len(r.Takes), "take", "takes"), tell.Counted(len(log.Findings), "finding", "findings")}, ", ")
	title := c.Area(0, titleRow, c.Width-len(keys)-1, 1)
	title.fitted(Strong, name+"  "+r.Rig.Name+"  "+counts, name+"  "+counts, name)
	c.TextRight(titleRow, keys, Dim)
}

// drawLanes draws the lanes that have room.
func (v *view) drawLanes(c *Canvas) {
	for i, place := range lanePlaces(v.lanes, v.selected, c.Height) {
		if place.top >= 0 {
			v.drawLane(c.Area(0, place.top, c.Width, place.rows), &v.lanes[i], i == v.selected)
		}
	}
}

// selectLaneAt selects the lane at a row below the ruler, if there is one.
func (v *view) selectLaneAt(row, height int) {
	for i, place := range lanePlaces(v.lanes, v.selected, height) {
		if row >= max(0, place.top) && row < min(place.top+place.rows, height) {
			v.selected = i
			return
		}
	}
}

// lanePlace is where a lane is drawn: negative or below the end where it has no
// room.
type lanePlace struct{ top, rows int }

// lanePlaces shares a height out among the lanes: the same for all, with a blank
// row at the bottom where there is room, and what is left, up to ten rows in
// all, to the channel. Where not all fit, as many are left out at the top as the
// selected one needs to show.
func lanePlaces(lanes []lane, selected, height int) []lanePlace {
	each := max(1, min(3, (height-1)/len(lanes)))
	spare := max(0, min(height-each*len(lanes), 10-each))
	places := make([]lanePlace, len(lanes))
	top := 0
	for i := range lanes {
		places[i] = lanePlace{top, each}
		if lanes[i].kind == channelLane {
			places[i].rows += spare
		}
		top += places[i].rows
	}
	hidden := 0
	for i := 0; places[selected].top+places[selected].rows-hidden > height; i++ {
		hidden += places[i].rows
	}
	for i := range places {
		places[i].top -= hidden
	}
	return places
}

// drawLane draws a lane with its name. The last row is left blank in a lane of
// two or more, to keep lanes apart.
func (v *view) drawLane(c *Canvas, l *lane, selected bool) {
	role := Dim
	if selected {
		c.Text(0, 0, c.Glyphs.Selected, Pointer)
		role = Strong
	}
	c.Text(1, 0, l.name, role)
	plot := c.Area(labelWidth, 0, v.window.columns, max(1, c.Height-1))
	switch l.kind {
	case levelLane:
		v.drawLevel(plot, l)
	case bandLane:
		v.drawBand(plot, l)
	case channelLane:
		v.drawChannel(plot, l)
	case chanceLane:
		v.drawChance(plot)
	case pointLane:
		v.drawPoints(plot, l)
	}
}

// drawRuler writes times over round moments, where the cursor and the marks
// leave room.
func (v *view) drawRuler(c *Canvas) {
	const apart = 14 // columns from one label to the next, at least
	unit := roundStep(v.window.span * apart / sim.Micros(v.window.columns))
	for at := (v.window.from + unit - 1) / unit * unit; at <= v.window.end && v.window.shows(at); at += unit {
		x, text := v.window.column(at), clockTo(at, unit)
		if c.isBlank(x, 1) {
			c.Set(x, 0, c.Glyphs.Tick, Dim)
		}
		switch width := len(text); {
		case c.isBlank(x+1, width):
			c.Text(x+1, 0, text, Dim)
		case c.isBlank(x-width-1, width+1):
			c.Text(x-width, 0, text, Dim)
		}
	}
}

// roundStep returns the smallest round duration that is not below m.
func roundStep(m sim.Micros) sim.Micros {
	for decade := sim.Microsecond; decade < sim.Second; decade *= 10 {
		for _, unit := range []sim.Micros{1, 2, 5} {
			if unit*decade >= m {
				return unit * decade
			}
		}
	}
	for _, unit := range []sim.Micros{
		sim.Second, 2 * sim.Second, 5 * sim.Second, 10 * sim.Second, 15 * sim.Second, 30 * sim.Second,
		sim.Minute, 2 * sim.Minute, 5 * sim.Minute, 10 * sim.Minute, 15 * sim.Minute, 30 * sim.Minute,
	} {
		if unit >= m {
			return unit
		}
	}
	unit := sim.Hour
	for unit < m {
		unit *= 2
	}
	return unit
}

// clockTo writes a time with the digits that the unit needs.
func clockTo(at, unit sim.Micros) string {
	switch text := at.FineClock(); {
	case unit%sim.Second == 0:
		return text[:len(text)-4]
	case unit%sim.Millisecond == 0:
		return text
	default:
		whole := (at - at%sim.Millisecond).FineClock()
		return fmt.Sprintf("%s%03d", whole, at%sim.Millisecond)
	}
}

// drawCursors draws the marks and the cursor over the ruler and the lanes: as a
// line where a cell is free, else by reversing it.
func (v *view) drawCursors(c *Canvas) {
	for i, at := range v.marks {
		if at != sim.Never && v.window.shows(at) {
			v.drawLineAt(c, at, c.Glyphs.Mark, fmt.Sprint(i+1))
		}
	}
	if v.window.shows(v.cursor) {
		v.drawLineAt(c, v.cursor, c.Glyphs.Cursor, c.Glyphs.CursorHead)
	}
}

func (v *view) drawLineAt(c *Canvas, at sim.Micros, line, head string) {
	x := v.window.column(at)
	c.Set(x, 0, head, Pointer)
	for y := 1; y < c.Height; y++ {
		cell := c.At(x, y)
		switch {
		case cell == nil:
		case *cell == blank, cell.Role == Pointer:
			c.Set(x, y, line, Pointer)
		default:
			cell.Reverse = true
		}
	}
}
