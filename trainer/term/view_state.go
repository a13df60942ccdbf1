package term

import (
	"slices"
	"sort"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Log is a replayed log as the viewer shows it.
type Log struct {
	Name     string // as the pilot knows it: the file, and the segment where there are several
	Replay   *sim.Replay
	Findings []tell.Finding // in order of time
	Channel  *sim.Trace     // nil: the channel is not shown
}

// SaveSpan saves a stretch of one of the viewer's logs, counted from 0, as a
// chart, and returns the name of the file that it wrote.
type SaveSpan func(log int, s sim.Span) (file string, err error)

// Viewer shows replayed logs in the terminal, one at a time. It is a [Program].
type Viewer struct {
	views []*view
	shown int // number of the view on the screen
	save  SaveSpan

	width, height int
	snap          bool
	help          help
	wholeNote     bool   // the note takes as many rows as it needs
	message       string // tells what the last key did, where the picture does not
	dragging      bool
}

// NewViewer returns a viewer of one or more logs. A nil save means that nothing
// can be saved.
func NewViewer(logs []Log, save SaveSpan) *Viewer {
	v := &Viewer{save: save, snap: true}
	for _, log := range logs {
		v.views = append(v.views, newView(log))
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

// current returns the view on the screen.
func (v *Viewer) current() *view { return v.views[v.shown] }

// turn shows another log.
func (v *Viewer) turn(by int) {
	v.shown = max(0, min(v.shown+by, len(v.views)-1))
	v.current().resize(plotWidth(v.width))
}

func (v *Viewer) resize(width, height int) {
	v.width, v.height = width, height
	v.current().resize(plotWidth(width))
}

// saveChart saves the visible stretch.
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

func (v *Viewer) toggleSnap() {
	v.snap = !v.snap
	v.message = "snap to edges is " + map[bool]string{true: "on", false: "off"}[v.snap]
}

// view is what one log looks like now: what is visible, and where the cursor and
// the marks are.
type view struct {
	log      Log
	lanes    []lane
	selected int            // number of the lane that the cursor stops at
	scale    scale          // of the channel, where it is shown
	bins     []sim.TraceBin // the channel in the columns of the window binned
	binned   window
	window   window
	cursor   sim.Micros
	marks    [2]sim.Micros // sim.Never: not set
	finding  int           // number of the finding that the cursor was sent to, -1 if none
}

func newView(log Log) *view {
	v := &view{log: log, lanes: lanesOf(log), marks: [2]sim.Micros{sim.Never, sim.Never}, finding: -1}
	v.selected = slices.IndexFunc(v.lanes, func(l lane) bool { return l.name == "presses" })
	if log.Channel != nil {
		v.scale = scaleOf(log.Channel)
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

// lane returns the selected lane.
func (v *view) lane() *lane { return &v.lanes[v.selected] }

func (v *view) selectLane(by int) {
	v.selected = max(0, min(v.selected+by, len(v.lanes)-1))
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
		if next := v.lane().stepAt(from-1) + 1; next < len(v.lane().steps) {
			if at := v.lane().steps[next].at; at < to {
				from = at
			}
		}
	}
	v.moveTo(from)
}

// moveBy moves the cursor by columns.
func (v *view) moveBy(columns int, snap bool) {
	v.moveToColumn(v.window.column(v.cursor)+columns, snap)
}

// moveToStep moves the cursor to the next edge of the selected lane, or to the
// one before.
func (v *view) moveToStep(forward bool) bool {
	steps := v.lane().steps
	return v.moveToNext(len(steps), func(i int) sim.Micros { return steps[i].at }, forward)
}

// moveToPress moves the cursor to where the next press goes down, or the one
// before.
func (v *view) moveToPress(forward bool) bool {
	presses := v.log.Replay.Presses
	return v.moveToNext(len(presses), func(i int) sim.Micros { return presses[i].Down }, forward)
}

// moveToTake moves the cursor to the start of the next take, or of the one
// before.
func (v *view) moveToTake(forward bool) bool {
	takes := v.log.Replay.Takes
	return v.moveToNext(len(takes), func(i int) sim.Micros { return takes[i].Start }, forward)
}

// moveToNext moves the cursor to the first of so many moments after it, or to
// the last before it, and reports whether there is one.
func (v *view) moveToNext(count int, at func(int) sim.Micros, forward bool) bool {
	i := sort.Search(count, func(i int) bool { return at(i) > v.cursor })
	if !forward {
		i = sort.Search(count, func(i int) bool { return at(i) >= v.cursor }) - 1
	}
	if i < 0 || i >= count {
		return false
	}
	v.moveTo(at(i))
	return true
}

// moveToFinding moves the cursor to the next finding, or to the one before.
// Several of one moment are gone through one by one.
func (v *view) moveToFinding(forward bool) bool {
	findings := v.log.Findings
	next := v.finding + 1
	if v.finding < 0 {
		next = sort.Search(len(findings), func(i int) bool { return findings[i].At > v.cursor })
	}
	if !forward {
		next = v.finding - 1
		if v.finding < 0 {
			next = sort.Search(len(findings), func(i int) bool { return findings[i].At >= v.cursor }) - 1
		}
	}
	if next < 0 || next >= len(findings) {
		return false
	}
	v.moveTo(findings[next].At)
	v.finding = next
	return true
}

// zoom makes the window wider by num/den about the cursor.
func (v *view) zoom(num, den sim.Micros) { v.zoomAbout(v.cursor, num, den) }

// zoomAbout makes the window wider by num/den about a moment, or about its
// middle where that moment is not visible.
func (v *view) zoomAbout(at, num, den sim.Micros) {
	if !v.window.shows(at) {
		at = v.window.from + v.window.span/2
	}
	v.window = v.window.zoomed(num, den, at)
}

// scroll moves the window by a part of its width, and leaves the cursor where it
// is.
func (v *view) scroll(forward bool) {
	v.window.from += sim.Micros(sign(forward)) * v.window.span / 8
	v.window = v.window.bounded()
}

// fitAll shows the whole log.
func (v *view) fitAll() { v.window = v.window.whole() }

// fitStretch shows the stretch of the selected lane under the cursor, with room
// on both sides.
func (v *view) fitStretch() {
	stretch, _ := v.lane().stretchAt(v.cursor, v.window.end)
	v.fit(stretch)
}

// fitMarks shows what lies between the marks.
func (v *view) fitMarks() bool {
	between, set := v.between()
	if set {
		v.fit(between)
	}
	return set
}

func (v *view) fit(s sim.Span) {
	room := max(s.Length()/4, 1)
	v.window = v.window.showing(sim.Span{From: s.From - room, To: s.To + room})
}

// mark leaves a mark at the cursor.
func (v *view) mark(number int) { v.marks[number-1] = v.cursor }

func (v *view) clearMarks() { v.marks = [2]sim.Micros{sim.Never, sim.Never} }

// between returns the stretch between the marks; where only one is set, between
// it and the cursor.
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

// pressesIn returns the presses that go down within a stretch, its end included.
func (v *view) pressesIn(s sim.Span) []sim.Press {
	presses := v.log.Replay.Presses
	first := sort.Search(len(presses), func(i int) bool { return presses[i].Down >= s.From })
	past := sort.Search(len(presses), func(i int) bool { return presses[i].Down > s.To })
	return presses[first:past]
}

// pressAt returns the press that is down at the cursor.
func (v *view) pressAt() (sim.Press, bool) {
	before := v.pressesIn(sim.Span{From: 0, To: v.cursor})
	if len(before) == 0 || v.cursor >= before[len(before)-1].Up {
		return sim.Press{}, false
	}
	return before[len(before)-1], true
}

// findingAt returns the finding that the cursor was sent to, or else one in the
// column of the cursor, or about the press that is down.
func (v *view) findingAt() (tell.Finding, bool) {
	if v.finding >= 0 {
		return v.log.Findings[v.finding], true
	}
	press, down := v.pressAt()
	column := v.window.column(v.cursor)
	for _, f := range v.log.Findings {
		if down && f.Press == press.N || v.window.column(f.At) == column {
			return f, true
		}
	}
	return tell.Finding{}, false
}
