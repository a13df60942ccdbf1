package trainer

import (
	"math/rand/v2"

	"flicktally/sim"
)

// trial is one attempt at a task, current until it has a result. Like a step of
// the chain, it takes events with their times and says when it acts by itself.
// Each kind of trial has its own file.
type trial interface {
	// what returns the trial's kind of drill.
	what() Kind
	// needs returns the state of the camera in which the trial begins; "" for
	// standby or recording.
	needs() sim.StartState
	// due returns the next moment at which the trial acts by itself.
	due() sim.Micros
	// expire acts at that moment.
	expire(at sim.Micros)
	// hand takes an edge made by the hand.
	hand(at sim.Micros, pressed bool)
	// moved takes a move of the switch that is not an edge.
	moved(at sim.Micros)
	// flick takes a finished flick, and reports whether it belongs to the
	// trial.
	flick(f Flick) bool
	// leave is called when the pilot pauses before the trial is over.
	leave(at sim.Micros)
	// answer takes the answer to the question.
	answer(at sim.Micros, yes bool)
	// show fills in what to show at a moment.
	show(v *View, at sim.Micros)
	// result returns the result once there is one.
	result() (Result, bool)
}

// setting is the input of every trial: the rig, the aim, the level.
type setting struct {
	kind       Kind
	rig        sim.Rig
	aim        sim.Micros
	level      int
	resolution sim.Micros
	chance     *rand.Rand
	state      func() sim.State // of the camera, as it is now
	pressed    func() bool      // whether the hand presses the switch now
	now        sim.Micros       // when the trial is made; no cue comes before it
}

// between draws a time.
func (s *setting) between(low, high sim.Micros) sim.Micros {
	return low + sim.Micros(s.chance.Int64N(int64(high-low)+1))
}

// accepting reports whether the camera takes a press now.
func (s *setting) accepting() bool { return s.state().Accepts() }

// goal returns the level's goal, given that of level 0.
func (s *setting) goal(easiest sim.Micros) goal { return newGoal(easiest, s.level, s.resolution) }

// task is the common part of all trials: the cue and the result. The cue comes
// after a random wait and expires; a press before it is early.
type task struct {
	setting
	cueAt   sim.Micros // Never once it has come
	cued    bool
	cuedAt  sim.Micros
	expires sim.Micros // when it is too late to continue; Never while nothing is required
	begun   sim.Micros // the first press; Never before
	early   bool       // a press came before its cue
	acted   sim.Micros // when the first flick of two took effect; Never before
	made    []sim.Span // the presses, from the first on; the last has To Never while held
	out     Result
	done    bool
}

// Waits for a cue, and how long to wait again for a busy camera.
const (
	leastWait = 800 * sim.Millisecond
	mostWait  = 2500 * sim.Millisecond
	waitAgain = 100 * sim.Millisecond
	// cueLasts is how long after a cue its flick may begin, and how much longer
	// than required a press may last.
	cueLasts = 2 * sim.Second
)

func newTask(s setting) task {
	return task{setting: s, cueAt: s.now + s.between(leastWait, mostWait), expires: sim.Never, begun: sim.Never, acted: sim.Never}
}

func (t *task) what() Kind                     { return t.kind }
func (t *task) needs() sim.StartState          { return "" }
func (t *task) due() sim.Micros                { return min(t.cueAt, t.expires) }
func (t *task) answer(at sim.Micros, yes bool) {}
func (t *task) moved(at sim.Micros)            {}
func (t *task) result() (Result, bool)         { return t.out, t.done }

// hand takes a press, on its cue or too early, and a release.
func (t *task) hand(at sim.Micros, pressed bool) { t.edge(at, pressed, t.aim) }

// edge takes an edge of a press with a required hold. If every move is a flick,
// the hand only decides when: its presses count as held for the required time.
func (t *task) edge(at sim.Micros, pressed bool, hold sim.Micros) {
	if !pressed && t.begun == sim.Never {
		return // of a press that belongs to the previous trial
	}
	t.cueAt, t.expires = sim.Never, sim.Never
	if !pressed {
		t.made[len(t.made)-1].To = at - t.begun
		return
	}
	if t.begun == sim.Never {
		t.begun = at
	}
	t.early = t.early || !t.cued
	made := sim.Span{From: at - t.begun, To: at - t.begun + hold}
	if t.pressed() {
		t.expires, made.To = at+hold+cueLasts, sim.Never
	}
	t.made = append(t.made, made)
}

// timeline shows the presses that are wanted, and those that were made of them.
func (t *task) timeline(wanted []sim.Span, at sim.Micros) *Timeline {
	line := &Timeline{Wanted: wanted, Made: t.made, Length: wanted[len(wanted)-1].To}
	if t.begun != sim.Never {
		line.At = at - t.begun
	}
	return line
}

// expire gives the cue, unless the camera would not accept a press or the
// switch already presses. If the cue has expired unused, it ends the trial.
func (t *task) expire(at sim.Micros) {
	switch {
	case at >= t.expires && t.early:
		t.finish(at, Result{Outcome: OutcomeEarly, Words: "before the cue; not released in time"})
	case at >= t.expires && t.pressed():
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "not released in time"})
	case at >= t.expires:
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "no flick within " + cueLasts.Readable() + " of the cue"})
	case !t.accepting() || t.pressed():
		t.cueAt = at + waitAgain
	default:
		t.cue(at)
	}
}

// cue gives a cue.
func (t *task) cue(at sim.Micros) {
	t.cueAt, t.cued, t.cuedAt, t.expires = sim.Never, true, at, at+cueLasts
}

// tooEarly ends the trial if a flick did not wait for its cue.
func (t *task) tooEarly(f Flick) bool {
	if !t.early && t.cued && f.Down >= t.cuedAt {
		return false
	}
	if t.begun == sim.Never {
		t.begun = f.Down
	}
	t.finish(f.Up, Result{Outcome: OutcomeEarly, Words: "before the cue; " + f.Words()})
	return true
}

// cannotJudge ends the trial if the camera was off or the input may have
// decided the verdict.
func (t *task) cannotJudge(f Flick) bool {
	if countable(f) && !f.TooClose {
		return false
	}
	t.finish(f.Up, Result{Outcome: OutcomeMissed, Uncounted: true, Words: f.Words()})
	return true
}

// second takes a flick of two, and reports whether it is the second and toggles:
// so long after the first it is due. What failed says which of them did not.
func (t *task) second(f Flick, due sim.Micros, failed [2]string) bool {
	which := 0
	if t.acted != sim.Never {
		which = 1
	}
	switch {
	case t.tooEarly(f), t.cannotJudge(f):
	case !f.Toggled():
		t.finish(f.Up, Result{Outcome: OutcomeMissed, Words: failed[which] + f.Words()})
	case which == 0:
		t.acted = f.Acts()
		if !t.pressed() {
			t.expires = t.acted + due + cueLasts
		}
	default:
		return true
	}
	return false
}

// leave ends the trial that the hand has begun, for the pilot pauses.
func (t *task) leave(at sim.Micros) {
	switch {
	case t.done || t.begun == sim.Never:
	case t.early:
		t.finish(at, Result{Outcome: OutcomeEarly, Words: "before the cue; not finished"})
	default:
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "not finished"})
	}
}

// finish ends the trial with a result.
func (t *task) finish(at sim.Micros, r Result) {
	r.Right = r.Outcome == OutcomeRight
	r.Kind, r.Level, r.Ended = t.kind, t.level, at
	r.Began = t.begun
	if r.Began == sim.Never {
		r.Began = at
	}
	t.out, t.done = r, true
}

// countable reports whether a flick can be judged: not while the camera was
// off.
func countable(f Flick) bool {
	return f.Verdict != sim.VerdictOff && f.Verdict != sim.VerdictWake && f.Verdict != sim.VerdictUnknown
}
