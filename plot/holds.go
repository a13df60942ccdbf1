package plot

import (
	"fmt"
	"slices"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
)

// HoldSet describes a chart of [Holds].
type HoldSet struct {
	Title, Subtitle string
	Holds           []sim.Micros
	// The press window; thresholds that are known as ranges only are drawn as
	// ranges.
	MinPress, LongPress sim.Interval
}

// holdBins is about how many bars a histogram has over the holds that it shows.
const holdBins = 40

// Holds returns a histogram of holds over the press window: how many were
// ignored, toggled, or long. Holds far past the window share the last bar, and
// the chart says so. It fails without a hold.
func Holds(set HoldSet, look Look) (*Chart, error) {
	if len(set.Holds) == 0 {
		return nil, fmt.Errorf("found no finished press, so there are no holds to draw")
	}
	p := newPage(look, set.Title, set.Subtitle)
	p.about = fmt.Sprintf("Histogram of %d holds over the press window, %s to %s.",
		len(set.Holds), set.MinPress, set.LongPress)
	h := newHistogram(set)
	if h.beyond > 0 {
		p.note(fmt.Sprintf("The last bar stands for the holds of %s and more, too: %d of %d.", h.end, h.beyond, len(set.Holds)))
	}
	axes := newAxes(p.theme,
		Axis{Label: "hold", Scale: HoldScale, Min: 0, Max: float64(h.end)},
		Axis{Scale: CountScale, Min: 0, Max: h.highest() * 1.05})
	axes.X.Tick.Marker = ticker{HoldScale, int(p.inner() / 75)}
	axes.Add(grid{p.theme, false, true}, windowPlotter{set.zones(h.end), p.theme}, h.bars(p.theme))
	return p.chart(310, 170, func(c draw.Canvas) {
		drawAxes(c, p.theme, axes, "presses", zoneNameRows)
	})
}

// histogram counts holds in bins of one width from 0 on.
type histogram struct {
	width  sim.Micros
	end    sim.Micros // of the last bin
	counts []float64
	beyond int // holds past the end, counted in the last bin
}

// newHistogram shows every hold, but no more than a half of the window past it.
func newHistogram(set HoldSet) histogram {
	most := min(slices.Max(set.Holds), set.LongPress.High+set.LongPress.High/2)
	reach := max(most+1, set.LongPress.High+set.LongPress.High/10)
	width := max(1, sim.Micros(decimalStep(float64(reach)/(2*holdBins))))
	bins := (reach + width - 1) / width
	h := histogram{width: width, end: bins * width, counts: make([]float64, bins)}
	for _, hold := range set.Holds {
		bin := hold / width
		if hold >= h.end {
			bin = bins - 1
			h.beyond++
		}
		h.counts[bin]++
	}
	return h
}

func (h histogram) highest() float64 { return slices.Max(h.counts) }

func (h histogram) bars(t *theme) gplot.Plotter {
	bars := &plotter.Histogram{Width: float64(h.width), FillColor: t.signal, LineStyle: line(t.paper, thinLine)}
	for i, count := range h.counts {
		from := float64(i) * float64(h.width)
		bars.Bins = append(bars.Bins, plotter.HistogramBin{Min: from, Max: from + float64(h.width), Weight: count})
	}
	return bars
}

// zone is a stretch of holds and what becomes of them.
type zone struct {
	name     string
	from, to sim.Micros
	sure     bool // false where the thresholds leave it open
}

// zonesOf divides holds from 0 to end by the press window.
func zonesOf(minPress, longPress sim.Interval, end sim.Micros) []zone {
	all := []zone{
		{"ignored", 0, minPress.Low, true},
		{"ignored or toggles", minPress.Low, minPress.High, false},
		{"toggles", minPress.High, longPress.Low, true},
		{"toggles or long", longPress.Low, longPress.High, false},
		{"long", longPress.High, end, true},
	}
	return slices.DeleteFunc(all, func(z zone) bool { return z.from >= z.to })
}

func (s HoldSet) zones(end sim.Micros) []zone { return zonesOf(s.MinPress, s.LongPress, end) }

// zoneNameRows is how many rows of zone names stand above the data.
const zoneNameRows = 3

// windowPlotter draws the zones behind the data, named above it.
type windowPlotter struct {
	zones []zone
	theme *theme
}

// Plot draws the zones.
func (w windowPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, _ := p.Transforms(&c)
	names := newLabelRows(c.Min.X, c.Max.X, zoneNameRows)
	// From the right, each name stands to the right of where its zone begins, so
	// the lines to those in later rows cross none.
	for _, z := range slices.Backward(w.zones) {
		area := c.Rectangle
		area.Min.X, area.Max.X = toX(float64(z.from)), min(toX(float64(z.to)), c.Max.X)
		switch {
		case !z.sure:
			drawHatch(c, area, hatchRising, line(w.theme.frame, hairline))
		case z.name == "toggles":
			c.SetColor(w.theme.pressRange)
			c.Fill(area.Path())
		}
		top := w.name(c, names, z.name, area.Min.X)
		if z.from > 0 {
			c.StrokeLine2(line(w.theme.ink, thinLine, 4, 2), area.Min.X, c.Min.Y, area.Min.X, top)
		}
	}
}

// name puts a zone's name above the data, to the right of x, and returns how far
// up the zone's edge reaches to meet it.
func (w windowPlotter) name(c draw.Canvas, names *labelRows, name string, x vg.Length) (top vg.Length) {
	style := w.theme.text()
	from := min(x+3, c.Max.X-style.Width(name))
	row, ok := names.placeAt(x, stretch{from, from + style.Width(name)})
	if !ok {
		return c.Max.Y
	}
	y := c.Max.Y + (vg.Length(row)+0.5)*textSize*lineSpace
	c.FillText(style, vg.Point{X: from, Y: y}, name)
	return y + textSize/2
}
