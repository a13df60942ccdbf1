package practice

import (
	"flicktally/sim"
	"flicktally/trainer"
)

// A pilot who has never practised and names no drill starts with a minute in which
// the screen explains how to press and release.

// guideLasts is the length of the guided drill.
const guideLasts = sim.Minute

// beginner reports whether the pilot has never practised on this rig with this
// device, and this is not a flight review.
func (p *Screen) beginner() bool {
	return !p.guided && len(p.known.Last) == 0 && !p.known.Practised && len(p.setup.Review) == 0
}

// guide says how to press and release.
func (in *input) guide() string {
	switch {
	case in.device && in.everyMove:
		return "on cue: move the switch once"
	case in.device:
		return "on cue: move the switch there and back"
	case in.everyMove:
		return "on cue: tap space once"
	case in.releases:
		return "on cue: hold space, then let go"
	default:
		return "on cue: space = press, again = release"
	}
}

// releaseWords returns the prompt to release.
func (in *input) releaseWords() string {
	switch {
	case in.device:
		return "Back"
	case in.releases:
		return "Let go"
	default:
		return "Tap again"
	}
}

// pastAim reports whether the current hold has reached the aim.
func pastAim(v trainer.View) bool {
	return v.Hold.Holding && v.Hold.Aim > 0 && v.Hold.Hold >= v.Hold.Aim
}
