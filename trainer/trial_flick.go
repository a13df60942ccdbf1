package trainer

import (
	"fmt"

	"flicktally/sim"
)

// flickTrial asks for one flick that toggles for good. "Steady hold" also
// requires a hold near the aim, which in "one flick" is only the level's goal.
type flickTrial struct {
	task
	goal goal
}

const (
	// flickGoal is the goal of "one flick" on level 0, as a fraction of the
	// aim.
	flickGoal = 0.6
	// steadyAllows is how far off the aim a steady hold may be, as a fraction
	// of it.
	steadyAllows = 0.2
)

func newFlickTrial(s setting) trial {
	easiest := flickGoal
	if s.kind == KindSteady {
		easiest = steadyAllows
	}
	return &flickTrial{task: newTask(s, ""), goal: s.goal(part(s.aim, easiest))}
}

func part(m sim.Micros, fraction float64) sim.Micros { return sim.Micros(float64(m) * fraction) }

func (t *flickTrial) flick(f Flick) bool {
	if t.tooEarly(f) || t.cannotJudge(f) {
		return true
	}
	r := Result{Outcome: outcome(f.Toggled(), true), Words: f.Words()}
	off := f.Hold() - t.aim
	if t.kind == KindSteady && t.holdCounts() && max(off, -off) > part(t.aim, steadyAllows) {
		r.Outcome = outcome(f.Toggled(), false)
	}
	if t.holdCounts() {
		r.score(off, t.goal, t.resolution)
		r.Words = t.withAim(r, f)
	} else {
		r.Within = r.Outcome == OutcomeRight
	}
	t.finish(f.Up, r)
	return true
}

// holdCounts reports whether the hand's own hold matters. In "one flick" a
// one-shot sets the hold; if both edges start a pulse, there is no aim.
func (t *flickTrial) holdCounts() bool {
	return t.rig.OneShot.Trigger == sim.TriggerOff || t.kind == KindSteady && !everyMoveCounts(t.rig)
}

// withAim appends how far off the aim a flick that toggles was.
func (t *flickTrial) withAim(r Result, f Flick) string {
	if !f.Toggled() || r.Within && t.kind != KindSteady {
		return r.Words
	}
	return fmt.Sprintf("%s; %s for %s", r.Words, offWords(r.Off, sim.Micros.Rounded), t.aim.Rounded())
}

func (t *flickTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue = PhaseWait, "Wait"
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Flick"
	}
	v.Hint = t.mistake
	if t.kind == KindSteady {
		v.Hint = "hold for " + t.aim.Rounded()
	}
	if t.holdCounts() {
		v.Hold.Aim, v.Hold.Tolerance = t.aim, t.goal.tolerance
	}
}
