package term

import (
	"flicktally/sim"
)

// binding is what keys do in the viewer. The help is written from the same
// table.
type binding struct {
	helpLine
	do func(v *Viewer, key string)
}

// bindings lists the keys in the order of the help. Where two keys are listed,
// the second goes the other way.
var bindings = []binding{
	{helpLine{[]string{"left", "right"}, "move the cursor"}, func(v *Viewer, key string) {
		v.current().moveBy(sign(key == "right"), v.snap)
	}},
	{helpLine{[]string{"pgup", "pgdn"}, "move it by a quarter page"}, func(v *Viewer, key string) {
		v.current().moveBy(sign(key == "pgdn")*max(1, v.current().window.columns/4), v.snap)
	}},
	{helpLine{[]string{"home", "end"}, "go to the start, the end"}, func(v *Viewer, key string) {
		v.current().moveTo(map[string]sim.Micros{"home": 0, "end": v.current().window.end}[key])
	}},
	{helpLine{[]string{"up", "down"}, "choose the lane to measure"}, func(v *Viewer, key string) {
		v.current().selectLane(sign(key == "down"))
	}},
	{helpLine{[]string{"e", "E"}, "next, previous edge in lane"}, jump("edge", (*view).moveToEdge)},
	{helpLine{[]string{"p", "P"}, "next, previous flick"}, jump("flick", (*view).moveToFlick)},
	{helpLine{[]string{"t", "T"}, "next, previous take"}, jump("take", (*view).moveToTake)},
	{helpLine{[]string{"f", "F"}, "next, previous finding"}, jump("finding", (*view).moveToFinding)},
	{helpLine{[]string{"+", "-"}, "zoom about the cursor"}, func(v *Viewer, key string) {
		if key == "+" {
			v.current().zoom(1, 2)
		} else {
			v.current().zoom(2, 1)
		}
	}},
	{helpLine{[]string{"enter"}, "fit what the cursor is in"}, func(v *Viewer, _ string) { v.current().fitStretch() }},
	{helpLine{[]string{"a"}, "fit the whole log"}, func(v *Viewer, _ string) { v.current().fitAll() }},
	{helpLine{[]string{"1", "2"}, "mark \"from\", \"to\" at cursor"}, func(v *Viewer, key string) {
		v.current().mark(map[string]int{"1": 1, "2": 2}[key])
	}},
	{helpLine{[]string{"b"}, "fit from \"from\" to \"to\""}, func(v *Viewer, _ string) {
		if !v.current().fitMarks() {
			v.message = "no mark is set: 1 marks \"from\" and 2 marks \"to\" at the cursor"
		}
	}},
	{helpLine{[]string{"c"}, "clear the marks"}, func(v *Viewer, _ string) { v.current().clearMarks() }},
	{helpLine{[]string{"s"}, "snap to edges: on, off"}, func(v *Viewer, _ string) { v.toggleSnap() }},
	{helpLine{[]string{"w"}, "write this view as a chart"}, func(v *Viewer, _ string) { v.saveChart() }},
	{helpLine{[]string{"]", "["}, "next, previous segment"}, func(v *Viewer, key string) { v.turn(sign(key == "]")) }},
	{helpLine{[]string{"i"}, "the note in full, in short"}, func(v *Viewer, _ string) { v.wholeNote = !v.wholeNote }},
	{helpLine{[]string{"?"}, "this help"}, func(v *Viewer, _ string) { v.help.open() }},
	{helpLine{[]string{"q", "ctrl-c"}, "quit"}, nil}, // seen to by Handle
}

// pointerHelp tells what the pointer does.
var pointerHelp = []helpLine{
	{[]string{"click"}, "put cursor and lane there"},
	{[]string{"drag"}, "measure: from and to"},
	{[]string{"wheel"}, "zoom; on the ruler, scroll"},
}

// viewerHelp is all that the help tells.
func viewerHelp() []helpLine {
	var lines []helpLine
	for _, b := range bindings {
		lines = append(lines, b.helpLine)
	}
	return append(lines, pointerHelp...)
}

func (v *Viewer) helpPages() [][]helpLine { return helpPages(viewerHelp(), v.width, v.height) }

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
func (v *Viewer) Handle(event Event) bool {
	switch e := event.(type) {
	case ResizeEvent:
		v.resize(e.Width, e.Height)
	case KeyEvent:
		return v.handleKey(e.Name)
	case PointerEvent:
		v.handlePointer(e)
	}
	return true
}

// Wake returns that the viewer waits for no moment.
func (v *Viewer) Wake() sim.Micros { return sim.Never }

func (v *Viewer) handleKey(key string) bool {
	v.message = ""
	if key == "ctrl-c" || key == "q" && !v.help.isOpen {
		return false
	}
	if v.help.isOpen {
		v.help.turn(key, len(v.helpPages()))
		return true
	}
	if key == "=" {
		key = "+" // the same key without shift on many keyboards
	}
	for _, b := range bindings {
		for _, bound := range b.keys {
			if bound == key {
				b.do(v, key)
				return true
			}
		}
	}
	return true
}

// handlePointer moves the cursor and the marks by the pointer.
func (v *Viewer) handlePointer(e PointerEvent) {
	if v.help.isOpen || e.X < 0 || e.Y < 0 || e.Y >= v.height {
		return
	}
	v.message = ""
	view := v.current()
	column := e.X - labelWidth
	switch e.Action {
	case PointerPress:
		v.dragging = false
		view.selectLaneAt(e.Y-firstLane, v.laneRows())
		if column >= 0 {
			view.moveToColumn(column, v.snap)
		}
	case PointerDrag:
		if !v.dragging {
			v.dragging = true
			view.mark(1)
		}
		view.moveToColumn(max(0, min(column, view.window.columns-1)), v.snap)
		view.mark(2)
	case WheelUp, WheelDown:
		up := e.Action == WheelUp
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
