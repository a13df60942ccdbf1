package practice

import (
	"flicktally/sim"
	"flicktally/trainer"
)

// tone rings the terminal's bell while the switch is pressed: slowly up to the
// aim, once at the aim, and fast beyond it. A terminal has no other sound. At
// higher levels the tone ends, since there is none in the air.
type tone struct {
	on   bool
	upTo sim.Micros // part of the current hold for which it has sounded; negative before
	due  sim.Micros // on the clock of the session; Never while nothing sounds
	now  bool       // it should ring
}

const (
	toneSlow = 250 * sim.Millisecond
	toneFast = 100 * sim.Millisecond
	// toneLasts is how long it sounds beyond the aim.
	toneLasts = sim.Second
	// From these levels on it sounds only at the aim, and not at all.
	toneAimOnly = 3
	toneSilent  = 6
)

// follow makes the tone sound for the current hold.
func (t *tone) follow(now sim.Micros, v trainer.View, aim sim.Micros) {
	t.due = sim.Never
	if !t.on || !v.Hold.Holding {
		t.upTo = -1
		return
	}
	if v.Hold.Hold >= toneAfter(t.upTo, aim, v.Level) {
		t.now, t.upTo = true, v.Hold.Hold
	}
	if next := toneAfter(t.upTo, aim, v.Level); next != sim.Never {
		t.due = now + next - v.Hold.Hold
	}
}

// toneAfter returns the length of the hold at which it sounds next.
func toneAfter(upTo, aim sim.Micros, level int) sim.Micros {
	switch {
	case level >= toneSilent:
		return sim.Never
	case upTo < 0 && level < toneAimOnly:
		return 0
	case upTo < aim && level >= toneAimOnly:
		return aim
	case upTo < aim:
		return min(aim, (upTo/toneSlow+1)*toneSlow)
	case level >= toneAimOnly || upTo >= aim+toneLasts:
		return sim.Never
	default:
		return aim + ((upTo-aim)/toneFast+1)*toneFast
	}
}

func (t *tone) take() bool {
	rings := t.now
	t.now = false
	return rings
}
