package trainer

import "flicktally/sim"

// Phase says what the pilot has to do now.
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

// View is what to show of a drill at a moment. Strings are for the pilot to read,
// and may be empty.
type View struct {
	Kind  Kind // of the current trial, which in a mixed drill is not the drill's
	Phase Phase
	Cue   string // a few words, to show large
	Hint  string // a line below it
	// Question is to be answered with yes or no, in PhaseAsk.
	Question string
	Last     Result    // the last trial; the zero Result before the first
	Hold     HoldBar   // of the current hold, or of the last one
	Timeline *Timeline // what is required; nil for a single flick
	Tally    sim.State // of the camera
	// TallyHidden says not to show the Tally.
	TallyHidden bool
	TakeFor     sim.Micros // length of the running take so far, 0 without one
	Level       int
	Trials      int        // results so far
	Left        sim.Micros // until no new trial starts
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

// Timeline has the presses of a task and those of the hand, both timed from the
// first press.
type Timeline struct {
	Wanted []sim.Span
	Made   []sim.Span // the last may not have ended
	At     sim.Micros // since the first press; 0 before it, and if the pilot counts
	Length sim.Micros
}

// View returns what to show at a moment of the caller's clock.
func (d *Drill) View(at sim.Micros) View {
	v := View{
		Kind: d.setup.Kind, Phase: d.phase, Trials: len(d.results),
		Left: max(0, Length-d.now),
	}
	if n := len(d.results); n > 0 {
		last := d.results[n-1]
		v.Last, v.Kind = last, last.Kind
	}
	switch d.phase {
	case PhaseRest:
		v.Cue, v.Hint = "Put the switch to rest", "it presses the button; the drill starts once it does not"
	case PhasePaused:
		v.Cue = "Paused"
	case phaseOver:
		v.Cue = "Done"
	default:
		d.showTrial(&v, d.toDrill(at))
	}
	v.Level = d.past.Level(v.Kind)
	return v
}

// showTrial shows the current trial, with the last verdict before it.
func (d *Drill) showTrial(v *View, at sim.Micros) {
	v.Tally = d.simulator.state()
	if since, runs := d.simulator.camera().TakeStart(); runs {
		v.TakeFor = max(0, at-d.simulator.fromChain(since))
	}
	v.Hold = HoldBar{Shown: !everyMoveCounts(d.rig), Camera: d.rig.Camera}
	if n := len(d.flicks); n > 0 {
		v.Hold.Hold = d.flicks[n-1].Hold()
	}
	if since, holding := d.simulator.holding(); holding {
		v.Hold.Holding, v.Hold.Hold = true, max(0, at-since)
	}
	v.Kind = d.trial.what()
	d.trial.show(v, at)
	if at < d.verdictUntil && !d.touched {
		v.Phase = PhaseVerdict
	}
}
