package belief

import (
	"slices"

	"flicktally/sim"
)

// transition is a way of the camera through a section, with its weight by the list
// and the glances. Times are in finer steps.
type transition struct {
	outcome   outcome
	long      int // the point of long_press that it applies to, -1 for all
	to        int32
	behaviour int32
	weight    float64
	takes     []sim.Take
	recording bool
	began     sim.Micros // when the running take began; 0 if before the section
}

// transitions adds the ways of a camera through a section.
func (b *builder) transitionsFrom(all []transition, camera *sim.Camera, f *sectionedFlight, s *section) []transition {
	for _, x := range b.outcomesIn(f, camera.State()) {
		if len(b.longs) == 1 || !dependsOnLong(f.spec, x) {
			p := b.run(camera, s, x, 0)
			p.long = -1
			all = append(all, p)
			continue
		}
		all = append(all, b.alongLong(camera, f, s, x)...)
	}
	return all
}

// dependsOnLong reports whether the result of a press depends on long_press other than
// by whether the hold reaches it.
func dependsOnLong(spec sim.CameraSpec, x outcome) bool {
	return x == long && spec.LongFires == sim.LongAtThreshold && (spec.LongAction != sim.ActionNone || spec.DoubleWithin > 0)
}

// alongLong returns the ways of a outcome at every point of long_press, or a
// single one if they differ only by a moment that moves with it.
func (b *builder) alongLong(camera *sim.Camera, f *sectionedFlight, s *section, x outcome) []transition {
	var all []transition
	alike, ran := true, 0
	for at := range b.longs {
		if s.longAt[at] == 0 {
			continue
		}
		var p transition
		if n := len(all); n > 0 && b.sameOrder(f, s, ran, at) {
			p = b.moved(all[n-1], at)
		} else {
			p, ran = b.run(camera, s, x, at), at
			if n > 0 {
				p.behaviour = b.sameWay(all[n-1].behaviour, p.behaviour)
			}
		}
		p.long = at
		p.weight = b.weigh(s.seen, &b.trellis.behaviours[p.behaviour], camera.State(), at)
		all = append(all, p)
		first := &all[0]
		alike = alike && p.behaviour == first.behaviour && p.to == first.to && p.weight == first.weight
	}
	if alike && (b.card == nil || !b.trellis.behaviours[all[0].behaviour].moves) {
		all[0].long = -1
		return all[:1]
	}
	return all
}

// sameOrder reports whether everything happens in the same order at two points
// of long_press.
func (b *builder) sameOrder(f *sectionedFlight, s *section, one, other int) bool {
	if s.bounces || f.spec.DoubleWithin > 0 {
		return false
	}
	least := b.window(0).MinPress
	for _, length := range []sim.Micros{
		sim.Micros(s.hold.logged) * finer, least, least + f.spec.StartDelay, least + f.spec.StopDelay,
	} {
		if (b.window(one).LongPress > length) != (b.window(other).LongPress > length) {
			return false
		}
	}
	return true
}

// sameWay returns the earlier of two ways if the later is equal to it; the
// later must be the last.
func (b *builder) sameWay(earlier, later int32) int32 {
	ways := b.trellis.behaviours
	x, y := &ways[earlier], &ways[later]
	if x.verdict != y.verdict || x.pairStart != y.pairStart || !slices.Equal(x.changes, y.changes) {
		return later
	}
	b.trellis.behaviours = ways[:later]
	return earlier
}

// moved returns a transition at another point of long_press.
func (b *builder) moved(p transition, to int) transition {
	by := b.window(to).LongPress - b.window(p.long).LongPress
	p.takes = slices.Clone(p.takes)
	for i := range p.takes {
		if t := &p.takes[i]; momentOf(t.End, b.window(p.long)).axis == alongLong {
			t.End += by
		}
	}
	return p
}

// forwardPass runs a camera through a section.
func (b *builder) run(camera *sim.Camera, s *section, x outcome, at int) transition {
	b.record.Clear()
	c := camera.Resume(b.step.flight.spec, b.window(at), &b.record)
	c.Suppose(verdictOf[x])
	p := b.runThrough(&c, s, at)
	w := &b.trellis.behaviours[p.behaviour]
	p.outcome, w.lightBefore = x, lightIndex(camera.State())
	if down, waits := camera.Waiting(); waits && w.verdict == sim.VerdictDouble {
		w.pairStart = down / finer
	}
	p.weight = b.weigh(s.seen, w, camera.State(), at)
	return p
}

// runThrough runs a camera to the end of a section and notes what it did. The camera
// must write to the builder's record.
func (b *builder) runThrough(c *sim.Camera, s *section, at int) transition {
	record := &b.record
	c.RunUntil(s.edges, s.to*finer)
	began, recording := c.TakeStart()
	if s.last {
		c.Finish(s.to * finer)
	}
	p := transition{recording: recording && !s.last, began: began, behaviour: int32(len(b.trellis.behaviours))}
	if b.card != nil {
		p.takes = slices.Clone(record.Takes)
	}
	w := behaviour{stage: int32(len(b.trellis.stages)), lightBefore: -1, takesEnded: len(record.Takes)}
	if len(record.Presses) > 0 {
		w.verdict = record.Presses[0].Verdict
	}
	window := b.window(at)
	changes := make([]change, 0, 8)
	for _, c := range record.States {
		moment := momentOf(c.At, window)
		changes = append(changes, change{moment, c.State})
		w.moves = w.moves || moment.axis == alongLong
	}
	w.changes = b.changes.clone(changes)
	b.trellis.behaviours = append(b.trellis.behaviours, w)
	present := c.Snapshot()
	p.to, _ = b.next.index(&present)
	return p
}

// weigh returns the chance of what was seen in a section, given the camera's state
// at its start and what a way says it did.
func (b *builder) weigh(seen []Glance, w *behaviour, state sim.State, long int) float64 {
	weight := 1.0
	for _, g := range seen {
		now := state
		for _, change := range w.changes {
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

// instant returns a moment, in µs, at a point of long_press.
func (b *builder) instant(m moment, long int) float64 {
	switch m.axis {
	case alongMin:
		return float64(m.base) + b.mins[b.from].at
	case alongLong:
		return float64(m.base) + b.longs[long].at
	default:
		return float64(m.base)
	}
}
