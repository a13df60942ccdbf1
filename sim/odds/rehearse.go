package odds

import (
	"math/rand/v2"
	"slices"

	"flicktally/sim"
)

// rehearsal plays flicks through the real chain, move by move, as no simpler model
// is right if a flick can break up on its way.
type rehearsal struct {
	c           Case
	hold        sim.Micros
	rest, press sim.PulseWidth
	after       sim.Micros // the longest time until the last move has had its effect
}

// newRehearsal takes a case that passes [Case.Check].
func newRehearsal(c Case, hold sim.Micros) *rehearsal {
	rest, press, err := c.Rig.RestAndPress()
	if err != nil {
		panic("internal error: " + err.Error())
	}
	c.Rig.Camera.Start = sim.StartStandby
	rig := c.Rig
	after := rig.Switch.Settle + rig.OneShot.Width + rig.Camera.DoubleWithin + 2*rig.Line.Update + rig.Line.Delay +
		rig.Camera.MinGap + rig.Camera.StartDelay + 1
	if rig.Link.Frame > 0 {
		frames := 2 + lateFrames(rig.Link.Loss)
		after += sim.Micros(frames) * rig.Link.Frame
	}
	return &rehearsal{c, hold, rest, press, after}
}

// flick draws a flick and returns its outcome.
func (r *rehearsal) flick(l *luck, w sim.Window) Outcome {
	pilot := &r.c.Pilot
	hold := l.hold(pilot, float64(r.hold+pilot.Shift), pilot.Spread.at(r.hold))
	phase, refresh := below(r.c.Rig.Link.Frame, l.frames), below(r.c.Rig.Line.Update, l.refreshes)
	moves := r.moves(hold, l)
	chain := sim.NewLinkedChain(r.c.Rig, w, r.rest, phase, l.losses)
	end := r.start()
	for i, at := range moves {
		end = r.start() + refresh + at
		value := r.press
		if i%2 == 1 {
			value = r.rest
		}
		chain.Move(end, value)
	}
	return outcomeOf(chain.Finish(end + r.after))
}

// start returns the earliest time of the press: after at least one frame.
func (r *rehearsal) start() sim.Micros { return r.c.Rig.Link.Frame + 1 }

// moves returns when the switch is pressed, released, pressed, and so on. Each
// move of the hand may bounce once: the contact opens again for a part of a
// time that is uniform from 0 to Bounce.
func (r *rehearsal) moves(hold sim.Micros, l *luck) []sim.Micros {
	bounce := r.c.Pilot.Bounce
	var moves []sim.Micros
	if hold > 0 || !r.c.HoldMatters() {
		moves = append(moves, 0)
	}
	if bounce > 0 && len(moves) > 0 {
		moves = append(moves, opens(bounce, l.bounces)...)
	}
	if !r.c.HoldMatters() || len(moves) == 0 {
		return moves
	}
	moves = append(moves, hold)
	if bounce > 0 {
		for _, at := range opens(bounce, l.bounces) {
			moves = append(moves, hold+at)
		}
	}
	slices.Sort(moves) // a release during the press's bounce ends it
	return moves
}

// opens draws when a bouncing contact changes and changes back.
func opens(bounce sim.Micros, r *rand.Rand) []sim.Micros {
	lasts := below(bounce+1, r)
	a, b := below(lasts+1, r), below(lasts+1, r)
	return []sim.Micros{min(a, b), max(a, b)}
}

// outcomeOf returns the outcome of a flick from its replay.
func outcomeOf(r *sim.Replay) Outcome {
	final := r.States[len(r.States)-1].State
	long := slices.ContainsFunc(r.Presses, func(p sim.Press) bool { return p.Verdict == sim.VerdictLong })
	switch {
	case len(r.Presses) == 0:
		return Missed
	case len(r.Toggles) == 1 && final == sim.StateRecording:
		return Toggles
	case long:
		return Long
	case len(r.Toggles) > 1:
		return Twice
	default:
		return Short
	}
}
