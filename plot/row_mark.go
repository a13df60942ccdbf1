package plot

import (
	"gonum.org/v1/plot/vg"

	"flicktally/sim/lanes"
)

// markRow shows the findings: a flag with a letter for each, and the range of a
// cause that recurs. Flags that would overlap become one with all their letters.
type markRow struct {
	*lanes.Lane
	marks  []lanes.Mark
	listed map[string]bool // letters of those described below the chart
}

func (r markRow) names() []string { return []string{r.Name} }
func (markRow) height() vg.Length { return 13 }

// pennant is the flag of one mark, or of several in a row.
type pennant struct {
	x, left, right vg.Length
	first, last    string
	look           lanes.Look
}

func (f pennant) words() string {
	switch {
	case f.first == f.last:
		return f.first
	case len(f.first) == 1 && len(f.last) == 1 && f.first[0]+1 == f.last[0]:
		return f.first + f.last
	default:
		return f.first + "–" + f.last
	}
}

const flagPad vg.Length = 3

// flags lays out the listed marks and joins those without room of their own.
func (r markRow) flags(s strip) []pennant {
	style := textStyle(s.theme.Ink, smallSize)
	var flags []pennant
	for _, m := range r.marks {
		if !r.listed[m.Letter] {
			continue
		}
		f := pennant{x: s.x(m.Span.From), first: m.Letter, last: m.Letter, look: m.Look()}
		for {
			half := style.Width(f.words())/2 + flagPad
			f.left = max(s.Min.X-nameGap/2, min(f.x-half, s.Max.X))
			f.right = f.left + 2*half
			n := len(flags) - 1
			if n < 0 || flags[n].right+1 < f.left {
				break
			}
			before := flags[n]
			f.x, f.first = before.x, before.first
			if before.look == lanes.Lost {
				f.look = lanes.Lost
			}
			flags = flags[:n]
		}
		flags = append(flags, f)
	}
	return flags
}

// ground draws the range of each finding, and a line down from each flag.
func (r markRow) ground(s strip) {
	var drops, reaches vg.Path
	column := -1
	var ends [3]vg.Length // of the ranges drawn at each height
	for _, m := range r.marks {
		if !r.listed[m.Letter] {
			continue
		}
		from, to := s.x(m.Span.From), s.x(m.Span.To)
		if s.column(from) != column && s.shows(m.Span.From) {
			column = s.column(from)
			addLine(&drops, from, s.all.Min.Y, from, s.Min.Y)
		}
		if to-from > pixel {
			level := 0
			for level < len(ends)-1 && ends[level] > from-flagPad {
				level++
			}
			ends[level] = max(ends[level], to)
			y := s.Min.Y + (s.Max.Y-s.Min.Y)*[...]vg.Length{0.5, 0.8, 0.2}[level]
			addLine(&reaches, from, y, to, y)
			addLine(&reaches, to, y-2.5, to, y+2.5)
		}
	}
	s.stroke(drops, line(s.theme.Quiet, hairline, 2, 2))
	s.stroke(reaches, line(s.theme.Ink, lineWidth))
}

func (r markRow) draw(s strip) {
	r.drawUnlisted(s)
	for _, f := range r.flags(s) {
		area := vg.Rectangle{Min: vg.Point{X: f.left, Y: s.Min.Y}, Max: vg.Point{X: f.right, Y: s.Max.Y}}
		drawBox(s.Canvas, s.theme, area, s.theme.fill(f.look))
		s.label(area, f.words(), s.theme.fill(f.look))
	}
}

// drawUnlisted draws the marks that are not listed as short strokes.
func (r markRow) drawUnlisted(s strip) {
	var path vg.Path
	column := -1
	for _, m := range r.marks {
		if x := s.x(m.Span.From); !r.listed[m.Letter] && s.shows(m.Span.From) && s.column(x) != column {
			column = s.column(x)
			addLine(&path, x, s.Min.Y, x, s.Min.Y+5)
		}
	}
	s.stroke(path, line(s.theme.Ink, thinLine))
}
