package report

import (
	"math"
	"strconv"

	"flicktally/sim"
	"flicktally/sim/flight"
)

// The timing chart in px. Lane names stand to the left of the plot; the right
// margin holds half of the last tick's text.
const (
	plotLeft   = 120
	plotWidth  = 976
	chartWidth = plotLeft + plotWidth + 28
	laneGap    = 14
	axisHeight = 26
	textHeight = 17 // of a row of text above a lane
)

// drawing is a timing chart as the page's template writes it.
type drawing struct {
	ID         string
	Desc       string
	Unit       sim.Micros // length of a tick
	Ticks      int64      // length of the log in ticks
	Height     int
	PlotBottom int
	Lanes      []lane
	Labels     []label
	Axis       []axisTick
	Thinned    bool // some lanes join marks that are too dense
}

func (drawing) Left() int  { return plotLeft }
func (drawing) Plot() int  { return plotWidth }
func (drawing) Width() int { return chartWidth }

// ValueX is where the values beside a lane end.
func (drawing) ValueX() int { return plotLeft - 6 }

// AxisY is the base line of the axis.
func (d drawing) AxisY() int { return d.Height - 8 }

// lane is one row of the chart. Y of all that is in it counts from its top.
type lane struct {
	Name, Unit string
	Y, Height  int
	Bands      []rect // behind the marks, as long as the log
	Marks      []rect
	Curve      *curve
	Scale      []scaleText
}

// NameY is the base line of the lane's name.
func (l lane) NameY() int { return l.Y + l.Height/2 + 4 }

// rect is a mark in place: X and Width in ticks, Y and Height in px.
type rect struct {
	X, Width  int64
	Y, Height int
	Class     string
	Title     string
}

// curve is drawn in ticks and in units of its own, which Transform turns into
// px.
type curve struct {
	Class, Transform, Path string
}

// scaleText names a value beside its lane.
type scaleText struct {
	Y    int
	Text string
}

type axisTick struct {
	tick
	Tick int64
	X    string // in px, beside the plot
}

// tickUnit returns the length of a tick for a log that ends at end: the
// shortest power of ten µs of which so few are needed that a browser, which
// draws with 24 bits, keeps them apart.
func tickUnit(end sim.Micros) sim.Micros {
	unit := sim.Microsecond
	for end/unit > 10_000_000 {
		unit *= 10
	}
	return unit
}

// ticks turns a moment into whole ticks, rounded.
func (d *drawing) ticks(at sim.Micros) int64 { return int64((at + d.Unit/2) / d.Unit) }

// pixels turns ticks into px from the left of the chart.
func (d *drawing) pixels(ticks int64) float64 {
	return plotLeft + plotWidth*float64(ticks)/float64(d.Ticks)
}

// coordinate writes px to the hundredth.
func coordinate(px float64) string {
	return strconv.FormatFloat(math.Round(px*100)/100, 'f', -1, 64)
}

// newDrawing lays out the chart of a part.
func newDrawing(id string, p *flight.Flight) *drawing {
	end := p.Replay.End
	d := &drawing{ID: id, Unit: tickUnit(end), Desc: "Lanes from top to bottom: "}
	d.Ticks = max(1, d.ticks(end))
	y := 0
	for i, plan := range lanesOf(p) {
		if plan.text == textAbove {
			y += textHeight
		}
		marks, thinned := plan.marks(end)
		d.Thinned = d.Thinned || thinned
		d.Labels = append(d.Labels, d.labelsOf(marks, plan, y)...)
		d.Lanes = append(d.Lanes, d.place(plan, marks, y))
		y += plan.height + plan.gap
		if i > 0 {
			d.Desc += ", "
		}
		d.Desc += plan.name
	}
	d.Desc += ". The tables of this page say the same in words."
	d.PlotBottom, d.Height = y, y+axisHeight
	d.extendLostShots()
	d.placeLabels()
	for _, t := range axisTicks(end, plotWidth) {
		at := d.ticks(t.At)
		d.Axis = append(d.Axis, axisTick{t, at, coordinate(d.pixels(at))})
	}
	return d
}

// place puts a lane at a height.
func (d *drawing) place(plan lanePlan, marks []mark, y int) lane {
	l := lane{Name: plan.name, Unit: plan.unit, Y: y, Height: plan.height, Scale: plan.scale}
	for _, b := range plan.bands {
		b.Width = d.Ticks
		l.Bands = append(l.Bands, b)
	}
	for _, m := range marks {
		from, to := d.ticks(m.From), d.ticks(m.To)
		top, height := shape(m, plan.height)
		l.Marks = append(l.Marks, rect{from, max(1, to-from), top, height, m.Class, m.Title})
	}
	if plan.curve != nil {
		l.Curve = plan.curve(d)
	}
	return l
}

// extendLostShots lets the marks of lost footage run down through all lanes.
func (d *drawing) extendLostShots() {
	for _, l := range d.Lanes {
		for i := range l.Marks {
			if m := &l.Marks[i]; m.Class == classLostShot {
				m.Height = d.PlotBottom - l.Y
			}
		}
	}
}
