package trainer

import (
	"math/rand/v2"

	"flicktally/sim"
)

// trial is one go at a task, in hand until it has a result. Like a step of the
// chain it is told what happens and when, and says when it acts by itself; a
// trial of every kind stands in a file of its own.
type trial interface {
	// what returns the kind of drill that the trial is of.
	what() Kind
	// needs returns the state of the camera in which the trial begins; "" for
	// standby or recording.
	needs() sim.StartState
	// due returns the next moment at which the trial acts by itself.
	due() sim.Micros
	// expire acts at that moment.
	expire(at sim.Micros)
	// hand takes an edge that the hand made.
	hand(at sim.Micros, pressed bool)
	// flick takes a flick that is over, and reports whether it belongs to the
	// trial.
	flick(f Flick) bool
	// answer takes the answer to the question.
	answer(at sim.Micros, yes bool)
	// show fills in what is to be shown at a moment.
	show(v *View, at sim.Micros)
	// result returns the result once there is one.
	result() (Result, bool)
}

// setting is what every trial is told: the rig, what to aim for, how hard it
// is to be.
type setting struct {
	kind       Kind
	rig        sim.Rig
	aim        sim.Micros
	level      int
	resolution sim.Micros
	chance     *rand.Rand
	state      func() sim.State // of the camera, as it is now
	now        sim.Micros       // when the trial is made; no cue comes before it
}

// between draws a time.
func (s *setting) between(low, high sim.Micros) sim.Micros {
	return low + sim.Micros(s.chance.Int64N(int64(high-low)+1))
}

// accepting reports whether the camera takes a press now.
func (s *setting) accepting() bool { return s.state().Accepts() }

// tolerance returns what the level allows.
func (s *setting) tolerance(easiest sim.Micros) sim.Micros {
	return tolerance(easiest, s.level, s.resolution)
}

// task is what all trials have in common: the cue, and the result. The cue
// comes after a wait of random length; a pilot may also begin without it.
type task struct {
	setting
	cueAt sim.Micros // Never once it has come
	cued  bool
	begun sim.Micros // the first press, or the cue; Never before
	out   Result
	done  bool
}

// Waits for a cue, and how long to wait again for a busy camera.
const (
	leastWait = 800 * sim.Millisecond
	mostWait  = 2500 * sim.Millisecond
	waitAgain = 100 * sim.Millisecond
)

func newTask(s setting) task {
	return task{setting: s, cueAt: s.now + s.between(leastWait, mostWait), begun: sim.Never}
}

func (t *task) what() Kind                     { return t.kind }
func (t *task) needs() sim.StartState          { return "" }
func (t *task) due() sim.Micros                { return t.cueAt }
func (t *task) expire(at sim.Micros)           { t.expireCue(at) }
func (t *task) answer(at sim.Micros, yes bool) {}
func (t *task) result() (Result, bool)         { return t.out, t.done }

// hand lets a press begin the trial, cue or not.
func (t *task) hand(at sim.Micros, pressed bool) {
	if pressed && t.begun == sim.Never {
		t.begin(at)
	}
}

func (t *task) begin(at sim.Micros) { t.begun, t.cueAt, t.cued = at, sim.Never, true }

// expireCue gives the cue, unless the camera would not take a press.
func (t *task) expireCue(at sim.Micros) {
	if !t.accepting() {
		t.cueAt = at + waitAgain
		return
	}
	t.cueAt, t.cued = sim.Never, true
}

// finish ends the trial with a result.
func (t *task) finish(at sim.Micros, r Result) {
	r.Kind, r.Level, r.Ended = t.kind, t.level, at
	r.Began = t.begun
	if r.Began == sim.Never {
		r.Began = at
	}
	t.out, t.done = r, true
}

// countable reports whether a flick can be judged at all: one while the camera
// was off is none.
func countable(f Flick) bool {
	return f.Verdict != sim.VerdictOff && f.Verdict != sim.VerdictWake && f.Verdict != sim.VerdictUnknown
}
