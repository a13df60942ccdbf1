package liveview

import (
	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/trainer/term"
)

// The screen is redrawn after the long interval, during a press after the short one.
const (
	longInterval  = 100 * sim.Millisecond
	shortInterval = 40 * sim.Millisecond
)

// liveHelp lists the keys of the screen.
var liveHelp = []term.HelpLine{
	{Keys: []string{"r"}, Does: "the light says recording"},
	{Keys: []string{"s"}, Does: "the light says standby"},
	{Keys: []string{"o"}, Does: "the light says off"},
	{Keys: []string{"u"}, Does: "undo the last of these"},
	{Keys: []string{"?"}, Does: "this help"},
	{Keys: []string{"q q"}, Does: "quit, and print the flight"},
	{Keys: []string{"ctrl-c"}, Does: "quit at once, and print it"},
}

// Handle takes the next event and reports whether the screen continues.
func (l *Screen) Handle(event term.Event) bool {
	switch e := event.(type) {
	case term.ResizeEvent:
		l.width, l.height = e.Width, e.Height
	case term.KeyEvent:
		if !l.handleKey(e.Name) {
			return false
		}
	}
	l.look()
	l.wake = event.When() + longInterval
	if l.view.Phase != live.NoPress {
		l.wake = event.When() + shortInterval
	}
	return true
}

// Wake returns when to redraw.
func (l *Screen) Wake() sim.Micros { return l.wake }

func (l *Screen) handleKey(key string) bool {
	if key == "ctrl-c" || key == "q" && l.leaving {
		return false
	}
	l.message, l.leaving = "", false
	switch {
	case l.help.IsOpen:
		l.help.Turn(key, len(term.HelpPages(liveHelp, l.width, l.height)))
	case key == "?":
		l.help.Open()
	case key == "r":
		l.see(belief.LightRecording)
	case key == "s":
		l.see(belief.LightStandby)
	case key == "o":
		l.see(belief.LightOff)
	case key == "u":
		l.unsee()
	case key == "q":
		l.message, l.leaving = "q once more quits", true
	}
	return true
}
