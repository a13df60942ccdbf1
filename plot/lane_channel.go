package plot

import (
	"fmt"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
)

// channelLane shows the channel's value, the press ranges behind it, and where
// the signal is lost.
type channelLane struct {
	replay *sim.Replay
	trace  *sim.Trace
}

func (l channelLane) name() string {
	switch name := l.replay.Rig.Log.Channel; {
	case l.replay.Tap == sim.TapOutput:
		return "output, µs"
	case name == "":
		return "channel, µs"
	default:
		return name + ", µs"
	}
}

func (channelLane) height() vg.Length { return 92 }

func (l channelLane) ground(s strip) {
	_, scale := l.scaled(s)
	l.drawRanges(s, scale)
	s.outline([]vg.Rectangle{s.Rectangle}, line(s.theme.grid, hairline))
}

func (l channelLane) draw(s strip) {
	columns, scale := l.scaled(s)
	l.drawLost(s)
	drawTrace(s, scale, columns)
	l.nameThresholds(s, scale)
}

// scaled returns the channel in columns of pixels, and where its values lie.
func (l channelLane) scaled(s strip) ([]sim.TraceBin, pulseWidths) {
	columns := l.trace.Range(s.span.From, s.span.To, s.columns())
	return columns, newPulseWidths(columns, s.Min.Y, s.Max.Y)
}

// pulseWidths places pulse widths on a lane.
type pulseWidths struct {
	low, high   sim.PulseWidth
	bottom, top vg.Length
}

// newPulseWidths spans the usual pulse widths and all that the channel had.
func newPulseWidths(columns []sim.TraceBin, bottom, top vg.Length) pulseWidths {
	p := pulseWidths{1000, 2000, bottom, top}
	for _, c := range columns {
		if !c.Absent() {
			p.low, p.high = min(p.low, c.Low), max(p.high, c.High)
		}
	}
	room := (p.high - p.low) / 12
	p.low, p.high = p.low-room, p.high+room
	return p
}

// y returns where a pulse width lies, within the lane.
func (p pulseWidths) y(v sim.PulseWidth) vg.Length {
	share := max(0, min(1, (v-p.low)/(p.high-p.low)))
	return p.bottom + vg.Length(share)*(p.top-p.bottom)
}

func (p pulseWidths) shows(v sim.PulseWidth) bool { return v >= p.low && v <= p.high }

func (l channelLane) drawRanges(s strip, scale pulseWidths) {
	for _, r := range l.replay.Rig.Switch.Press {
		area := s.Rectangle
		area.Min.Y, area.Max.Y = scale.y(r.Low), scale.y(r.High)
		s.fillRects([]vg.Rectangle{area}, fill{colour: s.theme.pressRange})
		for _, edge := range []sim.PulseWidth{r.Low, r.High} {
			if scale.shows(edge) {
				s.StrokeLine2(line(s.theme.frame, thinLine, 5, 3), s.Min.X, scale.y(edge), s.Max.X, scale.y(edge))
			}
		}
	}
}

// drawTrace draws the values as they are held from sample to sample; a column
// with several has an upright line from the lowest to the highest.
func drawTrace(s strip, scale pulseWidths, columns []sim.TraceBin) {
	var p pen
	for _, c := range columns {
		if c.Absent() {
			p.lift()
			continue
		}
		left, right := s.x(c.From), s.x(c.To)
		low, high := scale.y(c.Low), scale.y(c.High)
		p.start(left, low)
		if low != p.at.Y || high != p.at.Y {
			p.across((left + right) / 2)
			p.through(low, high)
		}
		p.across(right)
	}
	s.stroke(p.path, line(s.theme.signal, lineWidth))
}

// pen draws a line of level and upright strokes.
type pen struct {
	path  vg.Path
	at    vg.Point
	down  bool
	level bool // the last stroke was a level one
}

func (p *pen) lift() { p.down = false }

// start puts the pen down, if it is not.
func (p *pen) start(x, y vg.Length) {
	if !p.down {
		p.at, p.down, p.level = vg.Point{X: x, Y: y}, true, false
		p.path.Move(p.at)
	}
}

// across draws level to x; level strokes that follow each other are one.
func (p *pen) across(x vg.Length) {
	p.at.X = x
	if p.level {
		p.path[len(p.path)-1].Pos = p.at
		return
	}
	p.path.Line(p.at)
	p.level = true
}

// through draws upright over all from low to high, the nearer end first.
func (p *pen) through(low, high vg.Length) {
	near, far := low, high
	if p.at.Y-low > high-p.at.Y {
		near, far = high, low
	}
	for _, y := range []vg.Length{near, far} {
		if y != p.at.Y {
			p.at.Y, p.level = y, false
			p.path.Line(p.at)
		}
	}
}

// drawLost hatches the stretches without a signal.
func (l channelLane) drawLost(s strip) {
	var areas []vg.Rectangle
	for _, b := range s.blocks(segmentsOf(l.replay.Lost)) {
		areas = append(areas, b.rect(s.Min.Y, s.Max.Y))
	}
	f := fill{colour: s.theme.mild, hatch: hatchFalling, text: s.theme.lost}
	s.fillRects(areas, f)
	f.text = s.theme.ink
	for _, area := range areas {
		s.label(area, "no signal", f)
	}
}

func segmentsOf(spans []sim.Span) []segment {
	all := make([]segment, len(spans))
	for i, span := range spans {
		all[i].Span = span
	}
	return all
}

// nameThresholds names the ends of the press ranges, and round values where
// there is room.
func (l channelLane) nameThresholds(s strip, scale pulseWidths) {
	var names []rightName
	taken := func(y vg.Length) bool {
		for _, n := range names {
			if max(n.y-y, y-n.y) < smallSize*1.15 {
				return true
			}
		}
		return false
	}
	ink := textStyle(s.theme.ink, smallSize)
	for _, r := range l.replay.Rig.Switch.Press {
		if scale.shows(r.Low) {
			names = append(names, rightName{scale.y(r.Low), "press from " + pulseText(r.Low), ink})
		}
		if scale.shows(r.High) {
			names = append(names, rightName{scale.y(r.High), "press below " + pulseText(r.High), ink})
		}
	}
	for _, v := range []sim.PulseWidth{1000, 1500, 2000} {
		if y := scale.y(v); !taken(y) {
			names = append(names, rightName{y, pulseText(v), s.theme.quietText()})
		}
	}
	s.nameRight(names...)
}

func pulseText(v sim.PulseWidth) string { return strconv.FormatFloat(float64(v), 'f', -1, 64) }

func (l channelLane) legend(span sim.Span) []legendEntry {
	entries := []legendEntry{{"channel", func(c draw.Canvas, t *theme) {
		y := c.Center().Y
		c.StrokeLine2(line(t.signal, lineWidth), c.Min.X, y, c.Max.X, y)
	}}, {"press range", func(c draw.Canvas, t *theme) {
		c.SetColor(t.pressRange)
		c.Fill(c.Rectangle.Path())
		c.StrokeLine2(line(t.frame, thinLine, 5, 3), c.Min.X, c.Min.Y, c.Max.X, c.Min.Y)
	}}}
	if h := l.replay.Rig.Switch.Hysteresis; h > 0 {
		entries[1].name += fmt.Sprintf(" (left %s µs beyond its ends)", pulseText(h))
	}
	for _, lost := range l.replay.Lost {
		if lost.To > span.From && lost.From < span.To {
			return append(entries, legendEntry{"no signal", func(c draw.Canvas, t *theme) {
				c.SetColor(t.mild)
				c.Fill(c.Rectangle.Path())
				drawHatch(c, c.Rectangle, hatchFalling, line(t.lost, hairline))
			}})
		}
	}
	return entries
}
