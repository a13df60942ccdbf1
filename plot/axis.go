package plot

import (
	"image/color"
	"math"
	"strconv"
	"time"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// Scale says what the numbers on an axis are. It decides their format and where
// ticks go.
type Scale int

// The scales.
const (
	numberScale  Scale = iota // plain numbers
	PercentScale              // probabilities and shares, 0 to 1
	HoldScale                 // holds in microseconds, written in ms; the axis label has the unit
	ClockScale                // times of a log in microseconds, written m:ss.mmm
	DateScale                 // seconds since 1970, written as days (UTC)
	CountScale                // whole numbers, such as the number of an attempt
)

// Axis describes one axis of a chart. If Min and Max are both 0, the data decide
// its range. At lists the places of its ticks, ascending, between Min and Max,
// such as the first days of weeks; nil leaves them to the scale.
type Axis struct {
	Label    string
	Scale    Scale
	Min, Max float64
	At       []float64
}

// ticker returns a ticker with at most about count ticks.
func (a Axis) ticker(count int) gplot.Ticker {
	if a.At == nil {
		return ticker{a.Scale, count}
	}
	var ticks gplot.ConstantTicks
	apart := (a.Max - a.Min) / float64(max(1, count))
	for _, at := range a.At {
		if n := len(ticks); n == 0 || at-ticks[n-1].Value >= apart {
			ticks = append(ticks, gplot.Tick{Value: at, Label: ticker{scale: a.Scale}.label(at, 1)})
		}
	}
	return ticks
}

// newAxes returns a plot with thin axes and no grid, which is a separate
// plotter.
func newAxes(t *theme, x, y Axis) *gplot.Plot {
	p := gplot.New()
	p.BackgroundColor = nil
	x.style(&p.X, t)
	y.style(&p.Y, t)
	p.Y.Label.Text = "" // it would be rotated; see drawAxes
	return p
}

func (a Axis) style(axis *gplot.Axis, t *theme) {
	axis.Padding = 0
	axis.LineStyle = line(t.Frame, thinLine)
	axis.Tick.LineStyle = line(t.Frame, thinLine)
	axis.Tick.Length = 4
	axis.Tick.Marker = ticker{a.Scale, 8}
	axis.Label.Padding = 3
	axis.Label.Text = clean(a.name())
	restyle(&axis.Tick.Label, t.Quiet, smallSize)
	restyle(&axis.Label.TextStyle, t.Ink, textSize)
	a.apply(axis)
}

// name returns the label, with the unit of a hold.
func (a Axis) name() string {
	if a.Scale == HoldScale && a.Label != "" {
		return a.Label + ", ms"
	}
	return a.Label
}

// apply sets the requested range, if any.
func (a Axis) apply(axis *gplot.Axis) {
	if a.Min != 0 || a.Max != 0 {
		axis.Min, axis.Max = a.Min, a.Max
	}
}

// widen adds a margin to an axis whose data have a single value.
func (a Axis) widen(axis *gplot.Axis) {
	if axis.Min != axis.Max {
		return
	}
	room := math.Max(1, math.Abs(axis.Min)/10)
	if a.Scale == DateScale {
		room = 24 * 3600
	}
	axis.Min, axis.Max = axis.Min-room, axis.Max+room
}

// drawAxes draws a plot. The name of its vertical axis is horizontal, at the top;
// below it there is room for rows of names above the data.
func drawAxes(c draw.Canvas, t *theme, p *gplot.Plot, upright string, rows vg.Length) {
	row := textSize * lineSpace
	style := t.text()
	name := truncate(style, clean(upright), c.Size().X)
	c.FillText(style, vg.Point{X: c.Min.X, Y: c.Max.Y - row/2}, name)
	p.Draw(draw.Crop(c, 0, -20, 0, -(rows+1)*row-2-nameLift))
}

// restyle sets colour and size and keeps the alignment.
func restyle(s *text.Style, colour color.Color, size vg.Length) {
	fresh := textStyle(colour, size)
	fresh.XAlign, fresh.YAlign, fresh.Rotation = s.XAlign, s.YAlign, s.Rotation
	*s = fresh
}

// grid returns a light line at every tick of the chosen axes.
func (t *theme) grid(x, y bool) *plotter.Grid {
	g := new(plotter.Grid)
	if x {
		g.Vertical = line(t.Grid, hairline)
	}
	if y {
		g.Horizontal = line(t.Grid, hairline)
	}
	return g
}

// ticker puts at most about count ticks on an axis of a scale.
type ticker struct {
	scale Scale
	count int
}

// Ticks returns the ticks between two values, both included.
func (t ticker) Ticks(low, high float64) []gplot.Tick {
	if !(high > low) {
		return nil
	}
	if t.scale == ClockScale {
		return clockTicks(sim.Span{From: sim.Micros(math.Round(low)), To: sim.Micros(math.Round(high))}, t.count)
	}
	step := t.step((high - low) / float64(max(1, t.count)))
	first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
	var ticks []gplot.Tick
	for i := first; i <= last; i++ {
		value := i*step + 0 // no negative zero
		ticks = append(ticks, gplot.Tick{Value: value, Label: t.label(value, step)})
	}
	return ticks
}

func clockTicks(span sim.Span, most int) []gplot.Tick {
	var all []gplot.Tick
	for _, tick := range lanes.Ticks(span, most) {
		all = append(all, gplot.Tick{Value: float64(tick.At), Label: tick.Text})
	}
	return all
}

// step returns the smallest round step that is at least the given one.
func (t ticker) step(least float64) float64 {
	const day = 24 * 3600.0
	switch t.scale {
	case DateScale:
		for _, s := range []float64{day, 2 * day, 3 * day, 7 * day, 14 * day, 30 * day, 91 * day, 182 * day} {
			if s >= least {
				return s
			}
		}
		return 365 * day * math.Max(1, lanes.DecimalStep(least/(365*day)))
	case CountScale, HoldScale:
		return math.Max(1, lanes.DecimalStep(least))
	default:
		return lanes.DecimalStep(least)
	}
}

func (t ticker) label(value, step float64) string {
	switch t.scale {
	case PercentScale:
		return plain(value*100, step*100) + " %"
	case HoldScale:
		return plain(value/1000, step/1000)
	case DateScale:
		return time.Unix(int64(value), 0).UTC().Format(time.DateOnly)
	default:
		return plain(value, step)
	}
}

// plain writes a number with the decimals that its step needs.
func plain(value, step float64) string {
	decimals := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	return strconv.FormatFloat(value, 'f', decimals, 64)
}
