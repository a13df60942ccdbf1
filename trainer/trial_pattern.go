package trainer

import (
	"fmt"

	"flicktally/sim"
)

// patternTrial asks to follow a pattern, which starts with the hand's first
// press: every press and gap must be as long as in the pattern.
type patternTrial struct {
	task
	pattern Pattern
	flicks  int  // finished flicks
	toggled bool // by at least one of them
}

// A press or gap of a pattern is right within the greater of the two.
const (
	patternAllows      = 0.25 // of its length
	patternAllowsLeast = 80 * sim.Millisecond
)

func newPatternTrial(s setting) trial {
	p := s.patterns[s.chance.IntN(len(s.patterns))]
	return &patternTrial{task: newTask(s, sim.StartStandby), pattern: p}
}

// hand handles an edge. After a release the next press is due after its gap.
func (t *patternTrial) hand(at sim.Micros, pressed bool) {
	asked := t.pattern.Presses
	t.edge(at, pressed, asked[min(len(t.made), len(asked)-1)].Length())
	n := len(t.made)
	if n == 0 || n >= len(asked) || t.made[n-1].To == sim.Never {
		return
	}
	t.expires = t.begun + t.made[n-1].To + asked[n].From - asked[n-1].To + cueLasts
}

func (t *patternTrial) flick(f Flick) bool {
	if t.tooEarly(f) {
		return true
	}
	t.flicks++
	t.toggled = t.toggled || f.Toggled()
	if t.flicks < len(t.pattern.Presses) {
		return true
	}
	worst := t.worst()
	r := Result{Outcome: outcome(true, worst.share() <= 1)}
	if r.Outcome == OutcomeOff {
		r.Outcome = outcome(t.toggled, false)
	}
	r.score(worst.off, t.goal(worst.allows), t.resolution)
	r.Words = "every press and gap on target"
	if r.Off != 0 {
		r.Words = fmt.Sprintf("worst at %s: %s", worst.name, offWords(r.Off, sim.Micros.Rounded))
	}
	t.finish(f.Up, r)
	return true
}

// stretch is a press or a gap of the pattern as the hand made it.
type stretch struct {
	name        string
	off, allows sim.Micros
}

// share returns the deviation as a share of what is allowed.
func (s stretch) share() float64 { return float64(max(s.off, -s.off)) / float64(s.allows) }

// worst returns the press or gap with the largest deviation as a share of what is
// allowed.
func (t *patternTrial) worst() stretch {
	var worst stretch
	consider := func(wanted, made sim.Micros, n int, what string) {
		s := stretch{fmt.Sprintf("%s %d", what, n), made - wanted, max(patternAllowsLeast, part(wanted, patternAllows))}
		if worst.allows == 0 || s.share() > worst.share() {
			worst = s
		}
	}
	for i, wanted := range t.pattern.Presses {
		consider(wanted.Length(), t.made[i].Length(), i+1, "press")
		if i > 0 {
			consider(wanted.From-t.pattern.Presses[i-1].To, t.made[i].From-t.made[i-1].To, i, "gap")
		}
	}
	return worst
}

func (t *patternTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue, v.Hint = PhaseWait, "Wait", t.pattern.Name
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Follow"
	}
	v.Timeline = t.timeline(t.pattern.Presses, at)
}
