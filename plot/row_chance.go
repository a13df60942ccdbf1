package plot

import (
	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// chanceRow shows the chance that the camera records, where something is
// unknown (M9).
type chanceRow struct {
	*lanes.Lane
	belief []sim.BeliefStretch
}

func (r chanceRow) names() []string { return []string{r.Name, "how likely"} }
func (chanceRow) height() vg.Length { return 30 }

func (chanceRow) ground(s strip) {
	s.outline([]vg.Rectangle{s.Rectangle}, line(s.theme.Grid, hairline))
}

func (r chanceRow) draw(s strip) {
	y := func(chance float64) vg.Length { return s.Min.Y + vg.Length(chance)*(s.Max.Y-s.Min.Y) }
	var p pen
	for _, b := range r.belief {
		if b.To < s.span.From || b.From > s.span.To {
			continue
		}
		from, to := max(b.From, s.span.From), min(b.To, s.span.To)
		p.start(s.x(from), y(b.ChanceAt(from)))
		p.slope(s.column, vg.Point{X: s.x(from), Y: y(b.ChanceAt(from))})
		p.slope(s.column, vg.Point{X: s.x(to), Y: y(b.ChanceAt(to))})
	}
	if len(p.path) == 0 {
		return
	}
	area := append(vg.Path{}, p.path...)
	area.Line(vg.Point{X: p.at.X, Y: s.Min.Y})
	area.Line(vg.Point{X: area[0].Pos.X, Y: s.Min.Y})
	area.Close()
	s.SetColor(s.theme.pale(s.theme.Fill(lanes.Recording)))
	s.Fill(area)
	s.stroke(p.path, line(s.theme.Ink, lineWidth))
	s.nameRight(rightName{s.Min.Y + 3, "0 %", false}, rightName{s.Max.Y - 3, "100 %", false})
}

// slope draws to a point. If several points are in one column of pixels, it keeps
// their outline.
func (p *pen) slope(column func(vg.Length) int, to vg.Point) {
	if n := len(p.path); n > 3 && column(p.path[n-3].Pos.X) == column(to.X) {
		// The last two points become the lowest and the highest so far.
		low, high := &p.path[n-2].Pos, &p.path[n-1].Pos
		least, most := min(low.Y, high.Y, to.Y), max(low.Y, high.Y, to.Y)
		*low, *high = vg.Point{X: to.X, Y: least}, vg.Point{X: to.X, Y: most}
		if to.Y == least {
			low.Y, high.Y = most, least
		}
		p.at = p.path[n-1].Pos
		return
	}
	p.at = to
	p.path.Line(to)
}
