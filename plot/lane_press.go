package plot

import (
	"fmt"
	"slices"
	"strconv"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// pressLane shows the button as the camera reads it: a bar for every press,
// numbered, with its hold and what became of it, and up to where it could have
// been held.
type pressLane struct{ replay *sim.Replay }

// The rows of the lane: numbers above, bars below.
const (
	numberRows            = 3
	numberRow   vg.Length = 10.5
	pressBar    vg.Length = 11
	deadlineLow vg.Length = 3 // how far a deadline reaches below the bars
)

func (pressLane) name() string      { return "presses" }
func (pressLane) height() vg.Length { return numberRows*numberRow + pressBar + deadlineLow }

// The kinds of bars.
const (
	pressToggles = iota
	pressNot
	pressSeveral
)

func pressKind(p sim.Press) int {
	if p.Verdict == sim.VerdictToggle {
		return pressToggles
	}
	return pressNot
}

// pressFill returns how bars of a kind are filled.
func pressFill(t *theme, kind int) fill {
	return []fill{
		pressToggles: {t.good, noHatch, t.textOnFill},
		pressNot:     {t.bad, hatchRising, t.textOnFill},
		pressSeveral: {t.frame, noHatch, t.textOnFill},
	}[kind]
}

func (l pressLane) draw(s strip) {
	segments := make([]segment, len(l.replay.Presses))
	for i, p := range l.replay.Presses {
		segments[i] = segment{p.Span(l.replay.End), pressKind(p)}
	}
	blocks := s.blocks(segments)
	low, high := s.Min.Y+deadlineLow, s.Min.Y+deadlineLow+pressBar
	for kind := pressToggles; kind <= pressSeveral; kind++ {
		var areas []vg.Rectangle
		for _, b := range blocks {
			if b.several && kind == pressSeveral || !b.several && b.kind == kind {
				areas = append(areas, b.rect(low, high))
			}
		}
		s.fillRects(areas, pressFill(s.theme, kind))
		s.outline(areas, line(s.theme.ink, hairline))
	}
	l.drawDeadlines(s, low, high)
	l.number(s, blocks, high)
}

// drawDeadlines draws from every accepted press to the moment at which it would
// have been long.
func (l pressLane) drawDeadlines(s strip, low, high vg.Length) {
	var rooms, ends vg.Path
	middle := (low + high) / 2
	column := -1
	for _, p := range l.replay.Presses {
		deadline := p.Down + l.replay.Window.LongPress
		if !p.StateAt.Accepts() || !s.shows(deadline) || s.column(s.x(deadline)) == column {
			continue
		}
		x := s.x(deadline)
		column = s.column(x)
		ends.Move(vg.Point{X: x, Y: low - deadlineLow})
		ends.Line(vg.Point{X: x, Y: high + 2})
		if up := min(p.Up, l.replay.End); up < deadline {
			rooms.Move(vg.Point{X: s.x(up), Y: middle})
			rooms.Line(vg.Point{X: x, Y: middle})
		}
	}
	s.stroke(rooms, line(s.theme.quiet, hairline))
	s.stroke(ends, line(s.theme.ink, lineWidth))
}

// number labels the bars, all in the same detail: the one that leaves the fewest
// without a label, and of equals the one that says most.
func (l pressLane) number(s strip, blocks []block, above vg.Length) {
	style := textStyle(s.theme.ink, smallSize)
	var placed []pressLabel
	missing := len(l.replay.Presses) + 1
	for _, detail := range pressDetails {
		if p, m := l.place(s, style, blocks, detail); m < missing {
			placed, missing = p, m
		}
	}
	s.crowd.unnumbered = missing
	var leaders vg.Path
	for _, p := range placed {
		y := above + 1 + (vg.Length(p.row)+0.5)*numberRow
		s.write(style, vg.Point{X: p.from, Y: y}, p.words)
		if p.row > 0 {
			leaders.Move(vg.Point{X: p.x, Y: above})
			leaders.Line(vg.Point{X: p.x, Y: y + numberRow/3})
		}
	}
	s.stroke(leaders, line(s.theme.quiet, hairline))
}

// pressLabel is a label that has found its place.
type pressLabel struct {
	words   string
	x, from vg.Length
	row     int
}

// place finds room for the labels of presses in one detail. It returns how many
// presses have none. From the right, each label stands to the right of its bar,
// so the lines to those in later rows cross none.
func (l pressLane) place(s strip, style text.Style, blocks []block, detail func(sim.Press) string) (placed []pressLabel, missing int) {
	rows := newLabelRows(s.Min.X, s.Max.X, numberRows)
	for _, b := range slices.Backward(blocks) {
		p := l.replay.Presses[b.item]
		words := detail(p)
		if b.several {
			words = fmt.Sprintf("%d–%d", p.N, p.N+b.items-1)
		}
		x := b.from
		width := style.Width(words)
		from := min(x+2, s.Max.X-width)
		if row, ok := rows.placeAt(x, stretch{from, from + width}); ok {
			placed = append(placed, pressLabel{words, x, from, row})
		} else {
			missing += b.items
		}
	}
	return placed, missing
}

// pressDetails are the details of the labels, from the one that says most.
var pressDetails = []func(sim.Press) string{
	func(p sim.Press) string {
		if p.Verdict == sim.VerdictToggle {
			return pressHeld(p)
		}
		return pressHeld(p) + " " + string(p.Verdict)
	},
	pressHeld,
	func(p sim.Press) string {
		if p.Verdict == sim.VerdictToggle {
			return strconv.Itoa(p.N)
		}
		return pressHeld(p)
	},
	func(p sim.Press) string { return strconv.Itoa(p.N) },
}

func pressHeld(p sim.Press) string { return strconv.Itoa(p.N) + ": " + tell.Held(p) }

func (l pressLane) legend(span sim.Span) []legendEntry {
	bar := func(kind int) func(draw.Canvas, *theme) {
		return func(c draw.Canvas, t *theme) { drawFill(c, t, c.Rectangle, pressFill(t, kind)) }
	}
	var entries []legendEntry
	seen := map[int]bool{}
	decided := false
	for _, p := range l.replay.Presses {
		if p.Down <= span.To && p.Up >= span.From {
			seen[pressKind(p)] = true
			decided = decided || p.StateAt.Accepts()
		}
	}
	if seen[pressToggles] {
		entries = append(entries, legendEntry{"press that toggles", bar(pressToggles)})
	}
	if seen[pressNot] {
		entries = append(entries, legendEntry{"press that does not", bar(pressNot)})
	}
	if decided {
		entries = append(entries, legendEntry{"long-press deadline", func(c draw.Canvas, t *theme) {
			middle := c.Center()
			c.StrokeLine2(line(t.quiet, hairline), c.Min.X, middle.Y, middle.X, middle.Y)
			c.StrokeLine2(line(t.ink, lineWidth), middle.X, c.Min.Y, middle.X, c.Max.Y)
		}})
	}
	return entries
}
