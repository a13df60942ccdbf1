package term

import (
	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
)

// How often the picture is renewed: seldom enough to be calm, and more often
// while a press runs towards its deadline.
const (
	calmly  = 100 * sim.Millisecond
	closely = 40 * sim.Millisecond
)

// liveHelp lists the keys of the screen.
var liveHelp = []helpLine{
	{[]string{"r"}, "the light says recording"},
	{[]string{"s"}, "the light says standby"},
	{[]string{"o"}, "the light says off"},
	{[]string{"u"}, "take the last of these back"},
	{[]string{"?"}, "this help"},
	{[]string{"q q"}, "quit, and print the flight"},
	{[]string{"ctrl-c"}, "quit at once, and print it"},
}

// Handle takes the next event and reports whether the screen goes on.
func (l *Live) Handle(event Event) bool {
	switch e := event.(type) {
	case ResizeEvent:
		l.width, l.height = e.Width, e.Height
	case KeyEvent:
		if !l.handleKey(e.Name) {
			return false
		}
	}
	l.look()
	l.wake = event.When() + calmly
	if l.view.Phase != live.NoPress {
		l.wake = event.When() + closely
	}
	return true
}

// Wake returns when the picture is to be renewed.
func (l *Live) Wake() sim.Micros { return l.wake }

func (l *Live) handleKey(key string) bool {
	if key == "ctrl-c" || key == "q" && l.leaving {
		return false
	}
	l.message, l.leaving = "", false
	switch {
	case l.help.isOpen:
		l.help.turn(key, len(helpPages(liveHelp, l.width, l.height)))
	case key == "?":
		l.help.open()
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
