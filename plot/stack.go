package plot

import (
	"fmt"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// row is a row of a chart over time.
type row interface {
	names() []string   // its name, then lines in small letters
	height() vg.Length // unstretched
	draw(strip)
}

// grounded is a row that draws something behind all others.
type grounded interface{ ground(strip) }

// stack draws rows, one above the other, over one time axis.
type stack struct {
	rows  []row
	axes  *gplot.Plot
	theme *theme
	span  sim.Span
	found *found
}

// found is what the rows report after drawing.
type found struct {
	dense   bool     // a column of pixels has more changes than it can show
	unnamed int      // flicks without a number
	doubt   bool     // something is framed as doubtful
	parts   sim.Span // the first of the parts in which flicks are counted; zero if drawn one by one
	// Looks that were drawn, and those that were labelled in place.
	drawn, named [lanes.LookCount]bool
	signs        [lanes.LookCount]bool // drawn as signs
}

const (
	laneGap  vg.Length = 7
	axisRoom vg.Length = 22
	tickRoom vg.Length = 50 // for the label of a tick
)

func newStack(rows []row, t *theme, span sim.Span) *stack {
	s := &stack{rows: rows, theme: t, span: span, found: new(found)}
	s.axes = newAxes(t,
		Axis{Scale: ClockScale, Min: float64(span.From), Max: float64(span.To)},
		Axis{Max: float64(s.natural() - axisRoom)})
	s.axes.HideY()
	s.axes.Add(s)
	return s
}

func (s *stack) natural() vg.Length {
	height := axisRoom
	for _, r := range s.rows {
		height += r.height() + laneGap
	}
	return height
}

// eachRow yields the place of every row on the Y axis, from the top.
func (s *stack) eachRow(yield func(r row, low, high vg.Length)) {
	top := s.natural() - axisRoom
	for _, r := range s.rows {
		yield(r, top-r.height(), top)
		top -= r.height() + laneGap
	}
}

// nameWidth is the greatest width of the names of rows, nameGap the space between
// them and the rows.
const (
	nameWidth vg.Length = 120
	nameGap   vg.Length = 8
)

// smallLine is the height of a line in small letters.
const smallLine = smallSize * 1.15

// nameLines returns the names of a row.
func (s *stack) nameLines(r row) []textLine {
	var lines []textLine
	style := s.theme.text()
	for _, name := range r.names() {
		lines = append(lines, textLine{style, truncate(style, clean(name), nameWidth)})
		style = s.theme.quietText()
	}
	return lines
}

// drawNames writes the names of a row to the left of it.
func (s *stack) drawNames(c draw.Canvas, r row, middle vg.Length) {
	lines := s.nameLines(r)
	y := middle + vg.Length(len(lines)-1)*smallLine/2
	for i, l := range lines {
		c.FillText(l.style, vg.Point{X: c.Min.X - nameGap - l.width(), Y: y}, l.words)
		y -= smallLine
		if i == 0 {
			y -= (textSize - smallSize) / 2
		}
	}
}

// draw draws axis and rows. The names of rows on the left take the width they
// need; the names on the right have a fixed width.
func (s *stack) draw(c draw.Canvas) {
	widest := vg.Length(0)
	for _, r := range s.rows {
		for _, l := range s.nameLines(r) {
			widest = max(widest, l.width())
		}
	}
	c = draw.Crop(c, widest+nameGap, -sideWidth, 0, 0)
	s.axes.X.Tick.Marker = ticker{ClockScale, int(c.Size().X / tickRoom)}
	s.axes.Draw(c)
}

// Plot draws the rows.
func (s *stack) Plot(c draw.Canvas, p *gplot.Plot) {
	_, toY := p.Transforms(&c)
	on := func(low, high vg.Length) strip {
		area := c
		area.Min.Y, area.Max.Y = toY(float64(low)), toY(float64(high))
		return strip{area, s.theme, s.span, s.found, c.Rectangle}
	}
	s.eachRow(func(r row, low, high vg.Length) {
		if g, ok := r.(grounded); ok {
			g.ground(on(low, high))
		}
	})
	s.theme.grid(true, false).Plot(c, p)
	s.eachRow(func(r row, low, high vg.Length) {
		r.draw(on(low, high))
		s.drawNames(c, r, toY(float64((low+high)/2)))
	})
}

// layOut draws the rows nowhere, at a width, and returns what they report.
func (s *stack) layOut(width vg.Length) *found {
	s.draw(draw.NewCanvas(new(recorder.Canvas), width, s.natural()))
	return s.found
}

// legend explains the looks that were drawn but not labelled.
func (f *found) legend() []legendEntry {
	var entries []legendEntry
	for l := range lanes.Looks {
		if f.drawn[l] && !f.named[l] {
			entries = append(entries, lookEntry(l, f.signs[l]))
		}
	}
	return entries
}

// lookEntry explains a look by its sign, or by an area.
func lookEntry(l lanes.Look, sign bool) legendEntry {
	return legendEntry{l.FullName(), func(c draw.Canvas, t *theme) {
		if sign {
			drawSign(c, t, l, c.Center())
			return
		}
		drawBox(c, t, c.Rectangle, t.fill(l))
	}}
}

// crowdNotes adds notes on what the chart has no room for.
func (p *page) crowdNotes(f *found) {
	switch {
	case f.parts.Length() > 0:
		p.note(fmt.Sprintf("Too many flicks to draw one by one: each bar counts %s by outcome; a shorter span shows each.", f.parts.Length().Readable()))
	case f.unnamed > 0:
		p.note(fmt.Sprintf("Flicks without room for their number: %d; a shorter span shows them.", f.unnamed))
	}
	if f.doubt {
		p.note("A dashed frame and a \"?\" mark what is doubtful: another outcome is possible.")
	}
	if f.dense {
		p.note("Where more happens than a pixel can show, a dotted block stands for it; a shorter span shows all.")
	}
}
