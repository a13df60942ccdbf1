package belief

import (
	"slices"

	"flicktally/sim"
)

// transition is a way of the camera through a section, weighed by the glances.
// Times are in finer steps.
type transition struct {
	outcome   outcome
	long      int   // the grid point of long_press that it is valid for, -1 for all
	to        int32 // index of the next camera
	behaviour int32
	weight    float64
	takes     []sim.Take // those that ended, if there is a list
	recording bool
	began     sim.Micros // when the running take began; 0 if before the section
}

// The outcomes that a press can have in a state.
var (
	whenAccepted = []outcome{short, toggles, long, ignored}
	whenOff      = []outcome{wakes, staysOff}
	whenBusy     = []outcome{predetermined}
)

func outcomesIn(f *sectionedFlight, state sim.State) []outcome {
	switch {
	case state.Accepts():
		return whenAccepted
	case state == sim.StateOff && f.spec.WakePress != sim.Never:
		return whenOff
	default:
		return whenBusy
	}
}

// transitionsFrom returns the ways of a camera through a section.
func (b *builder) transitionsFrom(camera *sim.Camera, f *sectionedFlight, s *section) []transition {
	all := make([]transition, 0, len(whenAccepted))
	for _, x := range outcomesIn(f, camera.State()) {
		switch {
		case b.maxChances[x] == 0:
		case dependsOnLong(f.spec, x):
			all = append(all, b.runEachLong(camera, f, s, x)...)
		default:
			all = append(all, b.run(camera, f, s, x, -1))
		}
	}
	return all
}

// dependsOnLong reports whether the effect of a press depends on long_press
// other than by whether the hold reaches it.
func dependsOnLong(spec sim.CameraSpec, x outcome) bool {
	return x == long && spec.LongFires == sim.LongAtThreshold && (spec.LongAction != sim.ActionNone || spec.DoubleWithin > 0)
}

// runEachLong returns the transitions of an outcome at every grid point of
// long_press, or a single one if they differ only by a moment that moves with
// it.
func (b *builder) runEachLong(camera *sim.Camera, f *sectionedFlight, s *section, x outcome) []transition {
	var all []transition
	same := true
	for at, chance := range s.longAt {
		if chance == 0 {
			continue
		}
		t := b.run(camera, f, s, x, at)
		if n := len(all); n > 0 {
			t.behaviour = b.joinEqual(all[n-1].behaviour, t.behaviour)
			first := &all[0]
			same = same && t.behaviour == first.behaviour && t.to == first.to && t.weight == first.weight
		}
		all = append(all, t)
	}
	if same && (b.card == nil || !b.trellis.behaviours[all[0].behaviour].moves) {
		all[0].long = -1
		return all[:1]
	}
	return all
}

// joinEqual returns the earlier of two behaviours if the later is equal to it;
// the later must be the last.
func (b *builder) joinEqual(earlier, later int32) int32 {
	all := b.trellis.behaviours
	x, y := &all[earlier], &all[later]
	if x.verdict != y.verdict || x.pairStart != y.pairStart || !slices.Equal(x.changes, y.changes) {
		return later
	}
	b.trellis.behaviours = all[:later]
	return earlier
}

// run runs a camera through a section, with an outcome of its press and a grid
// point of long_press, -1 if any will do.
func (b *builder) run(camera *sim.Camera, f *sectionedFlight, s *section, x outcome, at int) transition {
	b.record.Clear()
	c := camera.Resume(f.spec, b.window(max(at, 0)), &b.record)
	c.Suppose(verdictOf[x])
	t := b.runThrough(&c, s, max(at, 0))
	made := &b.trellis.behaviours[t.behaviour]
	made.lightBefore = lightIndex(camera.State())
	if down, waits := camera.Waiting(); waits && made.verdict == sim.VerdictDouble {
		made.pairStart = down / finer
	}
	t.outcome, t.long = x, at
	t.weight = b.weighGlances(s.seen, made, camera.State(), max(at, 0))
	return t
}

// runThrough runs a camera to the end of a section and notes its behaviour. The
// camera must write to the builder's record.
func (b *builder) runThrough(c *sim.Camera, s *section, at int) transition {
	record := &b.record
	c.RunUntil(s.edges, s.to*finer)
	began, recording := c.TakeStart()
	if s.last {
		c.Finish(s.to * finer)
	}
	t := transition{recording: recording && !s.last, began: began}
	if b.card != nil {
		t.takes = slices.Clone(record.Takes)
	}
	done := behaviour{takesEnded: len(record.Takes), changes: make([]change, 0, len(record.States))}
	if len(record.Presses) > 0 {
		done.verdict = record.Presses[0].Verdict
	}
	window := b.window(at)
	for _, s := range record.States {
		moment := momentOf(s.At, window)
		done.changes = append(done.changes, change{moment, s.State})
		done.moves = done.moves || moment.axis == alongLong
	}
	t.behaviour = b.addBehaviour(done)
	after := c.Snapshot()
	t.to = b.nextCameras.index(&after)
	return t
}

// weighGlances returns the likelihood of what was seen in a section, given the
// camera's state before it and its behaviour in it.
func (b *builder) weighGlances(seen []Glance, done *behaviour, state sim.State, long int) float64 {
	weight := 1.0
	for _, g := range seen {
		now := state
		for _, change := range done.changes {
			if b.instant(change.at, long) <= float64(g.At) {
				now = change.state
			}
		}
		if g.explainedBy(now) {
			weight *= 1 - b.doubt.Misread
		} else {
			weight *= b.doubt.Misread / float64(len(Lights)-1)
		}
	}
	return max(weight, rescaleBelow) // any number of glances may be wrong
}

// instant returns a moment, in µs, at a grid point of long_press.
func (b *builder) instant(m moment, long int) float64 {
	switch m.axis {
	case alongMin:
		return float64(m.base) + b.mins[b.trellis.from].at
	case alongLong:
		return float64(m.base) + b.longs[long].at
	default:
		return float64(m.base)
	}
}
