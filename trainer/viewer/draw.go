package viewer

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
	"flicktally/trainer/term"
)

const labelWidth = 14 // of the column with the lanes' names and the channel's scale

func plotWidth(width int) int { return max(1, width-labelWidth) }

// The rows from top to bottom: title, ruler, lanes, one row for the cursor, one
// for the marks, and the note on the place of the cursor.
const (
	titleRow  = 0
	rulerRow  = 1
	firstLane = 2
	minLanes  = 3
)

// laneRows returns the number of rows for all lanes together.
func (v *Viewer) laneRows() int {
	note := max(1, min(5, (v.height-9)/3))
	if v.wholeNote {
		text, _ := v.noteText()
		note = max(note, min(len(term.Wrap(text, v.width)), v.height-firstLane-minLanes-2))
	}
	_, rows := v.current().lanePlaces(max(0, v.height-firstLane-2-note))
	return rows
}

// channelRows returns the number of rows for the channel, given enough room.
func (v *view) channelRows() int {
	if v.picture.Lane(lanes.Channel, "") == nil {
		return 1
	}
	return 3
}

// noteText returns the message of the last key, or else the note on the place of
// the cursor.
func (v *Viewer) noteText() (string, term.Role) {
	if v.message != "" {
		return v.message, term.Strong
	}
	return v.current().note()
}

// Draw draws the whole picture.
func (v *Viewer) Draw(c *term.Canvas) {
	switch {
	case term.TooSmall(c, "The viewer"):
	case v.help.IsOpen:
		v.help.Draw(c, v.helpPages())
	default:
		v.drawLog(c)
	}
}

func (v *Viewer) drawLog(c *term.Canvas) {
	view := v.current()
	lanes := c.Area(0, firstLane, c.Width, v.laneRows())
	below := firstLane + lanes.Height
	v.drawTitle(c)
	view.drawLanes(lanes)
	view.drawCursors(c.Area(labelWidth, rulerRow, view.window.columns, 1+lanes.Height))
	view.drawRuler(c.Area(labelWidth, rulerRow, view.window.columns, 1))
	c.Area(0, below, c.Width, 1).Fitted(term.Strong, view.cursorText(v.snap)...)
	c.Area(0, below+1, c.Width, 1).Fitted(term.Pointer, view.markTexts()...)
	text, role := v.noteText()
	c.Area(0, below+2, c.Width, c.Height).Wrapped(text, role)
}

func (v *Viewer) drawTitle(c *term.Canvas) {
	const keys = "? help"
	log := v.current().log
	r := log.Replay
	name := flight.BaseName(log.File)
	if len(v.views) > 1 {
		name = fmt.Sprintf("%s, %d of %d", name, v.shown+1, len(v.views))
	}
	counts := strings.Join([]string{r.End.Clock(), tell.Counted(len(r.Flicks), "flick", "flicks"),
		tell.Counted(len(r.Takes), "take", "takes"), tell.Counted(len(log.Findings), "finding", "findings")}, ", ")
	title := c.Area(0, titleRow, c.Width-len(keys)-1, 1)
	title.Fitted(term.Strong, name+"  "+r.Rig.Name+"  "+counts, name+"  "+counts, name)
	c.TextRight(titleRow, keys, term.Dim)
}

// drawLanes draws the lanes that have room.
func (v *view) drawLanes(c *term.Canvas) {
	places, _ := v.lanePlaces(c.Height)
	for i, place := range places {
		if place.top >= 0 {
			v.drawLane(c.Area(0, place.top, c.Width, place.rows), &v.picture.Lanes[i], i == v.selected)
		}
	}
}

// selectLaneAt selects the lane at a row below the ruler, if there is one.
func (v *view) selectLaneAt(row, height int) {
	places, _ := v.lanePlaces(height)
	for i, place := range places {
		if row >= max(0, place.top) && row < min(place.top+place.rows, height) {
			v.selected = i
			return
		}
	}
}

// lanePlace is where a lane is drawn. If it has no room, top is negative or beyond
// the end.
type lanePlace struct{ top, rows int }

// lanePlaces divides a height among the lanes, and returns the rows that they
// need of it. The channel gets its rows, and each lane a blank row below, if there
// is room. If not all lanes fit, the first ones make way until the selected one
// shows.
func (v *view) lanePlaces(height int) (places []lanePlace, rows int) {
	count, channel, apart := len(v.picture.Lanes), v.channelRows(), 0
	if height < count+channel-1 {
		channel = 1
	}
	if height >= 2*count+channel-1 {
		apart = 1
	}
	places = make([]lanePlace, count)
	for i := range places {
		places[i] = lanePlace{rows, 1 + apart}
		if v.picture.Lanes[i].Kind == lanes.Channel {
			places[i].rows += channel - 1
		}
		rows += places[i].rows
	}
	hidden := 0
	for i := 0; places[v.selected].top+places[v.selected].rows-hidden > height; i++ {
		hidden += places[i].rows
	}
	for i := range places {
		places[i].top -= hidden
	}
	return places, min(rows, height)
}

// drawLane draws a lane with its name. A blank row at its end keeps lanes apart.
func (v *view) drawLane(c *term.Canvas, l *lanes.Lane, selected bool) {
	role := term.Dim
	if selected {
		c.Text(0, 0, c.Glyphs.Selected, term.Pointer)
		role = term.Strong
	}
	rows := 1
	if l.Kind == lanes.Channel && c.Height >= v.channelRows() {
		rows = v.channelRows()
	}
	names, room := c.Area(0, 0, labelWidth, rows), labelWidth-2
	if rows > 1 {
		v.drawScale(names)
		room -= 4
	}
	names.Area(1, 0, room, 1).Text(0, 0, l.Name, role)
	plot := c.Area(labelWidth, 0, v.window.columns, rows)
	switch l.Kind {
	case lanes.Findings:
		v.drawLetters(plot, l)
	case lanes.Bands:
		v.drawBand(plot, l)
	case lanes.Flicks:
		v.drawSigns(plot, l)
	case lanes.Channel:
		v.drawChannel(plot, l)
	case lanes.Levels:
		v.drawLevel(plot, l)
	case lanes.Chance:
		v.drawChance(plot)
	}
}

// drawRuler writes times at round moments, where the cursor and the marks leave
// room.
func (v *view) drawRuler(c *term.Canvas) {
	const apart = 14 // columns from one label to the next, at least
	visible := sim.Span{From: v.window.from, To: min(v.window.end, v.window.from+v.window.span-1)}
	for _, tick := range lanes.Ticks(visible, max(1, v.window.columns/apart)) {
		x, text := v.window.column(tick.At), tick.Text
		if c.IsBlank(x, 1) {
			c.Set(x, 0, c.Glyphs.Tick, term.Dim)
		}
		switch width := len(text); {
		case c.IsBlank(x+1, width):
			c.Text(x+1, 0, text, term.Dim)
		case c.IsBlank(x-width-1, width+1):
			c.Text(x-width, 0, text, term.Dim)
		}
	}
}

// drawCursors draws the marks and the cursor over the ruler and the lanes: a line
// through blank cells, and other cells in reverse.
func (v *view) drawCursors(c *term.Canvas) {
	for i, at := range v.marks {
		if at != sim.Never && v.window.shows(at) {
			v.drawLineAt(c, at, c.Glyphs.Mark, fmt.Sprint(i+1)) // 1 is from, 2 is to: the keys
		}
	}
	if v.window.shows(v.cursor) {
		v.drawLineAt(c, v.cursor, c.Glyphs.Cursor, c.Glyphs.CursorHead)
	}
}

func (v *view) drawLineAt(c *term.Canvas, at sim.Micros, line, head string) {
	x := v.window.column(at)
	c.Set(x, 0, head, term.Pointer)
	for y := 1; y < c.Height; y++ {
		cell := c.At(x, y)
		switch {
		case cell == nil:
		case cell.IsBlank(), cell.Role == term.Pointer:
			c.Set(x, y, line, term.Pointer)
		default:
			cell.Reverse = true
		}
	}
}
