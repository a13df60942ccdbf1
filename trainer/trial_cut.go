package trainer

import (
	"cmp"
	"fmt"

	"flicktally/sim"
)

// cutTrial asks to stop the running take and to start a new one as fast as the
// camera's busy times allow.
type cutTrial struct{ task }

const cutAllows = sim.Second // beyond the shortest gap

func newCutTrial(s setting) trial { return &cutTrial{newTask(s, sim.StartRecording)} }

func (t *cutTrial) flick(f Flick) bool {
	if t.second(f, t.shortest(), [2]string{"the take did not stop: ", "no new take: "}) {
		gap := f.acts() + t.rig.Camera.StartDelay - t.acted
		late := max(0, gap-t.shortest())
		r := Result{Outcome: outcome(true, late <= cutAllows)}
		r.score(late, t.goal(cutAllows), t.resolution)
		r.Words = gap.Rounded() + " between the takes: as short as possible"
		if r.Off > 0 {
			r.Words = fmt.Sprintf("%s between the takes: %s more than the camera needs", gap.Rounded(), r.Off.Rounded())
		}
		t.finish(f.Up, r)
	}
	return true
}

// shortest returns the shortest gap that camera, one-shot and hand allow.
func (t *cutTrial) shortest() sim.Micros {
	c, shot := t.rig.Camera, t.rig.OneShot
	rest, hold := max(c.StopDelay, sim.ShortestHold), max(c.MinPress.High, sim.ShortestHold)
	if shot.Trigger != sim.TriggerOff {
		rest, hold = max(rest, shot.Rest), shot.Width
	}
	return rest + hold + c.StartDelay
}

func (t *cutTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue = PhaseWait, "Wait"
	v.Hint = cmp.Or(t.mistake, "two flicks, as close together as the camera allows")
	switch {
	case t.acted != sim.Never:
		v.Phase, v.Cue = PhaseAct, "Start again"
	case t.cued:
		v.Phase, v.Cue = PhaseAct, "Stop, and start again"
	}
	v.Hold.Aim = t.aim
	again := t.aim + max(t.rig.Camera.StopDelay, sim.ShortestHold)
	v.Timeline = t.timeline([]sim.Span{{From: 0, To: t.aim}, {From: again, To: again + t.aim}}, at)
}
