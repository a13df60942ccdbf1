package trainer

import "flicktally/sim"

// Phase is what the pilot is to do now.
type Phase int

// The phases of a drill.
const (
	PhaseRest    Phase = iota // the drill waits for the switch to be put to rest
	PhaseWait                 // wait for the cue
	PhaseAct                  // the cue has come, or the pilot has begun
	PhaseVerdict              // the verdict shows; the next cue follows
	PhaseAsk                  // answer the question
	PhasePaused
	phaseOver
)

// View is what to show of a drill at a moment. Strings are in words for the
// pilot and may be empty.
type View struct {
	Kind  Kind // of the current trial; in a mixed drill different from the drill's
	Rule  string
	Phase Phase
	Cue   string // a few words, to show large
	Hint  string // a line below it
	// Question is what to answer with yes or no, in PhaseAsk.
	Question string
	// Last is the last trial, shown in PhaseVerdict; the zero Result before the
	// first.
	Last Result
	// Hold is the bar of the current hold, or of the last one.
	Hold HoldBar
	// Timeline shows what is required; nil for a single flick.
	Timeline *Timeline
	// Tally is the state of the camera; TallyHidden hides it from the pilot.
	Tally       sim.State
	TallyHidden bool
	TakeFor     sim.Micros // length of the running take so far, 0 without one
	Level       int
	Trials      int        // results so far
	Left        sim.Micros // until no new trial begins
}

// HoldBar shows a hold in the press window.
type HoldBar struct {
	Shown   bool
	Holding bool
	Hold    sim.Micros // of the hand
	Camera  sim.CameraSpec
	Aim     sim.Micros // 0 = none
	// Tolerance is the allowed distance from Aim, 0 = the whole window.
	Tolerance sim.Micros
}

// Timeline shows the presses of a task and those of the hand, both from the first
// press on.
type Timeline struct {
	Wanted []sim.Span
	Made   []sim.Span // the last may still be going on
	At     sim.Micros // since the first press; 0 before it, and where the pilot counts
	Length sim.Micros
}

// moreAndLess returns the words for Off above and below 0.
func (k Kind) moreAndLess() (more, less string) {
	switch k {
	case KindFlick, KindSteady, KindTake, KindPattern:
		return "too long", "too short"
	default:
		return "late", "early"
	}
}
