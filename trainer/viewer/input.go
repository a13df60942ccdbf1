package viewer

import (
	"slices"

	"flicktally/sim"
	"flicktally/trainer/term"
)

// binding says what keys do in the viewer. The help lists the same table.
type binding struct {
	term.HelpLine
	do func(v *Viewer, key string)
}

// bindings lists the keys in the order of the help. The second of two keys goes
// the other way.
var bindings = []binding{
	{term.HelpLine{Keys: []string{"left", "right"}, Does: "move the cursor"}, func(v *Viewer, key string) {
		v.current().moveBy(sign(key == "right"), v.snap)
	}},
	{term.HelpLine{Keys: []string{"pgup", "pgdn"}, Does: "move it by a quarter screen"}, func(v *Viewer, key string) {
		v.current().moveBy(sign(key == "pgdn")*max(1, v.current().window.columns/4), v.snap)
	}},
	{term.HelpLine{Keys: []string{"home", "end"}, Does: "go to the start, to the end"}, func(v *Viewer, key string) {
		v.current().moveTo(map[string]sim.Micros{"home": 0, "end": v.current().window.end}[key])
	}},
	{term.HelpLine{Keys: []string{"up", "down"}, Does: "choose the lane to measure"}, func(v *Viewer, key string) {
		v.current().selectLane(sign(key == "down"))
	}},
	{term.HelpLine{Keys: []string{"e", "E"}, Does: "next, previous edge in lane"}, jump("edge", (*view).moveToEdge)},
	{term.HelpLine{Keys: []string{"p", "P"}, Does: "next, previous flick"}, jump("flick", (*view).moveToFlick)},
	{term.HelpLine{Keys: []string{"t", "T"}, Does: "next, previous take"}, jump("take", (*view).moveToTake)},
	{term.HelpLine{Keys: []string{"f", "F"}, Does: "next, previous finding"}, jump("finding", (*view).moveToFinding)},
	{term.HelpLine{Keys: []string{"+", "-"}, Does: "zoom about the cursor"}, func(v *Viewer, key string) {
		v.current().zoom(key == "+", v.current().cursor)
	}},
	{term.HelpLine{Keys: []string{"enter"}, Does: "fit the stretch at cursor"}, func(v *Viewer, _ string) { v.current().fitStretch() }},
	{term.HelpLine{Keys: []string{"a"}, Does: "fit the whole log"}, func(v *Viewer, _ string) {
		v.current().window = v.current().window.whole()
	}},
	{term.HelpLine{Keys: []string{"1", "2"}, Does: "mark \"from\", \"to\" at cursor"}, func(v *Viewer, key string) {
		v.current().mark(int(key[0] - '1'))
	}},
	{term.HelpLine{Keys: []string{"b"}, Does: "fit the marked stretch"}, func(v *Viewer, _ string) {
		if between, set := v.current().between(); set {
			v.current().fit(between)
		} else {
			v.message = "no mark is set: 1 marks \"from\" and 2 marks \"to\" at the cursor"
		}
	}},
	{term.HelpLine{Keys: []string{"c"}, Does: "clear the marks"}, func(v *Viewer, _ string) { v.current().marks = noMarks }},
	{term.HelpLine{Keys: []string{"s"}, Does: "snap to edges: on, off"}, func(v *Viewer, _ string) {
		v.snap = !v.snap
		v.message = "snap to edges is " + map[bool]string{true: "on", false: "off"}[v.snap]
	}},
	{term.HelpLine{Keys: []string{"w"}, Does: "write this view as a chart"}, func(v *Viewer, _ string) { v.saveChart() }},
	{term.HelpLine{Keys: []string{"]", "["}, Does: "next, previous segment"}, func(v *Viewer, key string) { v.turn(sign(key == "]")) }},
	{term.HelpLine{Keys: []string{"i"}, Does: "note: in full, in short"}, func(v *Viewer, _ string) { v.wholeNote = !v.wholeNote }},
	{term.HelpLine{Keys: []string{"?"}, Does: "this help"}, func(v *Viewer, _ string) { v.help.Open() }},
	{term.HelpLine{Keys: []string{"q", "ctrl-c"}, Does: "quit"}, nil}, // see handleKey
}

// pointerHelp says what the pointer does.
var pointerHelp = []term.HelpLine{
	{Keys: []string{"click"}, Does: "move cursor, choose lane"},
	{Keys: []string{"drag"}, Does: "mark \"from\" and \"to\""},
	{Keys: []string{"wheel"}, Does: "zoom; on the ruler, scroll"},
}

func (v *Viewer) helpPages() [][]term.HelpLine {
	var lines []term.HelpLine
	for _, b := range bindings {
		lines = append(lines, b.HelpLine)
	}
	return term.HelpPages(append(lines, pointerHelp...), v.width, v.height)
}

func sign(forward bool) int {
	if forward {
		return 1
	}
	return -1
}

// jump returns the function of a pair of keys that move to the next or the
// previous of something: the capital letter goes back.
func jump(what string, move func(*view, bool) bool) func(*Viewer, string) {
	return func(v *Viewer, key string) {
		forward := key >= "a"
		if !move(v.current(), forward) {
			v.message = map[bool]string{true: "no further ", false: "no earlier "}[forward] + what
		}
	}
}

// Handle handles the next event and reports whether the viewer continues.
func (v *Viewer) Handle(event term.Event) bool {
	switch e := event.(type) {
	case term.ResizeEvent:
		v.resize(e.Width, e.Height)
	case term.KeyEvent:
		return v.handleKey(e.Name)
	case term.PointerEvent:
		v.handlePointer(e)
	}
	return true
}

// Wake returns [sim.Never]: the viewer needs no ticks.
func (v *Viewer) Wake() sim.Micros { return sim.Never }

func (v *Viewer) handleKey(key string) bool {
	v.message = ""
	if key == "ctrl-c" || key == "q" && !v.help.IsOpen {
		return false
	}
	if v.help.IsOpen {
		v.help.Turn(key, len(v.helpPages()))
		return true
	}
	if key == "=" {
		key = "+" // the same key without shift on many keyboards
	}
	for _, b := range bindings {
		if slices.Contains(b.Keys, key) {
			b.do(v, key)
			break
		}
	}
	return true
}

func (v *Viewer) handlePointer(e term.PointerEvent) {
	if v.help.IsOpen || e.X < 0 || e.Y < 0 || e.Y >= v.height {
		return
	}
	v.message = ""
	view := v.current()
	column := e.X - labelWidth
	switch e.Action {
	case term.PointerPress:
		v.dragging = false
		view.selectLaneAt(e.Y-firstLane, v.laneRows())
		if column >= 0 {
			view.moveToColumn(column, v.snap)
		}
	case term.PointerDrag:
		if !v.dragging {
			v.dragging = true
			view.mark(0)
		}
		view.moveToColumn(max(0, min(column, view.window.columns-1)), v.snap)
		view.mark(1)
	case term.WheelUp, term.WheelDown:
		up := e.Action == term.WheelUp
		if e.Y <= rulerRow {
			view.scroll(!up)
		} else {
			view.zoom(up, view.window.start(column))
		}
	}
}
