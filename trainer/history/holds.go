package history

import (
	"flicktally/sim"
	"flicktally/sim/habit"
	"flicktally/trainer"
)

// recentFlicks is how many flicks of practice are used: a spread changes with
// practice.
const recentFlicks = 100

// Holds returns the latest holds in drills of single flicks on a rig, with the
// device last used on it; none and "" if there was no practice on it.
func (h *History) Holds(rig sim.Rig) (held []habit.Held, device string) {
	h.Recognise(rig)
	hash := RigHash(rig)
	profiles := h.Only(func(d *Drill) bool { return d.RigHash == hash }).Profiles()
	if len(profiles) == 0 {
		return nil, ""
	}
	latest := profiles[len(profiles)-1]
	for _, d := range latest.Drills {
		switch d.Kind {
		case trainer.KindFlick, trainer.KindSteady, trainer.KindTake, trainer.KindBlind:
			for _, flick := range d.Flicks {
				if flick.Hold() > 0 { // no hold if every move is a flick
					held = append(held, habit.Held{Hold: flick.Hold(), DownUnseen: d.Resolution, UpUnseen: d.Resolution})
				}
			}
		}
	}
	return held[max(0, len(held)-recentFlicks):], latest.Device
}
