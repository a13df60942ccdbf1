package history

import (
	"flicktally/sim"
	"flicktally/sim/habit"
	"flicktally/trainer"
)

// recentFlicks is how many flicks [History.Holds] returns at most, as a hand's spread
// changes with practice.
const recentFlicks = 100

// Holds returns the latest holds of drills of single flicks on a rig, and the device
// that was last used with it; none and "" without practice on the rig.
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
				if flick.Hold() > 0 { // without a hold, every move is a flick
					held = append(held, habit.Held{Hold: flick.Hold(), DownUnseen: d.Resolution, UpUnseen: d.Resolution})
				}
			}
		}
	}
	return held[max(0, len(held)-recentFlicks):], latest.Device
}
