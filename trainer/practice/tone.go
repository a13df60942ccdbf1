package practice

import (
	"flicktally/sim"
	"flicktally/trainer"
)

// tone rings the terminal's bell while the switch is pressed: slowly up to the aim,
// once at the aim, and fast beyond it. A terminal has no other sound. It fades out
// at higher levels, since there is no tone in flight.
type tone struct {
	on   bool
	upTo sim.Micros // the current hold when it last sounded; negative before
	due  sim.Micros // when it sounds next, on the clock of the session; Never if it does not
}

const (
	toneSlow = 250 * sim.Millisecond
	toneFast = 100 * sim.Millisecond
	// toneLasts is how long it sounds beyond the aim.
	toneLasts = sim.Second
	// The levels from which it sounds only at the aim, and not at all.
	toneAimOnly = 3
	toneSilent  = 6
)

// follow follows the current hold, and reports whether the tone sounds now.
func (t *tone) follow(now sim.Micros, v trainer.View, aim sim.Micros) (sounds bool) {
	t.due = sim.Never
	if !t.on || !v.Hold.Holding {
		t.upTo = -1
		return false
	}
	if v.Hold.Hold >= toneAfter(t.upTo, aim, v.Level) {
		sounds, t.upTo = true, v.Hold.Hold
	}
	if next := toneAfter(t.upTo, aim, v.Level); next != sim.Never {
		t.due = now + next - v.Hold.Hold
	}
	return sounds
}

// toneAfter returns the hold at which the tone sounds next.
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
