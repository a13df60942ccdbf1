package report

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
)

// The timing chart in px, as in the file. The names of lanes are to the left of
// the plot. The right margin has room for half of the last tick's text. The script
// lays the chart out again for the available width.
const (
	plotLeft   = 150
	plotWidth  = 976
	chartWidth = plotLeft + plotWidth + 28
	laneGap    = 12
	axisHeight = 26
	tickGap    = 90 // between two labels of the time axis, enough for "1:23:45.678"

	// maxMarks is the most marks that a lane draws one by one. If there are more,
	// short marks that start close together become one.
	maxMarks = 600
)

// drawing is a timing chart as the page's template writes it.
type drawing struct {
	ID         string
	Desc       string
	Unit       sim.Micros // length of a tick
	Ticks      int64      // length of the log in ticks
	Height     int
	PlotBottom int
	Lanes      []*lane
	Axis       []axisTick
	Steps      []sim.Micros // the distances between ticks that the script may choose
	Key        []sample
	Thinned    bool // some marks stand for several
	Counted    bool // flicks are counted, not drawn one by one
	Framed     bool // something is doubtful
}

func (drawing) Left() int   { return plotLeft }
func (drawing) Plot() int   { return plotWidth }
func (drawing) Width() int  { return chartWidth }
func (drawing) ValueX() int { return plotLeft - 6 }

// AxisY is the base line of the axis.
func (d drawing) AxisY() int { return d.Height - 8 }

// lane is a row of the chart. Each Y in it counts from its top.
type lane struct {
	Name      string
	Same      []string
	Y, Height int
	Bands     []mark // behind the marks, as long as the log
	Marks     []mark
	Signs     []sign
	Curve     *curve
	Scale     []scaleText
	Labels    []label
}

// NameY is the base line of the lane's name.
func (l lane) NameY() int { return l.Height/2 + 4 - 6*len(l.Same) }

// mark is a stretch of a lane: From and To in ticks, its place in px.
type mark struct {
	From, To  int64
	X, Width  string
	Y, Height int
	Class     string
	Title     string
}

// scaleText names a value beside its lane.
type scaleText struct {
	Y    int
	Text string
}

type axisTick struct {
	lanes.Tick
	X string // in px
}

// tickUnit returns the length of a tick for a log that ends at end: the shortest
// power of ten µs for which a browser, which draws with 24 bits, keeps the ticks
// apart.
func tickUnit(end sim.Micros) sim.Micros {
	unit := sim.Microsecond
	for end/unit > 10_000_000 {
		unit *= 10
	}
	return unit
}

// ticks returns a moment in ticks, rounded.
func (d *drawing) ticks(at sim.Micros) int64 { return int64((at + d.Unit/2) / d.Unit) }

// pixels returns the place of a tick in px from the left of the chart.
func (d *drawing) pixels(ticks int64) float64 {
	return plotLeft + plotWidth*float64(ticks)/float64(d.Ticks)
}

// coordinate writes px to two decimals.
func coordinate(px float64) string {
	return strconv.FormatFloat(math.Round(px*100)/100, 'f', -1, 64)
}

// newDrawing lays out the chart of a part.
func newDrawing(id string, p *flight.Flight) *drawing {
	end := p.Replay.End
	d := &drawing{ID: id, Unit: tickUnit(end)}
	d.Ticks = max(1, d.ticks(end))
	picture := lanes.Of(p.Replay, p.Findings, p.Trace != nil)
	seen := map[lanes.Look]bool{}
	y, dropTo := 0, 0
	var names []string
	for i := range picture.Lanes {
		l := &picture.Lanes[i]
		placed := d.place(l, p, seen)
		y += above[l.Kind]
		placed.Y = y
		y += placed.Height + laneGap
		if l.Kind == lanes.Flicks {
			dropTo = placed.Y
		}
		d.Lanes = append(d.Lanes, placed)
		names = append(names, l.Name)
	}
	d.Desc = "Lanes from top to bottom: " + strings.Join(names, ", ") + ". The tables on this page say the same in words."
	d.PlotBottom, d.Height = y, y+axisHeight
	d.dropFindings(dropTo)
	d.Key = keyOf(seen)
	for _, t := range lanes.Ticks(sim.Span{To: end}, plotWidth/tickGap) {
		d.Axis = append(d.Axis, axisTick{t, coordinate(d.pixels(d.ticks(t.At)))})
	}
	d.Steps = lanes.Steps[slices.Index(lanes.Steps, sim.Millisecond):]
	return d
}

// above is the room for text above a lane, heights the height of the lane itself.
var (
	above   = map[lanes.Kind]int{lanes.Findings: 17, lanes.Flicks: 17}
	heights = map[lanes.Kind]int{
		lanes.Findings: 6, lanes.Bands: 22, lanes.Flicks: 20, lanes.Channel: 92, lanes.Levels: 18, lanes.Chance: 36,
	}
)

// place lays out a lane.
func (d *drawing) place(l *lanes.Lane, p *flight.Flight, seen map[lanes.Look]bool) *lane {
	placed := &lane{Name: l.Name, Height: heights[l.Kind]}
	for _, same := range l.Same {
		placed.Same = append(placed.Same, "= "+same)
	}
	placed.Height = max(placed.Height, 18+12*len(l.Same))
	switch l.Kind {
	case lanes.Flicks:
		d.placeFlicks(placed, l, p.Replay.End, seen)
		return placed
	case lanes.Channel:
		d.addChannel(placed, p)
	case lanes.Chance:
		d.addChance(placed, p.Replay.Belief)
	}
	d.addMarks(placed, l, p.Replay.End, seen)
	placed.Labels = d.labelsOf(l, placed, p.Replay.End)
	return placed
}

// addMarks draws the stretches of a lane.
func (d *drawing) addMarks(placed *lane, l *lanes.Lane, end sim.Micros, seen map[lanes.Look]bool) {
	for _, g := range groupsOf(l, end) {
		label, class := labelOf(l, g)
		d.Framed = d.Framed || label.Doubt
		y, height := 0, placed.Height
		switch {
		case g.Several():
			d.Thinned = true
			height = max(2, int(g.Cover*float64(placed.Height)+0.5))
			y = placed.Height - height
		case l.Kind == lanes.Chance:
			class = "chance"
		case l.Kind == lanes.Findings && g.Length() > 0: // the range of a recurring cause
			y, height = placed.Height/2-2, 4
		}
		seen[label.Look] = seen[label.Look] || class != "chance"
		placed.Marks = append(placed.Marks, d.mark(g.Span, y, height, class, label.Title))
	}
}

// labelOf returns the label of a group of stretches, and the class of its mark.
func labelOf(l *lanes.Lane, g lanes.Group) (label lanes.Label, classes string) {
	label = lanes.Label{Look: lanes.Several}
	if g.Several() {
		label.Title = severalTitle(g)
	} else {
		label = l.Label(g.First)
	}
	classes = class(label.Look)
	if label.Doubt {
		classes += " doubt"
	}
	return label, classes
}

// groupsOf returns the stretches of a lane, in groups if there are many.
func groupsOf(l *lanes.Lane, end sim.Micros) []lanes.Group {
	if len(l.Spans) > maxMarks {
		return lanes.Thin(l.Spans, sim.Span{To: end}, maxMarks)
	}
	var each []lanes.Group
	for i, s := range l.Spans {
		each = append(each, lanes.Group{Span: s, First: i, Past: i + 1})
	}
	return each
}

func (d *drawing) mark(span sim.Span, y, height int, class, title string) mark {
	from, to := d.ticks(span.From), d.ticks(span.To)
	x := d.pixels(from)
	return mark{
		From: from, To: to, X: coordinate(x), Width: coordinate(max(1, d.pixels(to)-x)),
		Y: y, Height: height, Class: class, Title: title,
	}
}

// dropFindings draws a line from every finding down to the flicks.
func (d *drawing) dropFindings(to int) {
	const most = 40 // more would hide the chart
	l := d.Lanes[0]
	if l.Name != "findings" || len(l.Marks) > most {
		return
	}
	var drops []mark
	for _, m := range l.Marks {
		drops = append(drops, mark{From: m.From, To: m.From, X: m.X, Width: "1", Y: l.Height, Height: to - l.Y - l.Height, Class: "drop"})
	}
	l.Marks = append(drops, l.Marks...)
}
