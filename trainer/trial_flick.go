package trainer

import (
	"fmt"

	"flicktally/sim"
)

// flickTrial asks for one flick that toggles for good. "Steady hold" also
// requires a hold near the aim; in "one flick" that is only the level's goal.
type flickTrial struct {
	task
	goal goal
	note string // the mistake to make good, in a review
}

const (
	// flickGoal is the goal of "one flick" on level 0, as a fraction of the
	// aim.
	flickGoal = 0.6
	// steadyAllows is how far off the aim a steady hold may be, as a fraction
	// of it.
	steadyAllows = 0.2
)

// newFlickTrial returns a trial of "one flick".
func newFlickTrial(s setting, note string) trial {
	return &flickTrial{task: newTask(s), goal: s.goal(part(s.aim, flickGoal)), note: note}
}

// newSteadyTrial returns a trial of "steady hold".
func newSteadyTrial(s setting) trial {
	return &flickTrial{task: newTask(s), goal: s.goal(part(s.aim, steadyAllows))}
}

func part(m sim.Micros, fraction float64) sim.Micros { return sim.Micros(float64(m) * fraction) }

func (t *flickTrial) flick(f Flick) bool {
	if t.tooEarly(f) || t.cannotJudge(f) {
		return true
	}
	r := Result{Outcome: toggledOr(f.Toggled(), true), Words: f.Words()}
	off := f.Hold() - t.aim
	if t.kind == KindSteady && t.holdCounts() && max(off, -off) > part(t.aim, steadyAllows) {
		r.Outcome = toggledOr(f.Toggled(), false)
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

// holdCounts reports whether the hand's own hold matters. A one-shot makes the
// hold of "one flick"; if both edges start a pulse there is no aim.
func (t *flickTrial) holdCounts() bool {
	return t.rig.OneShot.Trigger == sim.TriggerOff || t.kind == KindSteady && !everyMoveCounts(t.rig)
}

// withAim adds to the words of a flick that toggles how far off the aim it was.
func (t *flickTrial) withAim(r Result, f Flick) string {
	if !f.Toggled() || r.Within && t.kind != KindSteady {
		return r.Words
	}
	more, less := t.kind.moreAndLess()
	return fmt.Sprintf("%s; %s for %s", r.Words, offWords(r.Off, sim.Micros.Rounded, more, less), t.aim.Rounded())
}

func (t *flickTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue = PhaseWait, "Wait"
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Flick"
	}
	v.Hint = t.note
	if t.kind == KindSteady && v.Hint == "" {
		v.Hint = "hold for " + t.aim.Rounded()
	}
	if t.holdCounts() {
		v.Hold.Aim, v.Hold.Tolerance = t.aim, t.goal.tolerance
	}
}
