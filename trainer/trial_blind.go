package trainer

import (
	"fmt"

	"flicktally/sim"
)

// blindTrial hides the tally, gives cues to flick, and asks at the end whether
// the camera is recording. A flick that did not toggle changes the right answer, as
// in flight.
type blindTrial struct {
	task
	flicks  int // required
	flicked int // so far
	missed  int // of those, how many did not toggle
	asking  bool
	close   bool // a hold was too close to the edge of the window to call
}

// answerWithin is how long the question waits for an answer.
const answerWithin = 5 * sim.Second

func newBlindTrial(s setting) trial {
	least := 2 + s.level/3
	return &blindTrial{task: newTask(s, sim.StartStandby), flicks: least + s.chance.IntN(3)}
}

func (t *blindTrial) flick(f Flick) bool {
	if t.tooEarly(f) {
		return true
	}
	t.flicked++
	if !f.Toggled() {
		t.missed++
	}
	t.close = t.close || f.TooClose
	t.cued = false
	if t.flicked >= t.flicks {
		t.asking, t.expires = true, f.Up+answerWithin
	} else {
		t.cueAt = f.Up + t.between(leastWait, mostWait)
	}
	return true
}

// expire gives the next cue whether the camera accepts a press or not: a pilot
// who cannot see the camera cannot wait for it.
func (t *blindTrial) expire(at sim.Micros) {
	switch {
	case at >= t.expires && t.asking && !t.pressed():
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "no answer within " + answerWithin.Readable()})
	case at >= t.expires || t.pressed():
		t.task.expire(at)
	default:
		t.cue(at)
	}
}

func (t *blindTrial) answer(at sim.Micros, yes bool) {
	if !t.asking {
		return
	}
	state := t.state()
	records := state == sim.StateRecording || state == sim.StateStarting
	is := "it is recording"
	if !records {
		is = "it is not recording"
	}
	words := fmt.Sprintf("%s: %d of %d flicks toggled", is, t.flicked-t.missed, t.flicked)
	t.finish(at, Result{Outcome: outcome(true, yes == records), Within: yes == records, Uncounted: t.close, Words: words})
}

func (t *blindTrial) show(v *View, at sim.Micros) {
	v.TallyHidden = true
	v.Hold.Shown = false
	v.Phase, v.Cue, v.Hint = PhaseWait, "Wait", "it started in standby; keep count"
	switch {
	case t.asking:
		v.Phase, v.Cue, v.Question = PhaseAsk, "", "Is the camera recording?"
	case t.cued:
		v.Phase, v.Cue = PhaseAct, "Flick"
	}
}
