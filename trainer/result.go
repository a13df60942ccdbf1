package trainer

import (
	"fmt"

	"flicktally/sim"
)

// Result is one trial of a drill. Times count from the start of the drill.
type Result struct {
	N       int // from 1, in order of time
	Kind    Kind
	Level   int
	Began   sim.Micros // its first press, or its cue if there was none
	Ended   sim.Micros
	Outcome Outcome
	// Right says that Outcome is OutcomeRight.
	Right bool
	// Within: right, and off by no more than Tolerance, the level's goal. It
	// decides the level.
	Within bool
	// Uncounted marks a trial that a coarse input or a camera that was off
	// decided. It counts nowhere.
	Uncounted bool
	// Cold marks the day's first flick. It is counted separately.
	Cold bool
	// Scored says that Off is known: by how much it was too long or too late;
	// negative if too short or too early; 0 below the resolution of the input.
	Scored         bool
	Off, Tolerance sim.Micros
	Top            bool   // the goal is as narrow as hand and input allow
	Words          string // the verdict
}

// Counts reports whether the trial counts for rates, level and reliability.
func (r Result) Counts() bool { return !r.Uncounted && !r.Cold }

// Outcome is the outcome of a trial.
type Outcome string

// The outcomes of a trial.
const (
	OutcomeRight  Outcome = "right"  // the task, within its tolerance
	OutcomeOff    Outcome = "off"    // it toggled, or was answered, but not as asked
	OutcomeMissed Outcome = "missed" // it did not toggle, or nothing was done in time
	OutcomeEarly  Outcome = "early"  // before the cue
)

// outcome returns the outcome of a task: missed if its flick did not toggle, else
// right or off.
func outcome(toggled, asAsked bool) Outcome {
	switch {
	case !toggled:
		return OutcomeMissed
	case asAsked:
		return OutcomeRight
	default:
		return OutcomeOff
	}
}

// score sets Off and the level's goal. It does not change what is right.
func (r *Result) score(off sim.Micros, g goal, resolution sim.Micros) {
	if max(off, -off) < resolution {
		off = 0
	}
	r.Scored, r.Off, r.Tolerance, r.Top = true, off, g.tolerance, g.top
	r.Within = r.Outcome == OutcomeRight && max(off, -off) <= g.tolerance
}

// Number returns the one number that helps, with its sign and unit: how far off
// the aim in milliseconds, or off the length of a take in seconds. It is "" if
// there is none.
func (r Result) Number() string {
	if !r.Scored || r.Uncounted {
		return ""
	}
	sign := "+"
	switch {
	case r.Off < 0:
		sign = "−"
	case r.Off == 0:
		sign = "±"
	}
	off := max(r.Off, -r.Off)
	if r.Kind == KindTake {
		return fmt.Sprintf("%s%.1f s", sign, off.Seconds())
	}
	return fmt.Sprintf("%s%d ms", sign, (off+sim.Millisecond/2)/sim.Millisecond)
}

// offWords says how much too long or too short something was. A hold or a gap is
// formatted by [sim.Micros.Rounded], a take by [sim.Micros.Readable].
func offWords(off sim.Micros, format func(sim.Micros) string) string {
	switch {
	case off > 0:
		return format(off) + " too long"
	case off < 0:
		return format(-off) + " too short"
	default:
		return "on target"
	}
}
