package practice

import (
	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
)

// Handle takes the next event and reports whether practice goes on.
func (p *Screen) Handle(event term.Event) bool {
	p.heedStandstill(event.When())
	p.now = max(p.now, event.When())
	if p.page == nil {
		p.begin()
	}
	goOn := true
	switch e := event.(type) {
	case term.ResizeEvent:
		p.width, p.height = e.Width, e.Height
	case term.KeyboardEvent:
		p.input.releases = e.Releases && !p.input.everyMove
	case term.KeyEvent:
		goOn = p.handleKey(e)
	case term.SourceEvent:
		p.handleSwitch(e)
	}
	p.page.tick(p)
	p.bell.tick(p.now)
	p.sound()
	p.wake = min(p.page.wake(p), p.bell.wake(), p.tone.due)
	return goOn
}

// Wake returns when practice wants its next tick.
func (p *Screen) Wake() sim.Micros { return p.wake }

// Ring reports whether the bell should ring now.
func (p *Screen) Ring() bool {
	rings := p.bell.take()
	return p.tone.take() || rings
}

// sound makes the tone follow the current hold.
func (p *Screen) sound() {
	var v trainer.View
	var aim sim.Micros
	if d, drilling := p.page.(*drillPage); drilling && p.tone.on {
		v, aim = d.drill.View(p.now), d.drill.Aim()
	}
	p.tone.follow(p.now, v, aim)
}

// standstill is how late a tick may come on a busy machine.
const standstill = sim.Second

// heedStandstill pauses a drill if the program was stopped, by a shell or because
// the machine slept. The pause begins at the moment of the stop.
func (p *Screen) heedStandstill(at sim.Micros) {
	if p.wake == sim.Never || at < p.wake+standstill {
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
	lines := append(append([]term.HelpLine{}, p.page.help(p)...), commonHelp...)
	return term.HelpPages(lines, p.width, p.height)
}

// HoldsKeys reports whether a key is the switch, so that the length of its hold
// matters.
func (p *Screen) HoldsKeys() bool { return !p.input.device }

func (p *Screen) handleKey(e term.KeyEvent) bool {
	if e.Kind != term.KeyPressed {
		return p.handleHeld(e)
	}
	switch {
	case e.Name == "ctrl-c":
		return false
	case p.help.IsOpen && !p.isSwitch(e):
		p.help.Turn(e.Name, len(p.helpPages()))
	case e.Name == "?":
		if d, drilling := p.page.(*drillPage); drilling {
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

// isSwitch reports whether a key is the switch of a running drill.
func (p *Screen) isSwitch(e term.KeyEvent) bool {
	_, drilling := p.page.(*drillPage)
	return drilling && e.Name == "space" && !p.input.device
}

// handleHeld takes a repeat or a release: they matter if the key is the switch.
func (p *Screen) handleHeld(e term.KeyEvent) bool {
	if e.Name != "space" || p.help.IsOpen {
		return true
	}
	switch page := p.page.(type) {
	case *drillPage, *measurePage:
		return page.key(p, e)
	}
	return true
}

// bell rings a number of times, one after the other. It is silent while off.
type bell struct {
	on   bool
	left int
	due  sim.Micros
	now  bool // it should ring
}

const ringsApart = 200 * sim.Millisecond

func (b *bell) ring(times int, at sim.Micros) {
	if b.on {
		b.left, b.due = times, at
	}
}

func (b *bell) tick(at sim.Micros) {
	if b.left > 0 && at >= b.due {
		b.left--
		b.due = at + ringsApart
		b.now = true
	}
}

func (b *bell) wake() sim.Micros {
	if b.left == 0 {
		return sim.Never
	}
	return b.due
}

func (b *bell) take() bool {
	rings := b.now
	b.now = false
	return rings
}
