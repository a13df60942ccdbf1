package practice

import (
	"flicktally/sim"
	"flicktally/trainer/term"
)

// findPage waits for the pilot to move the switch, to find it among the
// transmitter's controls.
type findPage struct{ waiting }

func (*findPage) key(_ *Screen, e term.KeyEvent) bool { return e.Name != "q" }

func (*findPage) moved(p *Screen, _ sim.Micros, _ sim.PulseWidth) { p.begin() }

func (*findPage) help(*Screen) []term.HelpLine {
	return []term.HelpLine{{Keys: []string{"q"}, Does: "quit"}}
}
