package trainer

import (
	"fmt"

	"flicktally/sim"
)

// countsAlone is the level from which the time of a take is not shown: the pilot
// counts, as in flight.
const countsAlone = 2

// takeTrial asks for a take of a given length: a flick that starts it, and one
// that stops it.
type takeTrial struct {
	task
	length  sim.Micros
	started bool
	hint    string
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
	return &takeTrial{task: newTask(s), length: lengths[s.chance.IntN(len(lengths))]}
}

func (t *takeTrial) needs() sim.StartState { return sim.StartStandby }

func (t *takeTrial) flick(f Flick) bool {
	switch {
	case t.tooEarly(f), t.cannotJudge(f):
	case !f.Toggled():
		t.finish(f.Up, Result{Outcome: OutcomeMissed, Words: t.failure() + f.Words()})
	case !t.started:
		t.started = true
		if !t.pressed() {
			t.expires = f.Acts() + t.rig.Camera.StartDelay + t.length + cueLasts
		}
		t.hint = "it runs: stop it after " + t.length.Readable()
	default:
		off := f.Took - t.length
		r := Result{Outcome: toggledOr(true, max(off, -off) <= t.allows())}
		r.score(off, t.goal(t.allows()), t.resolution)
		more, less := t.kind.moreAndLess()
		r.Words = fmt.Sprintf("a take of %s: %s", f.Took.Readable(), offWords(r.Off, sim.Micros.Readable, more, less))
		t.finish(f.Up, r)
	}
	return true
}

func (t *takeTrial) failure() string {
	if t.started {
		return "the take did not stop: "
	}
	return "the take did not start: "
}

func (t *takeTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue, v.Hint = PhaseWait, "Wait", t.hint
	switch {
	case t.started:
		v.Phase, v.Cue = PhaseAct, "Stop it"
	case t.cued:
		v.Phase, v.Cue = PhaseAct, "Start a take"
	}
	if !t.started {
		v.Hint = "it is to run " + t.length.Readable()
	}
	v.Hold.Aim = t.aim
	v.TakeFor = 0 // the pilot counts, as in flight
	starts := t.rig.Camera.StartDelay + t.length
	v.Timeline = t.timeline([]sim.Span{{From: 0, To: t.aim}, {From: starts, To: starts + t.aim}}, at)
	if t.level >= countsAlone {
		v.Timeline.At = 0
	}
}
