package trainer

import (
	"math/rand/v2"

	"flicktally/sim"
)

// trial is one attempt at a task, current until it has a result. Like a step of
// the chain, it is fed events with their times and has a deadline of its own.
// Each kind of trial has its own file.
type trial interface {
	what() Kind
	// needs returns the state of the camera in which the trial starts; "" for
	// standby or recording.
	needs() sim.StartState
	// due returns the trial's next deadline.
	due() sim.Micros
	// expire is called at the deadline.
	expire(at sim.Micros)
	// hand is called for every edge made by the hand.
	hand(at sim.Micros, pressed bool)
	// moved is called for every move of the switch that is not an edge.
	moved(at sim.Micros)
	// flick handles a finished flick, and reports whether it belongs to the
	// trial.
	flick(f Flick) bool
	// leave is called when the pilot pauses before the trial is over.
	leave(at sim.Micros)
	// answer handles the answer to the question.
	answer(at sim.Micros, yes bool)
	// show fills in what to show at a moment.
	show(v *View, at sim.Micros)
	// result returns the result once there is one.
	result() (Result, bool)
}

// newTrials has the constructor for each kind of trial.
var newTrials = map[Kind]func(setting) trial{
	KindFlick: newFlickTrial, KindSteady: newFlickTrial, KindTake: newTakeTrial, KindCut: newCutTrial,
	KindPattern: newPatternTrial, KindBlind: newBlindTrial, KindHandsOff: newHandsOffTrial,
}

// setting is the input of every trial.
type setting struct {
	kind       Kind
	level      int
	mistake    string // that the trial repeats, in a review
	rig        sim.Rig
	aim        sim.Micros
	patterns   []Pattern
	resolution sim.Micros
	chance     *rand.Rand
	state      func() sim.State // of the camera now
	pressed    func() bool      // whether the hand presses the switch now
	now        sim.Micros       // when the trial is made; its cue comes later
}

// between draws a time from low to high, both included.
func (s *setting) between(low, high sim.Micros) sim.Micros {
	return low + sim.Micros(s.chance.Int64N(int64(high-low)+1))
}

// goal returns the level's goal, given that of level 0.
func (s *setting) goal(easiest sim.Micros) goal { return newGoal(easiest, s.level, s.resolution) }

// task is the common part of all trials: the cue and the result. The cue comes
// after a random wait and expires; a press before it is early.
type task struct {
	setting
	start   sim.StartState // see needs
	cueAt   sim.Micros     // when the cue is due; Never once it has come
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

// The wait for a cue, and the further wait while the camera is busy.
const (
	leastWait = 800 * sim.Millisecond
	mostWait  = 2500 * sim.Millisecond
	waitAgain = 100 * sim.Millisecond
	// cueLasts is how long after a cue its flick may start, and how much longer
	// than required a press may last.
	cueLasts = 2 * sim.Second
)

func newTask(s setting, start sim.StartState) task {
	return task{setting: s, start: start, cueAt: s.now + s.between(leastWait, mostWait), expires: sim.Never, begun: sim.Never, acted: sim.Never}
}

func (t *task) what() Kind                     { return t.kind }
func (t *task) needs() sim.StartState          { return t.start }
func (t *task) due() sim.Micros                { return min(t.cueAt, t.expires) }
func (t *task) answer(at sim.Micros, yes bool) {}
func (t *task) moved(at sim.Micros)            {}
func (t *task) result() (Result, bool)         { return t.out, t.done }

// hand handles a press, on cue or too early, and its release.
func (t *task) hand(at sim.Micros, pressed bool) { t.edge(at, pressed, t.aim) }

// edge handles an edge of a press with a required hold. If every move is a
// flick, its presses count as held for the required time.
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

// timeline shows the wanted presses, and those made so far.
func (t *task) timeline(wanted []sim.Span, at sim.Micros) *Timeline {
	line := &Timeline{Wanted: wanted, Made: t.made, Length: wanted[len(wanted)-1].To}
	if t.begun != sim.Never {
		line.At = at - t.begun
	}
	return line
}

// expire gives the cue, or puts it off while the camera would not accept a press
// or the switch already presses. If a cue has expired, it ends the trial.
func (t *task) expire(at sim.Micros) {
	switch {
	case at >= t.expires && t.early:
		t.finish(at, Result{Outcome: OutcomeEarly, Words: "before the cue; not released in time"})
	case at >= t.expires && t.pressed():
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "not released in time"})
	case at >= t.expires:
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "no flick within " + cueLasts.Readable() + " of the cue"})
	case !t.state().Accepts() || t.pressed():
		t.cueAt = at + waitAgain
	default:
		t.cue(at)
	}
}

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

// cannotJudge ends the trial, uncounted, if the camera was off or the input may
// have decided the verdict.
func (t *task) cannotJudge(f Flick) bool {
	if countable(f) && !f.TooClose {
		return false
	}
	t.finish(f.Up, Result{Outcome: OutcomeMissed, Uncounted: true, Words: f.Words()})
	return true
}

// second handles a flick of a trial that asks for two, and reports whether it is
// the second and toggles. The second is due so long after the first has acted.
// failed has the words for a first and for a second flick that does not toggle.
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
		t.acted = f.acts()
		if !t.pressed() {
			t.expires = t.acted + due + cueLasts
		}
	default:
		return true
	}
	return false
}

// leave ends a trial that the hand has begun, as the pilot pauses.
func (t *task) leave(at sim.Micros) {
	switch {
	case t.done || t.begun == sim.Never:
	case t.early:
		t.finish(at, Result{Outcome: OutcomeEarly, Words: "before the cue; not finished"})
	default:
		t.finish(at, Result{Outcome: OutcomeMissed, Words: "not finished"})
	}
}

func (t *task) finish(at sim.Micros, r Result) {
	r.Right = r.Outcome == OutcomeRight
	r.Kind, r.Level, r.Ended = t.kind, t.level, at
	r.Began = t.begun
	if r.Began == sim.Never {
		r.Began = at
	}
	t.out, t.done = r, true
}

// countable reports whether a flick can be judged: not if the camera was off.
func countable(f Flick) bool {
	return f.Verdict != sim.VerdictOff && f.Verdict != sim.VerdictWake && f.Verdict != sim.VerdictUnknown
}
