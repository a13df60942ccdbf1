package trainer

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// flickTrial asks for one flick that toggles, near the aim. It serves "one
// flick" and "steady hold", which measure the distance from different centres.
type flickTrial struct {
	task
	centre sim.Micros
	allows sim.Micros
	note   string // what the flick is to make good, in a review
}

// Tolerances on level 0, as parts of the aim.
const (
	flickAllows  = 0.6
	steadyAllows = 0.4
)

// newFlickTrial returns a trial of "one flick": the aim is the centre.
func newFlickTrial(s setting, note string) trial {
	return &flickTrial{task: newTask(s), centre: s.aim, allows: s.tolerance(part(s.aim, flickAllows)), note: note}
}

// newSteadyTrial returns a trial of "steady hold": the pilot's own mean is the
// centre, once there are a few holds, since spread matters more than mean.
func newSteadyTrial(s setting, holds []sim.Micros) trial {
	centre := s.aim
	if len(holds) >= 3 {
		centre = sim.Micros(stat.Summarize(holds[max(0, len(holds)-trendOver):]).Mean)
	}
	return &flickTrial{task: newTask(s), centre: centre, allows: s.tolerance(part(s.aim, steadyAllows))}
}

func part(m sim.Micros, fraction float64) sim.Micros { return sim.Micros(float64(m) * fraction) }

func (t *flickTrial) flick(f Flick) bool {
	if !countable(f) {
		return false
	}
	r := Result{Right: f.Toggled(), Uncounted: f.TooClose, Words: f.Words()}
	if t.rig.OneShot.Trigger == sim.TriggerOff {
		r.score(f.Hold()-t.centre, t.allows, t.resolution)
		r.Words = t.withAim(r, f)
	} else {
		r.Within = r.Right
	}
	t.finish(f.Up, r)
	return true
}

// withAim adds to the words of a flick that toggles how far off the aim it was.
func (t *flickTrial) withAim(r Result, f Flick) string {
	if !r.Right || r.Uncounted || r.Within && t.kind != KindSteady {
		return r.Words
	}
	more, less := t.kind.moreAndLess()
	return fmt.Sprintf("%s; %s for %s", r.Words, offWords(r.Off, more, less), seconds(t.centre))
}

func (t *flickTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue = PhaseWait, "Wait"
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Flick"
	}
	v.Hint = t.note
	if t.kind == KindSteady && v.Hint == "" {
		v.Hint = "hold it " + seconds(t.centre)
	}
	if t.rig.OneShot.Trigger == sim.TriggerOff {
		v.Hold.Aim, v.Hold.Tolerance = t.centre, t.allows
	}
}
