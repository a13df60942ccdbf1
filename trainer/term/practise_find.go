package term

import "flicktally/sim"

// findPage waits for the pilot to move the switch, to find it among the
// transmitter's controls.
type findPage struct{}

func (*findPage) key(_ *Practise, e KeyEvent) bool { return e.Name != "q" }

func (*findPage) moved(p *Practise, _ sim.Micros, _ sim.PulseWidth) { p.begin() }

func (*findPage) tick(*Practise) {}

func (*findPage) wake(*Practise) sim.Micros { return sim.Never }

func (*findPage) help(*Practise) []helpLine { return []helpLine{{[]string{"q"}, "quit"}} }
