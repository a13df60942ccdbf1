package viewer

import (
	"slices"
	"sort"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/trainer/term"
)

// SaveSpan saves a stretch of one of the viewer's logs, counted from 0, as a
// chart, and returns the name of the file.
type SaveSpan func(log int, s sim.Span) (file string, err error)

// Viewer shows replayed logs in the terminal, one at a time. It is a [term.Program].
type Viewer struct {
	views []*view
	shown int // number of the view on the screen
	save  SaveSpan

	width, height int
	snap          bool
	help          term.Help
	wholeNote     bool   // give the note all the rows it needs
	message       string // what the last key did, if the picture does not show it
	dragging      bool
}

// New returns a viewer of one or more logs. With a nil save, charts cannot be
// saved.
func New(logs []flight.Flight, save SaveSpan) *Viewer {
	v := &Viewer{save: save, snap: true}
	for _, log := range logs {
		v.views = append(v.views, newView(&log))
	}
	return v
}

// Show makes a stretch of the first log visible, cut to the log, with the cursor
// at its start.
func (v *Viewer) Show(s sim.Span) {
	first := v.views[0]
	first.window = first.window.showing(s)
	first.cursor = first.window.from
}

func (v *Viewer) current() *view { return v.views[v.shown] }

func (v *Viewer) turn(by int) {
	v.shown = max(0, min(v.shown+by, len(v.views)-1))
	v.current().resize(plotWidth(v.width))
}

func (v *Viewer) resize(width, height int) {
	v.width, v.height = width, height
	v.current().resize(plotWidth(width))
}

func (v *Viewer) saveChart() {
	if v.save == nil {
		v.message = "a chart cannot be saved from here"
		return
	}
	file, err := v.save(v.shown, v.current().window.visible())
	if err != nil {
		v.message = "not saved: " + err.Error()
		return
	}
	v.message = "saved this view as " + file
}

// view is the state of one log on the screen: the visible window, the cursor
// and the marks.
type view struct {
	log      *flight.Flight
	picture  lanes.Picture
	selected int            // index of the lane whose edges the cursor stops at
	scale    lanes.Scale    // of the channel, where it is shown
	bins     []sim.TraceBin // the channel in the columns of the window binned; see channelBins
	binned   window
	window   window
	cursor   sim.Micros
	marks    [2]sim.Micros // from and to; sim.Never: not set
	finding  int           // index of the finding that f or F moved to, -1 if none
}

var noMarks = [2]sim.Micros{sim.Never, sim.Never}

func newView(log *flight.Flight) *view {
	v := &view{log: log, marks: noMarks, finding: -1}
	v.picture = lanes.Of(log.Replay, log.Findings, log.Trace != nil)
	v.selected = slices.IndexFunc(v.picture.Lanes, func(l lanes.Lane) bool { return l.Kind == lanes.Flicks })
	if log.Trace != nil {
		v.scale = lanes.ScaleOf(log.Trace.Extremes())
	}
	v.window = window{columns: 1, end: log.Replay.End}.whole()
	return v
}

func (v *view) resize(columns int) {
	whole := v.window.span > v.window.end
	v.window.columns = max(1, columns)
	v.window = v.window.bounded()
	if whole {
		v.window = v.window.whole()
	}
}

func (v *view) lane() *lanes.Lane { return &v.picture.Lanes[v.selected] }

func (v *view) selectLane(by int) {
	v.selected = max(0, min(v.selected+by, len(v.picture.Lanes)-1))
}

// moveTo puts the cursor on a moment and makes it visible.
func (v *view) moveTo(at sim.Micros) {
	v.cursor = max(0, min(at, v.window.end))
	v.window = v.window.scrolled(v.cursor)
	v.finding = -1
}

// moveToColumn puts the cursor on a column, or on the edge of the selected lane
// that lies in it.
func (v *view) moveToColumn(column int, snap bool) {
	from, to := v.window.start(column), v.window.start(column+1)
	if snap {
		if edge, ok := v.lane().Next(from-1, true); ok && edge < to {
			from = edge
		}
	}
	v.moveTo(from)
}

func (v *view) moveBy(columns int, snap bool) {
	v.moveToColumn(v.window.column(v.cursor)+columns, snap)
}

// moveToEdge moves the cursor to the next edge of the selected lane, or to the
// previous one.
func (v *view) moveToEdge(forward bool) bool {
	edge, ok := v.lane().Next(v.cursor, forward)
	if ok {
		v.moveTo(edge)
	}
	return ok
}

func (v *view) moveToFlick(forward bool) bool {
	return v.moveToSpan(v.picture.Lane(lanes.Flicks, ""), forward)
}

func (v *view) moveToTake(forward bool) bool {
	return v.moveToSpan(v.picture.Lane(lanes.Bands, "takes"), forward)
}

// moveToSpan moves the cursor to the start of the next span of a lane, or of the
// previous one.
func (v *view) moveToSpan(l *lanes.Lane, forward bool) bool {
	at := func(i int) sim.Micros { return l.Spans[i].From }
	return v.moveToOne(v.neighbour(len(l.Spans), at, forward), len(l.Spans), at)
}

// moveToFinding moves the cursor to the next finding, or to the previous one. It
// steps through findings at the same moment one by one.
func (v *view) moveToFinding(forward bool) bool {
	findings := v.log.Findings
	at := func(i int) sim.Micros { return findings[i].At }
	next := v.finding + sign(forward)
	if v.finding < 0 {
		next = v.neighbour(len(findings), at, forward)
	}
	if !v.moveToOne(next, len(findings), at) {
		return false
	}
	v.finding = next
	return true
}

// neighbour returns the index of the first of count moments after the cursor, or
// of the last before it; if there is none, one outside them.
func (v *view) neighbour(count int, at func(int) sim.Micros, forward bool) int {
	if forward {
		return sort.Search(count, func(i int) bool { return at(i) > v.cursor })
	}
	return sort.Search(count, func(i int) bool { return at(i) >= v.cursor }) - 1
}

// moveToOne moves the cursor to one of count moments, if it exists.
func (v *view) moveToOne(i, count int, at func(int) sim.Micros) bool {
	if i < 0 || i >= count {
		return false
	}
	v.moveTo(at(i))
	return true
}

// zoom halves the window, or doubles it, about a moment, or about its middle if
// that moment is not visible.
func (v *view) zoom(in bool, about sim.Micros) {
	if !v.window.shows(about) {
		about = v.window.from + v.window.span/2
	}
	span := 2 * v.window.span
	if in {
		span = v.window.span / 2
	}
	v.window = v.window.zoomed(span, about)
}

// scroll moves the window by a part of its width. The cursor stays at its time.
func (v *view) scroll(forward bool) {
	v.window.from += sim.Micros(sign(forward)) * v.window.span / 8
	v.window = v.window.bounded()
}

// fitStretch shows the stretch of the selected lane at the cursor, with room on
// both sides.
func (v *view) fitStretch() {
	v.fit(v.lane().Around(v.cursor, v.window.end))
}

func (v *view) fit(s sim.Span) {
	room := max(s.Length()/4, 1)
	v.window = v.window.showing(sim.Span{From: s.From - room, To: s.To + room})
}

// mark puts a mark at the cursor: 0 is from, 1 is to.
func (v *view) mark(i int) { v.marks[i] = v.cursor }

// between returns the stretch between the marks, or between the only one and the
// cursor.
func (v *view) between() (sim.Span, bool) {
	a, b := v.marks[0], v.marks[1]
	switch {
	case a == sim.Never && b == sim.Never:
		return sim.Span{}, false
	case a == sim.Never:
		a = v.cursor
	case b == sim.Never:
		b = v.cursor
	}
	return sim.Span{From: min(a, b), To: max(a, b)}, true
}

// flicksIn returns the range of the flicks that start within a stretch, its end
// included: the index of the first, and that after the last.
func (v *view) flicksIn(s sim.Span) (first, past int) {
	spans := v.picture.Lane(lanes.Flicks, "").Spans
	first = sort.Search(len(spans), func(i int) bool { return spans[i].From >= s.From })
	past = sort.Search(len(spans), func(i int) bool { return spans[i].From > s.To })
	return first, past
}

// pressAt returns the press that is down at the cursor.
func (v *view) pressAt() (sim.Press, bool) {
	presses := v.log.Replay.Presses
	past := sort.Search(len(presses), func(i int) bool { return presses[i].Down > v.cursor })
	if past == 0 || v.cursor >= presses[past-1].Up {
		return sim.Press{}, false
	}
	return presses[past-1], true
}

// findingAt returns the finding that f or F moved to, or else one in the column of
// the cursor or about the press that is down.
func (v *view) findingAt() (lanes.Mark, bool) {
	if v.finding >= 0 {
		return v.picture.Marks[v.finding], true
	}
	press, down := v.pressAt()
	column := v.window.column(v.cursor)
	for _, m := range v.picture.Marks {
		if down && m.Press == press.N || v.window.column(m.At) == column {
			return m, true
		}
	}
	return lanes.Mark{}, false
}
