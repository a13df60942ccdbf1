package plot

import (
	"fmt"
	"slices"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"

	"flicktally/sim/lanes"
)

// flickRow shows the outcome of every flick: a sign whose shape is the outcome,
// with a name above it and a line to its moment. If the signs have no room, bars
// count the flicks.
type flickRow struct{ *lanes.Lane }

// The parts of the row, from the bottom: lines to the moments, signs, names.
const (
	leadRoom  vg.Length = 5
	signRow             = signSize + 2
	nameRows            = 3
	numberRow vg.Length = 10.5
	signApart           = signSize*1.5 + 1 // the widest sign
	partWidth vg.Length = 9
)

func (r flickRow) names() []string { return []string{r.Name} }
func (flickRow) height() vg.Length { return leadRoom + signRow + nameRows*numberRow }

func (r flickRow) draw(s strip) {
	var shown []int
	var places []float64
	for i, span := range r.Spans {
		if overlaps(span, s.span) {
			shown = append(shown, i)
			places = append(places, float64(s.x(span.From)))
		}
	}
	moved, ok := lanes.SpreadNear(places, float64(signApart), float64(s.Min.X), float64(s.Max.X))
	if !ok {
		r.drawCounts(s)
		return
	}
	r.drawLeads(s, shown, moved)
	r.nameSigns(s, shown, moved)
	for i, n := range shown {
		s.sign(r.Label(n), vg.Point{X: vg.Length(moved[i]), Y: s.Min.Y + leadRoom + signRow/2})
	}
}

// sign draws the sign of a flick, framed if its outcome is doubtful.
func (s strip) sign(label lanes.Label, at vg.Point) {
	if label.Doubt {
		s.found.doubt = true
		half := vg.Point{X: signApart/2 - 0.5, Y: signRow / 2}
		s.stroke(vg.Rectangle{Min: at.Sub(half), Max: at.Add(half)}.Path(), line(s.theme.Ink, thinLine, 2, 1.5))
	}
	drawSign(s.Canvas, s.theme, label.Look, at)
	s.found.drawn[label.Look], s.found.signs[label.Look] = true, true
}

// drawLeads draws a line from every sign to the stretch of its flick.
func (r flickRow) drawLeads(s strip, shown []int, moved []float64) {
	var leads, bars vg.Path
	for i, n := range shown {
		from, to := s.x(r.Spans[n].From), s.x(r.Spans[n].To)
		addLine(&leads, from, s.Min.Y, vg.Length(moved[i]), s.Min.Y+leadRoom)
		addLine(&bars, from, s.Min.Y, max(to, from+pixel), s.Min.Y)
	}
	s.stroke(leads, line(s.theme.Quiet, hairline))
	s.stroke(bars, line(s.theme.Ink, 2))
}

// nameSigns names the signs, all in the same detail: the one that leaves the
// fewest signs without a name, and of equals the fullest.
func (r flickRow) nameSigns(s strip, shown []int, at []float64) {
	long := func(l lanes.Label) string { return l.Long }
	short := func(l lanes.Label) string { return l.Short }
	worst := func(l lanes.Label) string {
		if l.Look == lanes.Toggled {
			return l.Short
		}
		return l.Long
	}
	style := textStyle(s.theme.Ink, smallSize)
	var best []signName
	for i, detail := range []func(lanes.Label) string{long, worst, short} {
		if placed := r.place(s, style, shown, at, detail); i == 0 || len(placed) > len(best) {
			best = placed
		}
	}
	s.found.unnamed = len(shown) - len(best)
	base := s.Min.Y + leadRoom + signRow
	for _, n := range best {
		y := base + (vg.Length(n.row)+0.5)*numberRow
		if n.row > 0 {
			s.StrokeLine2(line(s.theme.Quiet, hairline), n.x, base, n.x, y-numberRow/3)
		}
		s.write(style, vg.Point{X: n.from, Y: y}, n.words)
		if n.long {
			s.found.named[n.look] = true
		}
	}
}

// mark returns the mark of what is doubtful.
func mark(doubt bool) string {
	if doubt {
		return "?"
	}
	return ""
}

// signName is a placed name.
type signName struct {
	words   string
	x, from vg.Length
	row     int
	look    lanes.Look
	long    bool // the words include the outcome
}

// place finds room for the names of signs in one detail. From right to left,
// each name is above its sign or to the right of it, so the lines to names in
// later rows cross none.
func (r flickRow) place(s strip, style text.Style, shown []int, at []float64, detail func(lanes.Label) string) (placed []signName) {
	rows := newLabelRows(s.Min.X-nameGap/2, s.Max.X, nameRows)
	for i, n := range slices.Backward(shown) {
		label := r.Label(n)
		words, x := detail(label), vg.Length(at[i])
		width := style.Width(words + mark(label.Doubt))
		from := max(s.Min.X-nameGap/2, min(x-signSize/2, s.Max.X-width))
		if row, ok := rows.placeAt(x, stretch{from, from + width}); ok {
			placed = append(placed, signName{words + mark(label.Doubt), x, from, row, label.Look, words != label.Short})
		}
	}
	return placed
}

// drawCounts draws a bar for each part of the time that counts each outcome.
func (r flickRow) drawCounts(s strip) {
	parts := lanes.Count(r.Lane, s.span, int((s.Max.X-s.Min.X)/partWidth))
	most := 1
	for _, p := range parts {
		most = max(most, p.Total)
	}
	s.found.parts = parts[0].Span
	low, unit := s.Min.Y, (s.Max.Y-s.Min.Y-smallSize)/vg.Length(most)
	areas, doubtful := map[lanes.Look][]vg.Rectangle{}, map[lanes.Look][]vg.Rectangle{}
	for _, p := range parts {
		left, right := s.x(p.From)+0.75, s.x(p.To)-0.75
		for _, b := range p.Bars() {
			area := vg.Rectangle{Min: vg.Point{X: left, Y: low + vg.Length(b.Below)*unit}, Max: vg.Point{X: right, Y: low + vg.Length(b.Below+b.Count)*unit}}
			areas[b.Look] = append(areas[b.Look], area)
			if b.Doubt {
				s.found.doubt = true
				doubtful[b.Look] = append(doubtful[b.Look], area)
			}
		}
	}
	for look := range areas {
		s.found.drawn[look] = true
	}
	for _, look := range lanes.Outcomes {
		s.boxes(areas[look], s.theme.fill(look))
		s.frameDoubt(doubtful[look], look)
	}
	highest := fmt.Sprintf("%d in %s", most, parts[0].Length().Readable())
	s.nameRight(rightName{low + 3, "0", false}, rightName{low + vg.Length(most)*unit, highest, false})
}
