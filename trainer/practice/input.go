package practice

import (
	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// Handle handles the next event and reports whether practice continues.
func (p *Screen) Handle(event term.Event) bool {
	p.pauseAfterStop(event.When())
	p.now = max(p.now, event.When())
	if p.page == nil {
		p.begin()
	}
	running := true
	switch e := event.(type) {
	case term.ResizeEvent:
		p.width, p.height = e.Width, e.Height
	case term.KeyboardEvent:
		p.input.releases = e.Releases && !p.input.everyMove
	case term.KeyEvent:
		running = p.handleKey(e)
	case term.SourceEvent:
		p.handleSwitch(e)
	}
	p.page.tick(p)
	p.rings = p.bell.tick(p.now)
	if p.sound() {
		p.rings = true
	}
	p.wake = min(p.page.wake(p), p.bell.wake(), p.tone.due)
	return running
}

// Wake returns when practice wants its next tick.
func (p *Screen) Wake() sim.Micros { return p.wake }

// Ring reports whether the last event rings the bell.
func (p *Screen) Ring() bool { return p.rings }

// sound makes the tone follow the current hold, and reports whether it sounds now.
func (p *Screen) sound() bool {
	var v trainer.View
	var aim sim.Micros
	if d, drilling := p.page.(*drillPage); drilling && p.tone.on {
		v, aim = d.drill.View(p.now), d.drill.Aim()
	}
	return p.tone.follow(p.now, v, aim)
}

// latestTick is how late a tick may come on a busy machine.
const latestTick = sim.Second

// pauseAfterStop pauses a drill if the program was stopped, by a shell or because
// the machine slept. The pause starts at the stop.
func (p *Screen) pauseAfterStop(at sim.Micros) {
	if p.wake == sim.Never || at < p.wake+latestTick {
		return
	}
	if d, drilling := p.page.(*drillPage); drilling {
		d.interrupt(p, "the program was suspended")
	}
}

// commonHelp are the keys of every page.
var commonHelp = []term.HelpLine{
	{Keys: []string{"b"}, Does: "bell on verdicts: on, off"},
	{Keys: []string{"?"}, Does: "this help"},
	{Keys: []string{"ctrl-c"}, Does: "quit at once, keep results"},
}

func (p *Screen) helpPages() [][]term.HelpLine {
	return term.HelpPages(append(p.page.help(p), commonHelp...), p.width, p.height)
}

// HoldsKeys reports whether a key is the switch, so that the length of its hold
// matters.
func (p *Screen) HoldsKeys() bool { return !p.input.device }

func (p *Screen) handleKey(e term.KeyEvent) bool {
	isSwitch := e.Name == "space" && !p.input.device
	if e.Kind != term.KeyPressed && (!isSwitch || p.help.IsOpen) {
		return true
	}
	d, drilling := p.page.(*drillPage)
	switch {
	case e.Name == "ctrl-c":
		return false
	case p.help.IsOpen && !(drilling && isSwitch):
		p.help.Turn(e.Name, len(p.helpPages()))
	case e.Name == "?":
		if drilling {
			d.pause(p)
		}
		p.help.Open()
	case e.Name == "b":
		p.bell.on = !p.bell.on
		p.bell.ring(1, p.now)
	default:
		return p.page.key(p, e)
	}
	return true
}

// bell rings a number of times, one after the other. It is silent while off.
type bell struct {
	on   bool
	left int
	due  sim.Micros
}

const ringsApart = 200 * sim.Millisecond

func (b *bell) ring(times int, at sim.Micros) {
	if b.on {
		b.left, b.due = times, at
	}
}

// tick reports whether the bell rings now.
func (b *bell) tick(at sim.Micros) bool {
	if b.left == 0 || at < b.due {
		return false
	}
	b.left--
	b.due = at + ringsApart
	return true
}

func (b *bell) wake() sim.Micros {
	if b.left == 0 {
		return sim.Never
	}
	return b.due
}
