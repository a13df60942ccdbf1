package rigcheck

import "flicktally/sim"

// Figures are what works with a rig, at the narrowest press window that it
// allows and at every phase of link and line.
type Figures struct {
	// Holds are the holds of the switch that are certain to toggle, both ends
	// included. High is [sim.Never] if no hold is too long. Low is above High if
	// no hold is certain.
	Holds sim.Interval
	// SingleMove: each move of the switch toggles; Holds then means nothing.
	SingleMove bool
	// Stop is the shortest time from the start of a flick that starts a take to
	// the start of one that stops it; Restart is the same from a stop to a
	// start. They are [sim.Never] if the second flick never works.
	Stop, Restart sim.Micros
}

// HoldsText writes holds that toggle: "holds from 80 ms to below 1500 ms".
func HoldsText(holds sim.Interval) string {
	if holds.High == sim.Never {
		return "holds of " + holds.Low.Rounded() + " and longer"
	}
	return "holds from " + holds.Low.Rounded() + " to below " + (holds.High + 1).Rounded()
}

func (p probe) figures() Figures {
	f := Figures{Holds: p.holds(), SingleMove: p.rig.OneShot.Trigger == sim.TriggerBoth}
	hold, _ := p.rig.Aim() // with single moves the hold does not matter
	f.Stop = p.spacing(hold, sim.StateStandby)
	f.Restart = p.startingIn(sim.StartRecording).spacing(hold, sim.StateRecording)
	return f
}

// holds returns the holds that toggle at every phase; if both edges of the
// switch start a pulse, the time that one of them needs.
func (p probe) holds() sim.Interval {
	rig := p.rig
	if rig.OneShot.Trigger == sim.TriggerBoth {
		rig.OneShot.Trigger = sim.TriggerRising
	}
	switch band, _ := rig.CertainBand(); {
	case band.From >= band.To:
		return sim.Interval{Low: sim.Never, High: 0}
	case band.To == sim.Never:
		return sim.Interval{Low: band.From, High: sim.Never}
	default:
		return sim.Interval{Low: band.From, High: band.To - 1}
	}
}

// spacing finds the shortest time between the starts of two flicks with the
// given hold such that the second brings the camera into a state.
func (p probe) spacing(hold sim.Micros, state sim.State) sim.Micros {
	works := func(apart sim.Micros) bool {
		for _, at := range p.phases() {
			if !ends(p.play(at, p.rest, p.acts(hold, 0, apart)...), 2, state) {
				return false
			}
		}
		return true
	}
	if hold >= sim.MaxDuration {
		return sim.Never
	}
	if shortest, ok := smallest(hold+1, hold+p.settled(), works); ok {
		return shortest
	}
	return sim.Never
}

// safeWidth returns a width of the one-shot's pulse, in the middle of the press
// window, and whether it toggles at every phase.
func safeWidth(rig sim.Rig, spec sim.OneShotSpec) (sim.Micros, bool) {
	spec.Width = rig.Camera.OneShotWidth()
	rig.OneShot = spec
	return spec.Width, newProbe(rig, 0).everyPhase(slowFlick, started)
}
