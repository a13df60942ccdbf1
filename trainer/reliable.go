package trainer

import (
	"fmt"

	"flicktally/sim/stat"
)

// reliableTest decides whether a drill has become reliable: it tells a pilot
// who fails one time in a hundred from one who fails one time in ten, and is
// wrong about either at most about one time in twenty.
var reliableTest = stat.SequentialTest{Good: 0.01, Bad: 0.10, FalseBad: 0.05, FalseGood: 0.05}

// Reliability is what the trials of a drill tell so far.
type Reliability struct {
	// Last is the latest decision. After each a new test begins, so that it
	// can be lost and won again.
	Last stat.Decision
	// Trials and Failures count since the latest decision.
	Trials, Failures int
	All              stat.Rate // over all trials, hits being right ones
}

// Add takes a trial.
func (r *Reliability) Add(right bool) {
	r.All.Add(right)
	r.Trials++
	if !right {
		r.Failures++
	}
	if d := reliableTest.Decide(r.Trials, r.Failures); d != stat.Undecided {
		r.Last, r.Trials, r.Failures = d, 0, 0
	}
}

// Needed returns how many more trials, all right, would be called reliable.
func (r Reliability) Needed() int { return reliableTest.Needed(r.Trials, r.Failures) }

// Words says what is decided, and what is missing.
func (r Reliability) Words() string {
	switch {
	case r.Last == stat.CalledGood:
		return "reliable: 99 in 100 rather than 9 in 10"
	case r.Last == stat.CalledBad && r.Trials == 0:
		return fmt.Sprintf("not reliable yet: a new test begins, %d right in a row pass it", r.Needed())
	default:
		return fmt.Sprintf("not decided: %d more right in a row show it reliable", r.Needed())
	}
}
