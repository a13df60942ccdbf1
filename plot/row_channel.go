package plot

import (
	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// channelRow shows the channel's value over the press ranges, and where the
// signal is lost.
type channelRow struct {
	*lanes.Lane
	spec  sim.SwitchSpec
	trace *sim.Trace
	scale lanes.Scale
}

func (r channelRow) names() []string { return []string{r.Name, "µs"} }
func (channelRow) height() vg.Length { return 84 }

// y returns where a pulse width lies on the row.
func (r channelRow) y(s strip, v sim.PulseWidth) vg.Length {
	return s.Min.Y + vg.Length(r.scale.Share(v))*(s.Max.Y-s.Min.Y)
}

func (r channelRow) ground(s strip) {
	for _, press := range r.spec.Press {
		area := s.Rectangle
		area.Min.Y, area.Max.Y = r.y(s, press.Low), r.y(s, press.High)
		s.fillRects([]vg.Rectangle{area}, fill{colour: s.theme.Range})
		for _, edge := range []sim.PulseWidth{press.Low, press.High} {
			if r.scale.Shows(edge) {
				s.StrokeLine2(line(s.theme.Frame, thinLine, 5, 3), s.Min.X, r.y(s, edge), s.Max.X, r.y(s, edge))
			}
		}
	}
	s.outline([]vg.Rectangle{s.Rectangle}, line(s.theme.Grid, hairline))
}

func (r channelRow) draw(s strip) {
	blocks := s.blocks(r.Lane)
	s.fillBlocks(blocks, s.Min.Y, s.Max.Y)
	r.drawTrace(s)
	for _, b := range blocks {
		if !b.Several() && s.label(b.rect(s.Min.Y, s.Max.Y), r.Label(b.First).Long, s.theme.fill(b.look)) {
			s.found.named[b.look] = true
		}
	}
	var names []rightName
	for _, v := range r.scale.Values(r.spec.Press, float64(smallLine/(s.Max.Y-s.Min.Y))) {
		words := v.Text
		if v.Threshold {
			words = r.threshold(v)
		}
		names = append(names, rightName{r.y(s, v.At), words, v.Threshold})
	}
	s.nameRight(names...)
}

// threshold names the end of a press range.
func (r channelRow) threshold(v lanes.Value) string {
	for _, press := range r.spec.Press {
		if press.Low == v.At {
			return "press from " + v.Text
		}
	}
	return "press below " + v.Text
}

// drawTrace draws each value until the next sample. In a column of pixels with
// several values, it draws a vertical line from the lowest to the highest.
func (r channelRow) drawTrace(s strip) {
	var p pen
	for _, c := range r.trace.Range(s.span.From, s.span.To, s.columns()) {
		if c.Absent() {
			p.lift()
			continue
		}
		left, right := s.x(c.From), s.x(c.To)
		low, high := r.y(s, c.Low), r.y(s, c.High)
		p.start(left, low)
		if low != p.at.Y || high != p.at.Y {
			p.across((left + right) / 2)
			p.through(low, high)
		}
		p.across(right)
	}
	s.stroke(p.path, line(s.theme.Trace, lineWidth))
}

// pen draws a line of horizontal and vertical strokes.
type pen struct {
	path  vg.Path
	at    vg.Point
	down  bool
	level bool // the last stroke was horizontal
}

func (p *pen) lift() { p.down = false }

// start puts the pen down, unless it is down.
func (p *pen) start(x, y vg.Length) {
	if !p.down {
		p.at, p.down, p.level = vg.Point{X: x, Y: y}, true, false
		p.path.Move(p.at)
	}
}

// across draws horizontally to x, and makes successive horizontal strokes one.
func (p *pen) across(x vg.Length) {
	p.at.X = x
	if p.level {
		p.path[len(p.path)-1].Pos = p.at
		return
	}
	p.path.Line(p.at)
	p.level = true
}

// through draws vertically from low to high, the nearer end first.
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
