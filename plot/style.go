package plot

import (
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	gplot "gonum.org/v1/plot"
)

// The colours of Okabe and Ito, "Color Universal Design",
// jfly.uni-koeln.de/color: told apart with every common kind of colour vision.
var (
	orange        = rgb(0xE69F00)
	skyBlue       = rgb(0x56B4E9)
	bluishGreen   = rgb(0x009E73)
	yellow        = rgb(0xF0E442)
	blue          = rgb(0x0072B2)
	vermilion     = rgb(0xD55E00)
	reddishPurple = rgb(0xCC79A7)
)

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex), A: 255}
}

// blend mixes a share of colour, 0 to 1, into paper. Charts use blends rather
// than transparency, so that contrast can be told from the colour itself.
func blend(paper, colour color.NRGBA, share float64) color.NRGBA {
	mix := func(a, b uint8) uint8 { return uint8(float64(a)*(1-share) + float64(b)*share + 0.5) }
	return color.NRGBA{mix(paper.R, colour.R), mix(paper.G, colour.G), mix(paper.B, colour.B), 255}
}

// theme gives every role on a chart its colour. Ink is text and outlines, quiet
// is secondary text, frame is axes and ticks, grid only helps the eye.
type theme struct {
	paper, ink, quiet, frame, grid color.NRGBA

	signal     color.NRGBA // the channel's value
	pressed    color.NRGBA // fill under a pressed line
	pressRange color.NRGBA
	lost       color.NRGBA // hatch of a lost signal

	good, bad   color.NRGBA // fills, both with textOnFill on them
	take        color.NRGBA
	mild        color.NRGBA // fill of what is neither
	textOnFill  color.NRGBA
	bands       []color.NRGBA // fills behind the lines of series
	seriesLines []color.NRGBA
}

var light = newTheme(theme{
	paper: rgb(0xFFFFFF), ink: rgb(0x111111), quiet: rgb(0x595959), frame: rgb(0x767676), grid: rgb(0xDDDDDD),
	signal: blue, textOnFill: rgb(0x000000),
	seriesLines: []color.NRGBA{blue, vermilion, bluishGreen, rgb(0x111111)},
})

var dark = newTheme(theme{
	paper: rgb(0x14181C), ink: rgb(0xF2F2F2), quiet: rgb(0xB4B8BC), frame: rgb(0x8C9196), grid: rgb(0x363C42),
	signal: skyBlue, textOnFill: rgb(0x000000),
	seriesLines: []color.NRGBA{skyBlue, orange, yellow, reddishPurple},
})

// newTheme derives the fills from paper and the colour set.
func newTheme(t theme) *theme {
	t.pressRange = blend(t.paper, skyBlue, 0.22)
	t.pressed = blend(t.paper, t.ink, 0.22)
	t.mild = blend(t.paper, t.ink, 0.10)
	t.lost = t.frame
	t.good, t.bad, t.take = bluishGreen, orange, vermilion
	for _, line := range t.seriesLines {
		t.bands = append(t.bands, blend(t.paper, line, 0.25))
	}
	return &t
}

func (l Look) theme() *theme {
	if l.Dark {
		return dark
	}
	return light
}

// Sizes of text, and widths of lines.
const (
	titleSize vg.Length = 14
	textSize  vg.Length = 9
	smallSize vg.Length = 8

	hairline  vg.Length = 0.5
	thinLine  vg.Length = 0.75
	lineWidth vg.Length = 1.25
)

// pixel is the width of a column in which edges are told apart: at 96 pixels an
// inch, in every format.
const pixel = vg.Inch / 96

var sans = font.Font{Typeface: "Liberation", Variant: "Sans"}

// textStyle returns a style for text whose given point is its left end at half
// height.
func textStyle(colour color.Color, size vg.Length) text.Style {
	return text.Style{
		Color: colour, Font: font.From(sans, size),
		XAlign: draw.XLeft, YAlign: draw.YCenter, Handler: gplot.DefaultTextHandler,
	}
}

func (t *theme) text() text.Style      { return textStyle(t.ink, textSize) }
func (t *theme) quietText() text.Style { return textStyle(t.quiet, smallSize) }

func (t *theme) heading() text.Style { return textStyle(t.ink, titleSize) }

func line(colour color.Color, width vg.Length, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: colour, Width: width, Dashes: dashes}
}

// dashesOf tells the lines of series apart without colour.
var dashesOf = [][]vg.Length{nil, {6, 3}, {2, 2}, {8, 2, 2, 2}}

// shapeOf tells the points of series apart without colour.
var shapeOf = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.BoxGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}}

// hatch is a pattern that means the same as a fill, without colour.
type hatch int

const (
	noHatch      hatch = iota
	hatchRising        // lines that rise to the right
	hatchFalling       // lines that fall to the right
	hatchCross         // both
	hatchUpright       // upright lines
)

// fill is how a rectangle of a band is drawn: its colour, the hatch on it, and
// the colour of text that stands on it.
type fill struct {
	colour color.NRGBA
	hatch  hatch
	text   color.NRGBA
}
