package plot

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim/lanes"
)

// Curve is one series of a [Curves] chart: a line, a band around it, points, or
// any of these. Look is the outcome whose chance it shows, [lanes.None] if it
// shows none.
type Curve struct {
	Name   string // "" keeps it out of the legend
	Look   lanes.Look
	Line   []Point
	Band   []Spread
	Points []Measured
}

// Point is a place on a chart, in the units of its axes.
type Point struct{ X, Y float64 }

// Spread is a range along the Y axis at a place on the X axis: the confidence
// band of a curve there.
type Spread struct{ X, Low, High float64 }

// Measured is a point with an interval around it. Low and High are equal if it
// has none.
type Measured struct{ X, Y, Low, High float64 }

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
	axes.Add(grid{p.theme, true, true})
	axes.Add(stretchesPlotter{set.Markers, p.theme})
	axes.Add(zonesPlotter{set.Zones, p.theme, false})
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
		for _, v := range c.values() {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("found %v in the curve %q, want finite values", v, c.Name)
			}
			drawn++
		}
	}
	if drawn == 0 {
		return fmt.Errorf("found no values to draw in %q", s.Title)
	}
	return nil
}

func (c Curve) values() []float64 {
	var all []float64
	for _, p := range c.Line {
		all = append(all, p.X, p.Y)
	}
	for _, s := range c.Band {
		all = append(all, s.X, s.Low, s.High)
	}
	for _, m := range c.Points {
		all = append(all, m.X, m.Y, m.Low, m.High)
	}
	return all
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
	var all []gplot.Plotter
	if len(c.Band) > 0 {
		all = append(all, &plotter.Polygon{XYs: []plotter.XYs{bandOutline(c.Band)}, Color: t.pale(colour)})
	}
	if len(c.Line) > 0 {
		all = append(all, &plotter.Line{XYs: xys(c.Line), LineStyle: c.line(rgb(colour), i)})
	}
	if len(c.Points) > 0 {
		all = append(all, c.bars(rgb(colour)), &plotter.Scatter{XYs: c.points(), GlyphStyle: c.glyph(rgb(colour), i)})
	}
	return all
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

func bandOutline(band []Spread) plotter.XYs {
	var outline plotter.XYs
	for _, s := range band {
		outline = append(outline, plotter.XY{X: s.X, Y: s.High})
	}
	for _, s := range slices.Backward(band) {
		outline = append(outline, plotter.XY{X: s.X, Y: s.Low})
	}
	return outline
}

func xys(points []Point) plotter.XYs {
	all := make(plotter.XYs, len(points))
	for i, p := range points {
		all[i] = plotter.XY(p)
	}
	return all
}

func (c Curve) points() plotter.XYs {
	all := make(plotter.XYs, len(c.Points))
	for i, m := range c.Points {
		all[i] = plotter.XY{X: m.X, Y: m.Y}
	}
	return all
}

func (c Curve) bars(colour color.Color) gplot.Plotter {
	bars := &plotter.YErrorBars{XYs: c.points(), LineStyle: line(colour, thinLine), CapWidth: 4}
	for _, m := range c.Points {
		bars.YErrors = append(bars.YErrors, struct{ Low, High float64 }{m.Low - m.Y, m.High - m.Y})
	}
	return bars
}

// legend returns the legend entry of a curve, the i-th of its chart.
func (c Curve) legend(i int) legendEntry {
	return legendEntry{c.Name, func(canvas draw.Canvas, t *theme) {
		colour := c.colour(t, i)
		if len(c.Band) > 0 {
			canvas.SetColor(t.pale(colour))
			canvas.Fill(canvas.Rectangle.Path())
		}
		middle := canvas.Center()
		if len(c.Line) > 0 {
			canvas.StrokeLine2(c.line(rgb(colour), i), canvas.Min.X, middle.Y, canvas.Max.X, middle.Y)
		}
		if len(c.Points) > 0 {
			canvas.DrawGlyph(c.glyph(rgb(colour), i), middle)
		}
	}}
}

// nameLift is the distance of the names above the data from the strip at its top.
const nameLift vg.Length = 2

// markerNameRows is the most rows of marker names above the data.
const markerNameRows = 2

// stretchesPlotter draws the markers that are areas, behind the data.
type stretchesPlotter struct {
	markers []Marker
	theme   *theme
}

// Plot draws the areas.
func (m stretchesPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, _ := p.Transforms(&c)
	for _, marker := range m.markers {
		from, to := max(toX(marker.X), c.Min.X), min(toX(marker.To), c.Max.X)
		if marker.To > marker.X && from < to {
			area := vg.Rectangle{Min: vg.Point{X: from, Y: c.Min.Y}, Max: vg.Point{X: to, Y: c.Max.Y}}
			c.SetColor(m.theme.pale(m.theme.Fill(marker.Look)))
			c.Fill(area.Path())
			if hatch := marker.Look.Entry().Hatch; hatch != lanes.Plain {
				drawHatch(c, area, hatch, line(m.theme.frame, hairline))
			}
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
			c.StrokeLine2(line(m.theme.ink, thinLine, 4, 2), from, c.Min.Y, from, c.Max.Y)
		}
		name := truncate(style, clean(marker.Name), c.Size().X/3)
		middle := (max(from, c.Min.X) + min(to, c.Max.X)) / 2
		if row, left, ok := names.place(middle, style.Width(name)); ok {
			c.FillText(style, vg.Point{X: left, Y: c.Max.Y + nameLift + (vg.Length(row)+0.5)*textSize*lineSpace}, name)
		}
	}
}
