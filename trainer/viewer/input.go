package viewer

import (
	"flicktally/sim"
	"flicktally/trainer/term"
)

// binding is what keys do in the viewer. The help is written from the same
// table.
type binding struct {
	term.HelpLine
	do func(v *Viewer, key string)
}

// bindings lists the keys in the order of the help. Where two keys are listed,
// the second goes the other way.
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
		if key == "+" {
			v.current().zoom(1, 2)
		} else {
			v.current().zoom(2, 1)
		}
	}},
	{term.HelpLine{Keys: []string{"enter"}, Does: "fit the stretch at cursor"}, func(v *Viewer, _ string) { v.current().fitStretch() }},
	{term.HelpLine{Keys: []string{"a"}, Does: "fit the whole log"}, func(v *Viewer, _ string) { v.current().fitAll() }},
	{term.HelpLine{Keys: []string{"1", "2"}, Does: "mark \"from\", \"to\" at cursor"}, func(v *Viewer, key string) {
		v.current().mark(map[string]int{"1": 1, "2": 2}[key])
	}},
	{term.HelpLine{Keys: []string{"b"}, Does: "fit the marked stretch"}, func(v *Viewer, _ string) {
		if !v.current().fitMarks() {
			v.message = "no mark is set: 1 marks \"from\" and 2 marks \"to\" at the cursor"
		}
	}},
	{term.HelpLine{Keys: []string{"c"}, Does: "clear the marks"}, func(v *Viewer, _ string) { v.current().clearMarks() }},
	{term.HelpLine{Keys: []string{"s"}, Does: "snap to edges: on, off"}, func(v *Viewer, _ string) { v.toggleSnap() }},
	{term.HelpLine{Keys: []string{"w"}, Does: "write this view as a chart"}, func(v *Viewer, _ string) { v.saveChart() }},
	{term.HelpLine{Keys: []string{"]", "["}, Does: "next, previous segment"}, func(v *Viewer, key string) { v.turn(sign(key == "]")) }},
	{term.HelpLine{Keys: []string{"i"}, Does: "note: in full, in short"}, func(v *Viewer, _ string) { v.wholeNote = !v.wholeNote }},
	{term.HelpLine{Keys: []string{"?"}, Does: "this help"}, func(v *Viewer, _ string) { v.help.Open() }},
	{term.HelpLine{Keys: []string{"q", "ctrl-c"}, Does: "quit"}, nil}, // seen to by Handle
}

// pointerHelp says what the pointer does.
var pointerHelp = []term.HelpLine{
	{Keys: []string{"click"}, Does: "move cursor, choose lane"},
	{Keys: []string{"drag"}, Does: "mark \"from\" and \"to\""},
	{Keys: []string{"wheel"}, Does: "zoom; on the ruler, scroll"},
}

// viewerHelp is the text of the viewer's help.
func viewerHelp() []term.HelpLine {
	var lines []term.HelpLine
	for _, b := range bindings {
		lines = append(lines, b.HelpLine)
	}
	return append(lines, pointerHelp...)
}

func (v *Viewer) helpPages() [][]term.HelpLine {
	return term.HelpPages(viewerHelp(), v.width, v.height)
}

func sign(forward bool) int {
	if forward {
		return 1
	}
	return -1
}

// jump returns what a pair of keys does that goes to the next one of
// something and to the one before: the capital goes back.
func jump(what string, move func(*view, bool) bool) func(*Viewer, string) {
	return func(v *Viewer, key string) {
		forward := key >= "a"
		if !move(v.current(), forward) {
			v.message = map[bool]string{true: "no further ", false: "no earlier "}[forward] + what
		}
	}
}

// Handle takes the next event and reports whether the viewer goes on.
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

// Wake returns that the viewer waits for no moment.
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
		for _, bound := range b.Keys {
			if bound == key {
				b.do(v, key)
				return true
			}
		}
	}
	return true
}

// handlePointer moves the cursor and the marks by the pointer.
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
			view.mark(1)
		}
		view.moveToColumn(max(0, min(column, view.window.columns-1)), v.snap)
		view.mark(2)
	case term.WheelUp, term.WheelDown:
		up := e.Action == term.WheelUp
		switch {
		case e.Y <= rulerRow:
			view.scroll(!up)
		case up:
			view.zoomAbout(view.window.start(column), 1, 2)
		default:
			view.zoomAbout(view.window.start(column), 2, 1)
		}
	}
}
