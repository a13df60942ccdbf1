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
)

// strip is the place that a lane draws on: its part of the canvas, with time
// from left to right.
type strip struct {
	draw.Canvas
	theme *theme
	span  sim.Span // the time from the left edge to the right one
	crowd *crowd
	// all is the area of all lanes together.
	all vg.Rectangle
}

// crowd is what a chart has no room for, as its lanes find when they draw.
type crowd struct {
	dense      bool // more changes on a column of pixels than it can show
	unnumbered int  // presses without a number
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

// block is a stretch on a strip, of one kind or of several too close to tell
// apart.
type block struct {
	from, to vg.Length
	kind     int
	several  bool
	items    int // how many segments it stands for; the first is item
	item     int
}

func (b block) width() vg.Length { return b.to - b.from }

// segment is a stretch of time of a kind.
type segment struct {
	sim.Span
	kind int
}

// blocks lays segments, in order of time, out on the strip. Those that fall
// into one column of pixels become one block a column wide, and columns of
// several segments that touch become one block, so there are never more than
// two blocks a column.
func (s strip) blocks(segments []segment) []block {
	var all []block
	narrowIn := -1 // column of the last block, if it is narrow
	for i, seg := range segments {
		if seg.To < s.span.From || seg.From > s.span.To {
			continue
		}
		b := block{from: s.x(seg.From), to: s.x(seg.To), kind: seg.kind, items: 1, item: i}
		if b.width() > pixel {
			all, narrowIn = append(all, b), -1
			continue
		}
		column := s.column(b.from)
		if column == narrowIn {
			last := &all[len(all)-1]
			last.to = max(last.to, b.to)
			last.items++
			last.several = true
			s.crowd.dense = true
			continue
		}
		b.to = min(b.from+pixel, s.Max.X)
		b.from = b.to - pixel
		all, narrowIn = joinSeveral(append(all, b)), column
	}
	return all
}

// joinSeveral joins the last two blocks that stand for several segments each,
// if they touch. A block that has just begun to grow is looked at once it is
// followed by another.
func joinSeveral(blocks []block) []block {
	n := len(blocks)
	if n < 3 || !blocks[n-3].several || !blocks[n-2].several || blocks[n-2].from-blocks[n-3].to > pixel {
		return blocks
	}
	blocks[n-3].to = blocks[n-2].to
	blocks[n-3].items += blocks[n-2].items
	blocks[n-2] = blocks[n-1]
	return blocks[:n-1]
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

// outline strokes the edges of areas as one path. An area of a few pixels has
// no edges of its own.
func (s strip) outline(areas []vg.Rectangle, style draw.LineStyle) {
	var path vg.Path
	for _, a := range areas {
		if a.Size().X > 3*pixel {
			path = append(path, a.Path()...)
		}
	}
	s.stroke(path, style)
}

// stroke draws a path, if there is one.
func (s strip) stroke(path vg.Path, style draw.LineStyle) {
	if len(path) > 0 {
		s.SetLineStyle(style)
		s.Stroke(path)
	}
}

// label writes text in the middle of an area if it fits, on a patch that keeps
// a hatch away from it.
func (s strip) label(area vg.Rectangle, words string, f fill) bool {
	style := textStyle(f.text, smallSize)
	width := style.Width(words)
	if words == "" || width+4 > area.Size().X {
		return false
	}
	middle := vg.Point{X: (area.Min.X + area.Max.X) / 2, Y: (area.Min.Y + area.Max.Y) / 2}
	if f.hatch != noHatch {
		s.patch(middle, width, f.colour)
	}
	s.FillText(style, vg.Point{X: middle.X - width/2, Y: middle.Y}, words)
	return true
}

// write writes text that stands on the paper, from a point to the right, and
// keeps lines of the ground away from it.
func (s strip) write(style text.Style, from vg.Point, words string) {
	width := style.Width(words)
	s.patch(vg.Point{X: from.X + width/2, Y: from.Y}, width, s.theme.paper)
	s.FillText(style, from, words)
}

// patch clears the place of a text.
func (s strip) patch(middle vg.Point, width vg.Length, colour color.Color) {
	half := vg.Point{X: width/2 + 2, Y: smallSize * 0.6}
	s.SetColor(colour)
	s.Fill(vg.Rectangle{Min: middle.Sub(half), Max: middle.Add(half)}.Path())
}

// rightName is a name beside the strip's right edge.
type rightName struct {
	y     vg.Length
	words string
	style text.Style
}

// sideWidth is the room for names to the right of the strips.
const sideWidth vg.Length = 86

// nameRight writes names beside the right edge, moved apart where they would
// overlap. The first ones come first where there is no room for all.
func (s strip) nameRight(names ...rightName) {
	const space = smallSize * 1.15
	room := int((s.Max.Y - s.Min.Y + smallSize/2) / space)
	names = names[:min(len(names), max(1, room))]
	slices.SortStableFunc(names, func(a, b rightName) int { return cmp.Compare(a.y, b.y) })
	// Up from below, then down from above, as far as needed.
	for i := 1; i < len(names); i++ {
		names[i].y = max(names[i].y, names[i-1].y+space)
	}
	top := s.Max.Y
	for i := len(names) - 1; i >= 0; i-- {
		names[i].y = min(names[i].y, top)
		top = names[i].y - space
	}
	for _, n := range names {
		s.FillText(n.style, vg.Point{X: s.Max.X + 5, Y: n.y}, truncate(n.style, n.words, sideWidth-5))
	}
}

// thin keeps of the points that fall on one column of pixels the first, the
// lowest, the highest and the last: the outline that can be seen.
func (s strip) thin(points []vg.Point) []vg.Point {
	var kept []vg.Point
	for len(points) > 0 {
		n := 1
		for n < len(points) && s.column(points[n].X) == s.column(points[0].X) {
			n++
		}
		here := points[:n]
		points = points[n:]
		if n <= 4 {
			kept = append(kept, here...)
			continue
		}
		s.crowd.dense = true
		byHeight := func(a, b vg.Point) int { return cmp.Compare(a.Y, b.Y) }
		x := here[0].X
		low, high := slices.MinFunc(here, byHeight), slices.MaxFunc(here, byHeight)
		kept = append(kept, here[0], vg.Point{X: x, Y: low.Y}, vg.Point{X: x, Y: high.Y}, here[n-1])
	}
	return kept
}
