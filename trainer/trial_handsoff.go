package trainer

import "flicktally/sim"

// handsOffTrial shows distractions that seem to call for a flick: a touch fails
// the trial. Some trials end with a real cue.
type handsOffTrial struct {
	task
	shows []distraction // in order of time
	shown int           // number shown so far
	meant bool          // a real cue comes at the end
	free  sim.Micros    // until then the switch may be moving back from the previous trial
}

type distraction struct {
	at   sim.Micros
	text string
}

// The distractions, from mild to nasty; a higher level draws from more of them.
var distractions = []string{
	"Gust on the lake", "The fleet turns", "Spray on the lens", "A gull at the mast",
	"They round the mark", "The leader finishes", "The horn sounds",
	"Now! ... not you", "Flick... not yet", "Recording? It is", "Start! says the other pilot",
}

const (
	meantChance   = 0.3
	mildest       = 4 // number of distractions that level 0 draws from
	shortestWatch = 4 * sim.Second
	longestWatch  = 8 * sim.Second
	distractsFor  = 1200 * sim.Millisecond
	wayBack       = 500 * sim.Millisecond // time for a released switch to move back
)

func newHandsOffTrial(s setting) trial {
	t := &handsOffTrial{task: newTask(s, ""), meant: s.chance.Float64() < meantChance}
	end := s.now + s.between(shortestWatch, longestWatch)
	texts := distractions[:min(len(distractions), mildest+s.level)]
	for at := s.now + s.between(leastWait, mostWait); at < end; at += s.between(leastWait, mostWait) {
		t.shows = append(t.shows, distraction{at, texts[s.chance.IntN(len(texts))]})
	}
	t.cueAt, t.free = end, s.now+wayBack
	if t.pressed() {
		t.free = sim.Never
	}
	return t
}

func (t *handsOffTrial) due() sim.Micros {
	if t.shown < len(t.shows) {
		return t.shows[t.shown].at
	}
	return t.task.due()
}

func (t *handsOffTrial) expire(at sim.Micros) {
	switch {
	case t.shown < len(t.shows):
		t.shown++
	case !t.cued && t.pressed():
		t.finish(at, Result{Outcome: OutcomeEarly, Words: "the switch was left pressed"})
	case t.meant:
		t.task.expire(at)
	default:
		t.finish(at, Result{Outcome: OutcomeRight, Within: true, Words: "left alone"})
	}
}

// hand fails the trial at a touch before the real cue. The flick that starts
// with the touch still runs through the rig.
func (t *handsOffTrial) hand(at sim.Micros, pressed bool) {
	switch {
	case t.cued:
		t.task.hand(at, pressed)
	case pressed:
		t.touched(at)
	default:
		t.free = at + wayBack
	}
}

// moved fails the trial if the switch moved to another position without
// pressing.
func (t *handsOffTrial) moved(at sim.Micros) {
	if !t.cued && at >= t.free {
		t.touched(at)
	}
}

func (t *handsOffTrial) touched(at sim.Micros) {
	t.begun = at
	t.finish(at, Result{Outcome: OutcomeEarly, Words: "touched"})
}

func (t *handsOffTrial) flick(f Flick) bool {
	if !t.tooEarly(f) && !t.cannotJudge(f) {
		t.finish(f.Up, Result{Outcome: outcome(f.Toggled(), true), Within: f.Toggled(), Words: f.Words()})
	}
	return true
}

func (t *handsOffTrial) show(v *View, at sim.Micros) {
	v.Phase, v.Cue, v.Hint = PhaseWait, "Hands off", ""
	if t.cued {
		v.Phase, v.Cue = PhaseAct, "Flick"
		return
	}
	if t.shown > 0 && at-t.shows[t.shown-1].at < distractsFor {
		v.Hint = t.shows[t.shown-1].text
	}
}
