package trainer

import (
	"fmt"

	"flicktally/sim"
)

// patternTrial asks to follow a pattern, which begins with the first press of
// the hand. Right is what the camera would have made of the pattern itself.
type patternTrial struct {
	task
	pattern Pattern
	wanted  []sim.Verdict
	made    []sim.Span // from the first press on; the last has To Never while held
	got     []sim.Verdict
	close   bool // a press was too close to the edge of the window to call
}

const patternAllows = 250 * sim.Millisecond // for every edge, on level 0

func newPatternTrial(s setting, p Pattern) trial {
	return &patternTrial{task: newTask(s), pattern: p, wanted: idealVerdicts(s.rig, p)}
}

// idealVerdicts returns what a camera that sees the pattern itself makes of
// its presses.
func idealVerdicts(rig sim.Rig, p Pattern) []sim.Verdict {
	rig.Camera.Start = sim.StartStandby
	var record sim.Record
	camera := sim.NewCamera(rig.Camera, rig.Camera.Window(), false, &record)
	expire := func(before sim.Micros) {
		for due := camera.Deadline(); due < before; due = camera.Deadline() {
			camera.Expire(due)
		}
	}
	for _, press := range p.Presses {
		expire(press.From + 1)
		camera.Step(sim.Edge{At: press.From + 1, Pressed: true})
		expire(press.To + 1)
		camera.Step(sim.Edge{At: press.To + 1})
	}
	expire(p.Length() + rig.Camera.MinGap + 2)
	var verdicts []sim.Verdict
	for _, press := range record.Presses {
		verdicts = append(verdicts, press.Verdict)
	}
	return verdicts
}

func (t *patternTrial) needs() sim.StartState { return sim.StartStandby }

func (t *patternTrial) hand(at sim.Micros, pressed bool) {
	t.task.hand(at, pressed)
	if pressed {
		t.made = append(t.made, sim.Span{From: at - t.begun, To: sim.Never})
		return
	}
	if n := len(t.made); n > 0 {
		t.made[n-1].To = at - t.begun
	}
}

func (t *patternTrial) flick(f Flick) bool {
	if t.begun == sim.Never || f.Down < t.begun {
		return false
	}
	t.close = t.close || f.TooClose
	t.got = append(t.got, f.Verdict)
	if len(t.got) < len(t.pattern.Presses) {
		return true
	}
	off, edge := t.worstEdge()
	r := Result{Right: t.matches(), Uncounted: t.close}
	r.score(off, t.tolerance(patternAllows), t.resolution)
	r.Words = "every edge on the spot"
	if r.Off != 0 {
		more, less := t.kind.moreAndLess()
		r.Words = fmt.Sprintf("worst at %s: %s", edge, offWords(r.Off, more, less))
	}
	if !r.Right {
		r.Words = t.mismatch() + "; " + r.Words
	}
	t.finish(f.Up, r)
	return true
}

// worstEdge returns the edge that was off most, the gap to the first press
// being none.
func (t *patternTrial) worstEdge() (off sim.Micros, name string) {
	consider := func(d sim.Micros, press int, what string) {
		if max(d, -d) > max(off, -off) {
			off, name = d, fmt.Sprintf("%s %d", what, press)
		}
	}
	for i, wanted := range t.pattern.Presses {
		consider(t.made[i].From-wanted.From, i+1, "press")
		consider(t.made[i].To-wanted.To, i+1, "release")
	}
	return off, name
}

func (t *patternTrial) matches() bool {
	for i, v := range t.got {
		if i >= len(t.wanted) || v != t.wanted[i] {
			return false
		}
	}
	return len(t.got) == len(t.wanted)
}

// mismatch says which press came out otherwise first.
func (t *patternTrial) mismatch() string {
	for i, v := range t.got {
		if i >= len(t.wanted) || v != t.wanted[i] {
			return fmt.Sprintf("press %d came out %s", i+1, v)
		}
	}
	return "the camera saw other presses"
}

func (t *patternTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue, v.Hint = PhaseWait, "Wait", t.pattern.Name
	bar := &PatternBar{Name: t.pattern.Name, Wanted: t.pattern.Presses, Made: t.made, Length: t.pattern.Length()}
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Follow"
	}
	if t.begun != sim.Never {
		bar.At = at - t.begun
	}
	v.Pattern = bar
}
