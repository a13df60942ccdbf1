package plot

import (
	"fmt"
	"image/color"
	"slices"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim/lanes"
)

// Curve is one series of a [Curves] chart. Look is the outcome whose chance it
// shows, [lanes.None] if it shows none.
type Curve struct {
	Name   string // "" keeps it out of the legend
	Look   lanes.Look
	Values []Value
	Parts  Parts
}

// Value is a value with the interval around it, in the units of the axes.
type Value struct{ X, Y, Low, High float64 }

// Parts says how the values of a curve are drawn, in any combination.
type Parts int

// The parts of a curve.
const (
	Line   Parts = 1 << iota // a line through the values
	Band                     // an area over the intervals
	Points                   // a sign at each value, with a bar over its interval
)

// Add adds a value without an interval.
func (c *Curve) Add(x, y float64) { c.Values = append(c.Values, Value{x, y, y, y}) }

func (c Curve) has(p Parts) bool { return c.Parts&p != 0 && len(c.Values) > 0 }

// Marker is a vertical line across a chart, such as a threshold of the press
// window. If To is more than X, it is an area in its look instead.
type Marker struct {
	Name  string
	X, To float64
	Look  lanes.Look
}

// CurveSet describes a chart of curves over common axes.
type CurveSet struct {
	Title, Subtitle string
	X, Y            Axis
	Curves          []Curve
	Markers         []Marker
	// Zones are those of the press window, drawn along the top if the X axis is
	// a hold.
	Zones []lanes.HoldZone
}

// Curves returns a chart of lines, bands and points. It returns an error if a
// value is not finite or there is nothing to draw.
func Curves(set CurveSet, look Look) (*Chart, error) {
	if err := set.check(); err != nil {
		return nil, err
	}
	p := newPage(look, set.Title, set.Subtitle)
	p.about = fmt.Sprintf("Chart of %s over %s.", set.Y.Label, set.X.Label)
	axes := newAxes(p.theme, set.X, set.Y)
	axes.X.Tick.Marker = set.X.ticker(int(p.inner() / 75))
	axes.Add(p.theme.grid(true, true), areasPlotter{set.Markers, p.theme}, zonesPlotter{set.Zones, p.theme, false})
	for i, curve := range set.Curves {
		for _, plotter := range curve.plotters(p.theme, i) {
			axes.Add(plotter)
		}
		if curve.Name != "" {
			p.legend = append(p.legend, curve.legend(i))
		}
	}
	axes.Add(markersPlotter{set.Markers, p.theme})
	set.X.apply(&axes.X) // adding data has widened it
	set.X.widen(&axes.X)
	set.Y.apply(&axes.Y)
	nameRows := vg.Length(min(len(set.Markers), markerNameRows))
	return p.chart(320, 140, func(c draw.Canvas) { drawAxes(c, p.theme, axes, set.Y.name(), nameRows) })
}

func (s CurveSet) check() error {
	drawn := 0
	for _, c := range s.Curves {
		drawn += len(c.Values)
		for _, v := range c.Values {
			if plotter.CheckFloats(v.X, v.Y, v.Low, v.High) != nil {
				return fmt.Errorf("found %v in the curve %q, want finite values", v, c.Name)
			}
		}
	}
	if drawn == 0 {
		return fmt.Errorf("found no values to draw in %q", s.Title)
	}
	return nil
}

// colour returns the colour of a curve, the i-th of its chart.
func (c Curve) colour(t *theme, i int) lanes.RGB {
	if c.Look != lanes.None {
		return t.Line(c.Look)
	}
	return t.series(i)
}

// plotters returns the plotters of a curve, the i-th of its chart.
func (c Curve) plotters(t *theme, i int) []gplot.Plotter {
	colour := c.colour(t, i)
	at := make(plotter.XYs, len(c.Values))
	for i, v := range c.Values {
		at[i] = plotter.XY{X: v.X, Y: v.Y}
	}
	var all []gplot.Plotter
	if c.has(Band) {
		all = append(all, &plotter.Polygon{XYs: []plotter.XYs{c.band()}, Color: t.pale(colour)})
	}
	if c.has(Line) {
		all = append(all, &plotter.Line{XYs: at, LineStyle: c.line(colour, i)})
	}
	if c.has(Points) {
		bars := &plotter.YErrorBars{XYs: at, LineStyle: line(colour, thinLine), CapWidth: 4}
		for _, v := range c.Values {
			bars.YErrors = append(bars.YErrors, struct{ Low, High float64 }{v.Low - v.Y, v.High - v.Y})
		}
		all = append(all, bars, &plotter.Scatter{XYs: at, GlyphStyle: c.glyph(colour, i)})
	}
	return all
}

// band returns the outline of the area over the intervals.
func (c Curve) band() (outline plotter.XYs) {
	for _, v := range c.Values {
		outline = append(outline, plotter.XY{X: v.X, Y: v.High})
	}
	for _, v := range slices.Backward(c.Values) {
		outline = append(outline, plotter.XY{X: v.X, Y: v.Low})
	}
	return outline
}

func (c Curve) line(colour color.Color, i int) draw.LineStyle {
	if c.Look == lanes.None {
		return line(colour, 1.5, dashesOf[i%len(dashesOf)]...)
	}
	var dashes []vg.Length
	for _, d := range lanes.DashesOf(c.Look) {
		dashes = append(dashes, vg.Length(d))
	}
	return line(colour, 1.75, dashes...)
}

// glyph returns the sign of a curve's points: a ring for every outcome, else one
// of the series.
func (c Curve) glyph(colour color.Color, i int) draw.GlyphStyle {
	if c.Look != lanes.None {
		return draw.GlyphStyle{Color: colour, Radius: 3.5, Shape: draw.RingGlyph{}}
	}
	return draw.GlyphStyle{Color: colour, Radius: 3, Shape: shapeOf[i%len(shapeOf)]}
}

// legend returns the legend entry of a curve, the i-th of its chart.
func (c Curve) legend(i int) legendEntry {
	return legendEntry{c.Name, func(canvas draw.Canvas, t *theme) {
		colour := c.colour(t, i)
		if c.has(Band) {
			canvas.SetColor(t.pale(colour))
			canvas.Fill(canvas.Rectangle.Path())
		}
		middle := canvas.Center()
		if c.has(Line) {
			canvas.StrokeLine2(c.line(colour, i), canvas.Min.X, middle.Y, canvas.Max.X, middle.Y)
		}
		if c.has(Points) {
			canvas.DrawGlyph(c.glyph(colour, i), middle)
		}
	}}
}

// nameLift is the distance of the names above the data from the strip at its top.
const nameLift vg.Length = 2

// markerNameRows is the most rows of marker names above the data.
const markerNameRows = 2

// areasPlotter draws the markers that are areas, behind the data.
type areasPlotter struct {
	markers []Marker
	theme   *theme
}

// Plot draws the areas.
func (m areasPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, _ := p.Transforms(&c)
	for _, marker := range m.markers {
		area := c.Rectangle
		area.Min.X, area.Max.X = max(toX(marker.X), c.Min.X), min(toX(marker.To), c.Max.X)
		if marker.To > marker.X && area.Min.X < area.Max.X {
			look := fill{m.theme.pale(m.theme.Fill(marker.Look)), marker.Look.Entry().Hatch, m.theme.Frame}
			strip{Canvas: c}.fillRects([]vg.Rectangle{area}, look)
		}
	}
}

// markersPlotter draws the markers that are lines, and the names of all markers
// above the data.
type markersPlotter struct {
	markers []Marker
	theme   *theme
}

// Plot draws lines and names.
func (m markersPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, _ := p.Transforms(&c)
	names := newLabelRows(c.Min.X, c.Max.X, markerNameRows)
	style := m.theme.text()
	for _, marker := range m.markers {
		from := toX(marker.X)
		to := max(from, toX(marker.To))
		if to < c.Min.X || from > c.Max.X {
			continue
		}
		if from == to {
			c.StrokeLine2(line(m.theme.Ink, thinLine, 4, 2), from, c.Min.Y, from, c.Max.Y)
		}
		name := truncate(style, clean(marker.Name), c.Size().X/3)
		middle := (max(from, c.Min.X) + min(to, c.Max.X)) / 2
		if row, left, ok := names.place(middle, style.Width(name)); ok {
			c.FillText(style, vg.Point{X: left, Y: c.Max.Y + nameLift + (vg.Length(row)+0.5)*textSize*lineSpace}, name)
		}
	}
}
