package plot

import (
	"slices"

	"gonum.org/v1/plot/vg"

	"flicktally/sim"
)

// waveLane shows a two-valued signal: high is pressed.
type waveLane struct {
	title string
	wave  sim.Lane
	end   sim.Micros
}

// waveLanes returns the signal after each step that the rig makes use of.
func waveLanes(r *sim.Replay) []lane {
	var lanes []lane
	for _, s := range r.Signals() {
		lanes = append(lanes, waveLane{s.Name, s.Lane, r.End})
	}
	return lanes
}

func (l waveLane) name() string                { return l.title }
func (waveLane) height() vg.Length             { return 24 }
func (waveLane) legend(sim.Span) []legendEntry { return nil }
func (l waveLane) level(s strip, p bool) vg.Length {
	if p {
		return s.Max.Y - 3
	}
	return s.Min.Y + 3
}

func (l waveLane) draw(s strip) {
	low, high := l.level(s, false), l.level(s, true)
	var areas []vg.Rectangle
	var presses []segment
	for span := range l.wave.Presses(l.end) {
		presses = append(presses, segment{Span: span})
	}
	for _, b := range s.blocks(presses) {
		if b.width() > lineWidth { // else the line fills it
			areas = append(areas, b.rect(low, high))
		}
	}
	s.fillRects(areas, fill{colour: s.theme.pressed})
	s.stroke(l.outline(s), line(s.theme.ink, lineWidth))
	quiet := s.theme.quietText()
	s.nameRight(rightName{low, "released", quiet}, rightName{high, "pressed", quiet})
}

// outline returns the wave as a path with at most two edges a column of pixels;
// a column with more has an upright line from level to level.
func (l waveLane) outline(s strip) vg.Path {
	level := l.wave.At(s.span.From)
	first, _ := slices.BinarySearchFunc(l.wave.Edges, s.span.From, func(e sim.Edge, at sim.Micros) int {
		if e.At <= at {
			return -1
		}
		return 1
	})
	var path vg.Path
	path.Move(vg.Point{X: s.x(s.span.From), Y: l.level(s, level)})
	edges := l.wave.Edges[first:]
	for len(edges) > 0 && s.shows(edges[0].At) {
		x := s.x(edges[0].At)
		n := 1
		for n < len(edges) && s.shows(edges[n].At) && s.column(s.x(edges[n].At)) == s.column(x) {
			n++
		}
		if n > 2 {
			s.crowd.dense = true
			path.Line(vg.Point{X: x, Y: l.level(s, level)})
			path.Line(vg.Point{X: x, Y: l.level(s, !level)})
			path.Line(vg.Point{X: x, Y: l.level(s, edges[n-1].Pressed)})
		} else {
			for i, e := range edges[:n] {
				x := s.x(e.At)
				path.Line(vg.Point{X: x, Y: l.level(s, level != (i > 0))})
				path.Line(vg.Point{X: x, Y: l.level(s, e.Pressed)})
			}
		}
		level = edges[n-1].Pressed
		edges = edges[n:]
	}
	path.Line(vg.Point{X: s.x(min(l.end, s.span.To)), Y: l.level(s, level)})
	return path
}
