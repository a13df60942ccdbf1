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
	v.Rule = v.Kind.Rule()
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
	if at < d.verdict && !d.touched {
		v.Phase = PhaseVerdict
	}
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
