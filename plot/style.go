package plot

import (
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	gplot "gonum.org/v1/plot"

	"flicktally/sim/lanes"
)

// theme has the colours of a chart, all from the key. Charts blend colours and
// use no transparency, so that contrast follows from the colour.
type theme struct{ lanes.Paper }

var light, dark = &theme{lanes.Light}, &theme{lanes.Dark}

func (l Look) theme() *theme {
	if l.Dark {
		return dark
	}
	return light
}

// fill is how an area is drawn: its colour, its hatch, and the colour of the
// hatch and of text on it.
type fill struct {
	colour lanes.RGB
	hatch  lanes.Hatch
	text   lanes.RGB
}

// fill returns how the areas of a look are drawn.
func (t *theme) fill(l lanes.Look) fill {
	c := t.Fill(l)
	return fill{c, l.Entry().Hatch, t.On(c)}
}

// series returns the colour of the i-th line that is not an outcome.
func (t *theme) series(i int) lanes.RGB { return t.Series[i%len(t.Series)] }

// pale returns a colour for an area behind lines of that colour.
func (t *theme) pale(c lanes.RGB) lanes.RGB { return c.Mixed(t.Paper.Paper, 0.2) }

// Sizes of text, and widths of lines.
const (
	titleSize vg.Length = 15
	textSize  vg.Length = 9
	smallSize vg.Length = 8

	hairline  vg.Length = 0.5
	thinLine  vg.Length = 0.75
	lineWidth vg.Length = 1.25
)

// pixel is the width of a column of pixels, 96 to the inch in every format.
const pixel = vg.Inch / 96

var sans = font.Font{Typeface: "Liberation", Variant: "Sans"}

// textStyle returns a style for text that is placed by the middle of its left
// edge.
func textStyle(colour color.Color, size vg.Length) text.Style {
	return text.Style{
		Color: colour, Font: font.From(sans, size),
		XAlign: draw.XLeft, YAlign: draw.YCenter, Handler: gplot.DefaultTextHandler,
	}
}

func (t *theme) text() text.Style      { return textStyle(t.Ink, textSize) }
func (t *theme) quietText() text.Style { return textStyle(t.Quiet, smallSize) }
func (t *theme) heading() text.Style   { return textStyle(t.Ink, titleSize) }

func line(colour color.Color, width vg.Length, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: colour, Width: width, Dashes: dashes}
}

// dashesOf distinguishes the lines of series in grey.
var dashesOf = [][]vg.Length{nil, {6, 3}, {2, 2}, {8, 2, 2, 2}}

// shapeOf distinguishes the points of series in grey.
var shapeOf = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.BoxGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}}

// drawSign draws the shape of a look around a point.
func drawSign(c draw.Canvas, t *theme, l lanes.Look, at vg.Point) {
	for _, f := range l.Entry().Shape {
		var path vg.Path
		for i, p := range f.Points {
			point := at.Add(vg.Point{X: vg.Length(p.X) * signSize / 2, Y: vg.Length(p.Y) * signSize / 2})
			if i == 0 {
				path.Move(point)
			} else {
				path.Line(point)
			}
		}
		if f.Closed {
			path.Close()
			c.SetColor(t.Fill(l))
			if f.Hollow {
				c.SetColor(t.Paper.Paper)
			}
			c.Fill(path)
		}
		width := thinLine
		if !f.Closed || f.Hollow {
			width = 1.5
		}
		c.SetLineStyle(line(t.Ink, width))
		c.Stroke(path)
	}
}

// signSize is the height of a sign: 12 pixels.
const signSize vg.Length = 9
