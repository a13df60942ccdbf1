package plot

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
)

// chanceLane shows the chance that the camera records, where something is not
// known (M9).
type chanceLane struct{ belief []sim.BeliefStretch }

func (chanceLane) name() string      { return "chance of recording" }
func (chanceLane) height() vg.Length { return 34 }

func (chanceLane) ground(s strip) {
	s.outline([]vg.Rectangle{s.Rectangle}, line(s.theme.grid, hairline))
}

func (l chanceLane) draw(s strip) {
	y := func(chance float64) vg.Length { return s.Min.Y + vg.Length(chance)*(s.Max.Y-s.Min.Y) }
	var points []vg.Point
	for _, b := range l.belief {
		if b.To < s.span.From || b.From > s.span.To {
			continue
		}
		from, to := max(b.From, s.span.From), min(b.To, s.span.To)
		points = append(points,
			vg.Point{X: s.x(from), Y: y(b.ChanceAt(from))},
			vg.Point{X: s.x(to), Y: y(b.ChanceAt(to))})
	}
	if len(points) == 0 {
		return
	}
	points = s.thin(points)
	area := append([]vg.Point{{X: points[0].X, Y: s.Min.Y}}, points...)
	area = append(area, vg.Point{X: points[len(points)-1].X, Y: s.Min.Y})
	s.FillPolygon(blend(s.theme.paper, s.theme.take, 0.3), area)
	s.StrokeLines(line(s.theme.ink, lineWidth), points)
	quiet := s.theme.quietText()
	s.nameRight(rightName{s.Min.Y + 3, "0 %", quiet}, rightName{s.Max.Y - 3, "100 %", quiet})
}

func (chanceLane) legend(sim.Span) []legendEntry {
	return []legendEntry{{"chance of recording", func(c draw.Canvas, t *theme) {
		c.SetColor(blend(t.paper, t.take, 0.3))
		c.Fill(c.Rectangle.Path())
		c.StrokeLine2(line(t.ink, lineWidth), c.Min.X, c.Max.Y, c.Max.X, c.Max.Y)
	}}}
}
