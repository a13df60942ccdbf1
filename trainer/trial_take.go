package trainer

import (
	"fmt"

	"flicktally/sim"
)

// countsAlone is the level from which the timeline does not run: the pilot counts,
// as in flight.
const countsAlone = 2

// takeTrial asks for a take of a given length: a flick that starts it, and one
// that stops it.
type takeTrial struct {
	task
	length sim.Micros
}

// A take is right within the greater of the two.
const (
	takeAllows      = 0.15 // of the length
	takeAllowsLeast = 500 * sim.Millisecond
)

// allows returns how far off its length the take may be.
func (t *takeTrial) allows() sim.Micros { return max(takeAllowsLeast, part(t.length, takeAllows)) }

func newTakeTrial(s setting) trial {
	lengths := []sim.Micros{3 * sim.Second, 4 * sim.Second, 5 * sim.Second, 7 * sim.Second}
	return &takeTrial{task: newTask(s, sim.StartStandby), length: lengths[s.chance.IntN(len(lengths))]}
}

func (t *takeTrial) flick(f Flick) bool {
	if t.second(f, t.rig.Camera.StartDelay+t.length, [2]string{"the take did not start: ", "the take did not stop: "}) {
		off := f.Took - t.length
		r := Result{Outcome: outcome(true, max(off, -off) <= t.allows())}
		r.score(off, t.goal(t.allows()), t.resolution)
		r.Words = fmt.Sprintf("a take of %s: %s", f.Took.Readable(), offWords(r.Off, sim.Micros.Readable))
		t.finish(f.Up, r)
	}
	return true
}

func (t *takeTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue, v.Hint = PhaseWait, "Wait", "let it run for "+t.length.Readable()
	switch {
	case t.acted != sim.Never:
		v.Phase, v.Cue, v.Hint = PhaseAct, "Stop it", "stop it after "+t.length.Readable()
	case t.cued:
		v.Phase, v.Cue = PhaseAct, "Start a take"
	}
	v.Hold.Aim = t.aim
	v.TakeFor = 0 // the pilot counts, as in flight
	starts := t.rig.Camera.StartDelay + t.length
	v.Timeline = t.timeline([]sim.Span{{From: 0, To: t.aim}, {From: starts, To: starts + t.aim}}, at)
	if t.level >= countsAlone {
		v.Timeline.At = 0
	}
}
