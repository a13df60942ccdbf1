package plot

import (
	"fmt"
	"math"
	"slices"

	gplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"flicktally/sim"
	"flicktally/sim/lanes"
)

// HoldSet describes a chart of [Holds].
type HoldSet struct {
	Title, Subtitle string
	Holds           []Held
	Camera          sim.CameraSpec // with its press window
}

// Held is a finished press: how long it was held, and its outcome.
type Held struct {
	Hold  sim.Micros
	Look  lanes.Look
	Doubt bool // its outcome is doubtful
}

// holdBins is the approximate number of bars of a histogram.
const holdBins = 40

// Holds returns a histogram of holds over the press window, by outcome. No bar
// spans a threshold. Holds far past the window are counted in the last bar, and
// the chart says so. Holds returns an error if there are none.
func Holds(set HoldSet, look Look) (*Chart, error) {
	if len(set.Holds) == 0 {
		return nil, fmt.Errorf("found no finished press, so there are no holds to draw")
	}
	p := newPage(look, set.Title, set.Subtitle)
	p.about = fmt.Sprintf("Histogram of %d holds over the press window, %s to %s.",
		len(set.Holds), set.Camera.MinPress.Rounded(), set.Camera.LongPress.Rounded())
	h := newHistogram(set)
	if h.beyond > 0 {
		p.note(fmt.Sprintf("The last bar also counts the holds of %s and more: %d of %d.", h.edges[len(h.edges)-1].Rounded(), h.beyond, len(set.Holds)))
	}
	if h.doubtful > 0 {
		p.note(fmt.Sprintf("A dashed frame marks presses whose outcome is doubtful: %d of %d.", h.doubtful, len(set.Holds)))
	}
	p.legend = h.legend()
	axes := newAxes(p.theme,
		Axis{Label: "hold", Scale: HoldScale, Min: 0, Max: float64(h.edges[len(h.edges)-1])},
		Axis{Scale: CountScale, Min: 0, Max: float64(h.highest()) * 1.05})
	axes.X.Tick.Marker = ticker{HoldScale, int(p.inner() / 75)}
	axes.Add(p.theme.grid(false, true), zonesPlotter{lanes.ZonesOf(set.Camera), p.theme, true}, barsPlotter{h, p.theme})
	return p.chart(310, 170, func(c draw.Canvas) {
		drawAxes(c, p.theme, axes, "presses", zoneNameRows)
	})
}

// histogram counts holds in bins that end at the thresholds.
type histogram struct {
	edges    []sim.Micros   // of the bins; the first is 0
	counts   []lanes.Counts // one per bin
	beyond   int            // holds past the end, counted in the last bin
	doubtful int
}

// newHistogram covers every hold, but at most half a window beyond the window.
func newHistogram(set HoldSet) histogram {
	longest := sim.Micros(0)
	for _, held := range set.Holds {
		longest = max(longest, held.Hold)
	}
	long := set.Camera.LongPress.High
	reach := max(min(longest, long+long/2)+1, long+long/10)
	width := sim.Micros(max(1, lanes.DecimalStep(float64(reach)/(1.5*holdBins))))
	h := histogram{edges: []sim.Micros{0}}
	for _, z := range lanes.ZonesOf(set.Camera) {
		if z.From < reach {
			h.edges = append(h.edges, binsOf(z.From, min(z.To, roundUp(reach, width)), width)...)
		}
	}
	h.counts = make([]lanes.Counts, len(h.edges)-1)
	for _, held := range set.Holds {
		h.add(held)
	}
	return h
}

// binsOf returns the ends of bins of equal width, as close to width as possible.
func binsOf(from, to, width sim.Micros) (ends []sim.Micros) {
	n := sim.Micros(max(1, math.Round(float64(to-from)/float64(width))))
	for i := range n {
		ends = append(ends, from+(to-from)*(i+1)/n)
	}
	return ends
}

func roundUp(m, unit sim.Micros) sim.Micros { return (m + unit - 1) / unit * unit }

func (h *histogram) add(held Held) {
	bin, exact := slices.BinarySearch(h.edges, held.Hold)
	if !exact {
		bin--
	}
	if bin >= len(h.counts) {
		bin = len(h.counts) - 1
		h.beyond++
	}
	h.counts[bin].Add(held.Look, held.Doubt)
	if held.Doubt {
		h.doubtful++
	}
}

func (h histogram) highest() int {
	most := 0
	for _, c := range h.counts {
		most = max(most, c.Total)
	}
	return most
}

func (h histogram) legend() []legendEntry {
	var entries []legendEntry
	for _, look := range lanes.Outcomes {
		if slices.ContainsFunc(h.counts, func(c lanes.Counts) bool { return c.Of[look] > 0 }) {
			entries = append(entries, lookEntry(look, false))
		}
	}
	return entries
}

// barsPlotter draws the bars of a histogram, each in the looks of its presses.
type barsPlotter struct {
	histogram
	theme *theme
}

// Plot draws the bars.
func (b barsPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, toY := p.Transforms(&c)
	s := strip{Canvas: c, theme: b.theme}
	for i := range b.counts {
		left, right := toX(float64(b.edges[i]))+0.5, toX(float64(b.edges[i+1]))-0.5
		for _, bar := range b.counts[i].Bars() {
			area := vg.Rectangle{
				Min: vg.Point{X: left, Y: toY(float64(bar.Below))}, Max: vg.Point{X: right, Y: toY(float64(bar.Below + bar.Count))},
			}
			drawBox(c, b.theme, area, b.theme.fill(bar.Look))
			if bar.Doubt {
				s.frameDoubt([]vg.Rectangle{area}, bar.Look)
			}
		}
	}
}

// zoneNameRows is the number of rows for zone names above the data.
const zoneNameRows = 3

// zonesPlotter draws the zones of a press window as a strip along the top of
// the data. If named, it also writes their names above the strip, and draws
// their ends as lines across the chart.
type zonesPlotter struct {
	zones []lanes.HoldZone
	theme *theme
	named bool
}

const zoneStrip vg.Length = 7

// Plot draws the zones.
func (w zonesPlotter) Plot(c draw.Canvas, p *gplot.Plot) {
	toX, _ := p.Transforms(&c)
	names := newLabelRows(c.Min.X, c.Max.X, zoneNameRows)
	// From right to left, each name is to the right of the start of its zone, so
	// the lines to names in later rows cross none.
	for _, z := range slices.Backward(w.zones) {
		area := c.Rectangle
		area.Min.X, area.Max.X = max(toX(float64(z.From)), c.Min.X), min(toX(float64(z.To)), c.Max.X)
		if area.Min.X >= area.Max.X {
			continue
		}
		if w.named {
			top := w.name(c, names, z.Name, area.Min.X)
			if z.From > 0 {
				c.StrokeLine2(line(w.theme.Ink, thinLine, 4, 2), area.Min.X, c.Min.Y, area.Min.X, top)
			}
		}
		area.Min.Y = c.Max.Y - zoneStrip
		drawBox(c, w.theme, area, w.theme.fill(z.Look))
	}
}

// name writes a zone's name above the data, beside x where the zone starts, and
// returns how far up the line at x goes to meet it.
func (w zonesPlotter) name(c draw.Canvas, names *labelRows, name string, x vg.Length) (top vg.Length) {
	style := w.theme.text()
	row, from, ok := names.placeBeside(x, style.Width(name))
	if !ok {
		return c.Max.Y
	}
	y := c.Max.Y + nameLift + (vg.Length(row)+0.5)*textSize*lineSpace
	c.FillText(style, vg.Point{X: from, Y: y}, name)
	return y + textSize/2
}
