package plot

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// strip is the part of the canvas that a row draws on, with time from left to
// right.
type strip struct {
	draw.Canvas
	theme *theme
	span  sim.Span // the time from the left edge to the right one
	found *found
	// all is the area of all rows together.
	all vg.Rectangle
}

// x returns where a moment lies, within the strip's edges.
func (s strip) x(at sim.Micros) vg.Length {
	at = max(s.span.From, min(at, s.span.To))
	share := float64(at-s.span.From) / float64(s.span.Length())
	return s.Min.X + vg.Length(share)*(s.Max.X-s.Min.X)
}

// shows reports whether a moment lies on the strip.
func (s strip) shows(at sim.Micros) bool { return at >= s.span.From && at <= s.span.To }

// columns returns how many columns of pixels the strip has.
func (s strip) columns() int { return max(1, int(math.Ceil(float64((s.Max.X-s.Min.X)/pixel)-1e-6))) }

// column returns the column that a place lies in.
func (s strip) column(x vg.Length) int { return int((x - s.Min.X) / pixel) }

// block is the place of a group of stretches on a strip.
type block struct {
	lanes.Group
	from, to vg.Length
	look     lanes.Look
}

// blocks lays out the stretches of a lane, each at least a pixel wide.
func (s strip) blocks(l *lanes.Lane) []block {
	var all []block
	for _, g := range lanes.Thin(l.Spans, s.span, s.columns()) {
		b := block{Group: g, from: s.x(g.From), to: s.x(g.To), look: lanes.Several}
		if b.to-b.from < pixel {
			b.to = min(b.from+pixel, s.Max.X)
			b.from = b.to - pixel
		}
		if g.Several() {
			s.found.dense = true
		} else {
			b.look = l.Label(g.First).Look
		}
		all = append(all, b)
	}
	return all
}

// fillBlocks draws blocks between two heights, one path for each look.
func (s strip) fillBlocks(blocks []block, low, high vg.Length) {
	areas := map[lanes.Look][]vg.Rectangle{}
	for _, b := range blocks {
		areas[b.look] = append(areas[b.look], b.rect(low, high))
		s.found.drawn[b.look] = true
	}
	for look := range lanes.Looks {
		s.boxes(areas[look], s.theme.fill(look))
	}
}

// rect returns the block's area between two heights.
func (b block) rect(low, high vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: b.from, Y: low}, Max: vg.Point{X: b.to, Y: high}}
}

// fillRects fills areas as one path.
func (s strip) fillRects(areas []vg.Rectangle, f fill) {
	if len(areas) == 0 {
		return
	}
	var path, lines vg.Path
	for _, a := range areas {
		path = append(path, a.Path()...)
		if a.Size().X >= hatchGap { // a narrower one shows no hatch
			lines = addHatch(lines, a, f.hatch)
		}
	}
	s.SetColor(f.colour)
	s.Fill(path)
	s.stroke(lines, line(f.text, hairline))
}

// outline strokes the edges of areas as one path, except of those a few pixels
// wide.
func (s strip) outline(areas []vg.Rectangle, style draw.LineStyle) {
	var path vg.Path
	for _, a := range areas {
		if a.Size().X > 3*pixel {
			path = append(path, a.Path()...)
		}
	}
	s.stroke(path, style)
}

// frameDoubt draws a dashed frame inside areas whose look is doubtful.
func (s strip) frameDoubt(areas []vg.Rectangle, l lanes.Look) {
	var path vg.Path
	const inside = 1.5
	for _, a := range areas {
		a.Min, a.Max = a.Min.Add(vg.Point{X: inside, Y: inside}), a.Max.Sub(vg.Point{X: inside, Y: inside})
		path = append(path, a.Path()...)
	}
	s.stroke(path, line(s.theme.fill(l).text, thinLine, 3, 2))
}

// stroke draws a path, if there is one.
func (s strip) stroke(path vg.Path, style draw.LineStyle) {
	if len(path) > 0 {
		s.SetLineStyle(style)
		s.Stroke(path)
	}
}

// boxes draws areas with their edges.
func (s strip) boxes(areas []vg.Rectangle, f fill) {
	s.fillRects(areas, f)
	s.outline(areas, line(s.theme.Ink, hairline))
}

// drawBox draws one area with its edges.
func drawBox(c draw.Canvas, t *theme, area vg.Rectangle, f fill) {
	strip{Canvas: c, theme: t}.boxes([]vg.Rectangle{area}, f)
}

// addLine adds a straight line to a path.
func addLine(path *vg.Path, x0, y0, x1, y1 vg.Length) {
	path.Move(vg.Point{X: x0, Y: y0})
	path.Line(vg.Point{X: x1, Y: y1})
}

// label writes text in the middle of an area if it fits, and keeps a hatch away
// from it.
func (s strip) label(area vg.Rectangle, words string, f fill) bool {
	style := textStyle(f.text, smallSize)
	width := style.Width(words)
	if words == "" || width+4 > area.Size().X {
		return false
	}
	middle := vg.Point{X: (area.Min.X + area.Max.X) / 2, Y: (area.Min.Y + area.Max.Y) / 2}
	if f.hatch != lanes.Plain {
		s.patch(middle, width, f.colour)
	}
	s.FillText(style, vg.Point{X: middle.X - width/2, Y: middle.Y}, words)
	return true
}

// write writes text on the paper to the right of a point, and clears the
// background.
func (s strip) write(style text.Style, from vg.Point, words string) {
	width := style.Width(words)
	s.patch(vg.Point{X: from.X + width/2, Y: from.Y}, width, s.theme.Paper.Paper)
	s.FillText(style, from, words)
}

// patch clears the background of a text.
func (s strip) patch(middle vg.Point, width vg.Length, colour color.Color) {
	half := vg.Point{X: width/2 + 2, Y: smallSize * 0.6}
	s.SetColor(colour)
	s.Fill(vg.Rectangle{Min: middle.Sub(half), Max: middle.Add(half)}.Path())
}

// rightName is a name beside the strip's right edge, in ink or else quiet.
type rightName struct {
	y     vg.Length
	words string
	ink   bool
}

// sideWidth is the room for names to the right of the strips.
const sideWidth vg.Length = 86

// nameRight writes names beside the right edge and moves them apart if they would
// overlap. If there is no room for all, the first ones take precedence.
func (s strip) nameRight(names ...rightName) {
	room := int((s.Max.Y - s.Min.Y + smallSize/2) / smallLine)
	names = names[:min(len(names), max(1, room))]
	slices.SortStableFunc(names, func(a, b rightName) int { return cmp.Compare(a.y, b.y) })
	places := make([]float64, len(names))
	for i, n := range names {
		places[i] = float64(n.y)
	}
	if moved, ok := lanes.Spread(places, float64(smallLine), float64(s.Min.Y), float64(s.Max.Y)); ok {
		places = moved
	}
	for i, n := range names {
		style := s.theme.quietText()
		if n.ink {
			style.Color = s.theme.Ink
		}
		s.FillText(style, vg.Point{X: s.Max.X + 5, Y: vg.Length(places[i])}, truncate(style, n.words, sideWidth-5))
	}
}
