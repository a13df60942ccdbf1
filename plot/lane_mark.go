package plot

import (
	"cmp"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// mark is a finding on a chart. Its key, a letter, stands before its text at
// the foot of the chart too; "" where there are too many to tell them all.
type mark struct {
	tell.Finding
	key string
}

// maxKeyed is how many findings have their text on a chart.
const maxKeyed = 12

// keyFindings returns the findings in a span, with keys in order of time. Where
// there are too many for the foot, those about lost footage have theirs first.
func keyFindings(findings []tell.Finding, span sim.Span) []mark {
	var marks []mark
	for _, f := range findings {
		if f.At >= span.From && f.At <= span.To {
			marks = append(marks, mark{Finding: f})
		}
	}
	order := make([]*mark, len(marks))
	for i := range marks {
		order[i] = &marks[i]
	}
	slices.SortStableFunc(order, func(a, b *mark) int { return -cmp.Compare(weight(a), weight(b)) })
	for _, m := range order[:min(len(order), maxKeyed)] {
		m.key = "?"
	}
	letter := 'A'
	for i := range marks {
		if marks[i].key != "" {
			marks[i].key = string(letter)
			letter++
		}
	}
	return marks
}

func weight(m *mark) int {
	if m.Costs {
		return 1
	}
	return 0
}

func unkeyed(marks []mark) int {
	count := 0
	for _, m := range marks {
		if m.key == "" {
			count++
		}
	}
	return count
}

// markLane shows where the findings are: a pennant each, with a line down through
// all lanes. Pennants that would overlap are one, with all their letters.
type markLane struct{ marks []mark }

func (markLane) name() string      { return "findings" }
func (markLane) height() vg.Length { return 13 }

// pennant is one or more marks at a place.
type pennant struct {
	x, left, right vg.Length
	first, last    string // keys, "" without any
	lost           bool
}

func (f pennant) words() string {
	switch {
	case f.first == f.last:
		return f.first
	case f.first[0]+1 == f.last[0]:
		return f.first + f.last
	default:
		return f.first + "–" + f.last
	}
}

const pennantPad vg.Length = 2.5

// pennants lays the marks with a key out, joining those without room of their own.
func (l markLane) pennants(s strip) []pennant {
	style := textStyle(s.theme.ink, smallSize)
	var pennants []pennant
	for _, m := range l.marks {
		if m.key == "" {
			continue
		}
		f := pennant{x: s.x(m.At), first: m.key, last: m.key, lost: m.Costs}
		for {
			half := style.Width(f.words())/2 + pennantPad
			f.left = max(s.Min.X-nameGap/2, min(f.x-half, s.Max.X))
			f.right = f.left + 2*half
			n := len(pennants) - 1
			if n < 0 || pennants[n].right+1 < f.left {
				break
			}
			f = pennant{x: pennants[n].x, first: pennants[n].first, last: f.last, lost: f.lost || pennants[n].lost}
			pennants = pennants[:n]
		}
		pennants = append(pennants, f)
	}
	return pennants
}

// ground draws a line down from every mark with a key.
func (l markLane) ground(s strip) {
	var path vg.Path
	column := -1
	for _, m := range l.marks {
		if x := s.x(m.At); m.key != "" && s.column(x) != column {
			column = s.column(x)
			path.Move(vg.Point{X: x, Y: s.all.Min.Y})
			path.Line(vg.Point{X: x, Y: s.Min.Y})
		}
	}
	s.stroke(path, line(s.theme.quiet, hairline, 2, 2))
}

func (l markLane) draw(s strip) {
	l.drawUnkeyed(s)
	for _, f := range l.pennants(s) {
		area := vg.Rectangle{Min: vg.Point{X: f.left, Y: s.Min.Y}, Max: vg.Point{X: f.right, Y: s.Max.Y}}
		drawPennant(s.Canvas, s.theme, area, f.words(), f.lost)
	}
}

// drawPennant draws a pennant: filled for lost footage, else hollow.
func drawPennant(c draw.Canvas, t *theme, area vg.Rectangle, words string, lost bool) {
	style := textStyle(t.ink, smallSize)
	c.SetColor(t.paper)
	if lost {
		c.SetColor(t.ink)
		style.Color = t.paper
	}
	c.Fill(area.Path())
	c.SetLineStyle(line(t.ink, thinLine))
	c.Stroke(area.Path())
	c.FillText(style, vg.Point{X: (area.Min.X+area.Max.X)/2 - style.Width(words)/2, Y: (area.Min.Y + area.Max.Y) / 2}, words)
}

// drawUnkeyed draws the marks without a key as short strokes.
func (l markLane) drawUnkeyed(s strip) {
	var path vg.Path
	column := -1
	for _, m := range l.marks {
		if x := s.x(m.At); m.key == "" && s.column(x) != column {
			column = s.column(x)
			path.Move(vg.Point{X: x, Y: s.Min.Y})
			path.Line(vg.Point{X: x, Y: s.Min.Y + 5})
		}
	}
	s.stroke(path, line(s.theme.ink, thinLine))
}

func (l markLane) legend(sim.Span) []legendEntry {
	picture := func(lost bool) func(draw.Canvas, *theme) {
		return func(c draw.Canvas, t *theme) {
			middle := c.Center()
			half := vg.Point{X: 6, Y: 5}
			drawPennant(c, t, vg.Rectangle{Min: middle.Sub(half), Max: middle.Add(half)}, "A", lost)
		}
	}
	var entries []legendEntry
	if slices.ContainsFunc(l.marks, func(m mark) bool { return m.Costs }) {
		entries = append(entries, legendEntry{"finding: footage lost", picture(true)})
	}
	if slices.ContainsFunc(l.marks, func(m mark) bool { return !m.Costs }) {
		entries = append(entries, legendEntry{"finding", picture(false)})
	}
	return entries
}
