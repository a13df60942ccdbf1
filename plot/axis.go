package plot

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"
	"time"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
)

// Scale says what the numbers on an axis are, and so how they are written and
// where ticks stand.
type Scale int

// The scales.
const (
	NumberScale  Scale = iota // plain numbers
	PercentScale              // probabilities and shares, 0 to 1
	HoldScale                 // durations in microseconds, written in ms or s
	ClockScale                // times of a log in microseconds, written m:ss.mmm
	DateScale                 // seconds since 1970, written as days (UTC)
	CountScale                // whole numbers, such as the number of an attempt
)

// Axis describes one axis of a chart. With Min and Max both 0 the data say how
// far it goes.
type Axis struct {
	Label    string
	Scale    Scale
	Min, Max float64
}

// newAxes returns a plot with the style's axes: ticks outside, thin lines. The
// grid is a plotter of its own.
func newAxes(t *theme, x, y Axis) *gplot.Plot {
	p := gplot.New()
	p.BackgroundColor = nil
	x.style(&p.X, t)
	y.style(&p.Y, t)
	p.Y.Label.Text = "" // it would stand upright; see drawAxes
	return p
}

func (a Axis) style(axis *gplot.Axis, t *theme) {
	axis.Padding = 0
	axis.LineStyle = line(t.frame, thinLine)
	axis.Tick.LineStyle = line(t.frame, thinLine)
	axis.Tick.Length = 4
	axis.Tick.Marker = ticker{a.Scale, 8}
	axis.Label.Padding = 3
	axis.Label.Text = clean(a.Label)
	restyle(&axis.Tick.Label, t.quiet, smallSize)
	restyle(&axis.Label.TextStyle, t.ink, textSize)
	a.apply(axis)
}

// apply gives the axis the range that was asked for, if one was.
func (a Axis) apply(axis *gplot.Axis) {
	if a.Min != 0 || a.Max != 0 {
		axis.Min, axis.Max = a.Min, a.Max
	}
}

// widen gives an axis whose data have one value only some room around it.
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

// drawAxes draws a plot with the name of its upright axis level above that axis,
// and rows of room for names above the data.
func drawAxes(c draw.Canvas, t *theme, p *gplot.Plot, upright string, rows vg.Length) {
	row := textSize * lineSpace
	style := t.text()
	name := truncate(style, clean(upright), c.Size().X)
	c.FillText(style, vg.Point{X: c.Min.X, Y: c.Max.Y - row/2}, name)
	p.Draw(draw.Crop(c, 0, -20, 0, -(rows+1)*row-2))
}

// restyle sets colour and size and keeps the alignment that the axis wants.
func restyle(s *text.Style, colour color.Color, size vg.Length) {
	fresh := textStyle(colour, size)
	fresh.XAlign, fresh.YAlign, fresh.Rotation = s.XAlign, s.YAlign, s.Rotation
	*s = fresh
}

// grid draws a light line at every tick.
type grid struct {
	theme *theme
	x, y  bool
}

// Plot draws the grid.
func (g grid) Plot(c draw.Canvas, p *gplot.Plot) {
	style := line(g.theme.grid, hairline)
	x, y := p.Transforms(&c)
	if g.x {
		for _, tick := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
			if at := x(tick.Value); !tick.IsMinor() && c.ContainsX(at) {
				c.StrokeLine2(style, at, c.Min.Y, at, c.Max.Y)
			}
		}
	}
	if g.y {
		for _, tick := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
			if at := y(tick.Value); !tick.IsMinor() && c.ContainsY(at) {
				c.StrokeLine2(style, c.Min.X, at, c.Max.X, at)
			}
		}
	}
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
	step := t.step((high - low) / float64(max(1, t.count)))
	first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
	var ticks []gplot.Tick
	for i := first; i <= last; i++ {
		value := i*step + 0 // no negative zero
		ticks = append(ticks, gplot.Tick{Value: value, Label: t.label(value, step, high)})
	}
	return ticks
}

// step returns the smallest round step that is at least the given one.
func (t ticker) step(least float64) float64 {
	const second, minute, hour, day = 1e6, 60e6, 3600e6, 24 * 3600.0
	switch t.scale {
	case ClockScale:
		if least > second {
			return nextOf(least, 2*second, 5*second, 10*second, 15*second, 30*second, minute, 2*minute, 5*minute,
				10*minute, 15*minute, 30*minute, hour, 2*hour, 5*hour, 10*hour)
		}
		return math.Max(1, decimalStep(least))
	case DateScale:
		return nextOf(least, day, 2*day, 7*day, 14*day, 30*day, 91*day, 182*day, 365*day)
	case CountScale, HoldScale:
		return math.Max(1, decimalStep(least))
	default:
		return decimalStep(least)
	}
}

// nextOf returns the first of the steps that is at least the given one, or a
// decimal multiple of the last.
func nextOf(least float64, steps ...float64) float64 {
	for _, s := range steps {
		if s >= least {
			return s
		}
	}
	last := steps[len(steps)-1]
	return last * decimalStep(least/last)
}

// decimalStep returns the smallest of 1, 2 and 5 times a power of ten that is
// at least the given step.
func decimalStep(least float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, factor := range []float64{1, 2, 5} {
		if factor*power >= least*(1-1e-9) {
			return factor * power
		}
	}
	return 10 * power
}

func (t ticker) label(value, step, high float64) string {
	switch t.scale {
	case ClockScale:
		return clockLabel(sim.Micros(math.Round(value)), sim.Micros(step), sim.Micros(high))
	case PercentScale:
		return plain(value*100, step*100) + " %"
	case HoldScale:
		return sim.Micros(math.Round(value)).String()
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

// clockLabel writes a time of a log as m:ss, with hours where the axis reaches
// them, and with the decimals that the step needs.
func clockLabel(at, step, high sim.Micros) string {
	sign := ""
	if at < 0 {
		sign, at = "-", -at
	}
	text := fmt.Sprintf("%d:%02d", at/sim.Minute, at%sim.Minute/sim.Second)
	if high >= sim.Hour {
		text = fmt.Sprintf("%d:%02d:%02d", at/sim.Hour, at%sim.Hour/sim.Minute, at%sim.Minute/sim.Second)
	}
	decimals := 0
	for unit := sim.Second; step%unit != 0; unit /= 10 {
		decimals++
	}
	if decimals > 0 {
		micros := fmt.Sprintf("%06d", at%sim.Second)
		text += "." + micros[:decimals]
	}
	return sign + strings.TrimSuffix(text, ".")
}
