package belief

import (
	"slices"

	"flicktally/sim"
)

// passage is a way of the camera through a section, with its weight by the list
// and the glances. Times are in finer steps.
type passage struct {
	fate      fate
	long      int // the point of long_press that it applies to, -1 for all
	to        int32
	way       int32
	weight    float64
	ended     []sim.Take
	recording bool
	began     sim.Micros // when the running take began; 0 if before the section
}

// passages adds the ways of a camera through a section.
func (b *builder) passages(all []passage, camera *sim.Camera, f *flightPlan, s *section) []passage {
	for _, x := range b.fatesIn(f, camera.State()) {
		if len(b.longs) == 1 || !asksLong(f.spec, x) {
			p := b.run(camera, s, x, 0)
			p.long = -1
			all = append(all, p)
			continue
		}
		all = append(all, b.alongLong(camera, f, s, x)...)
	}
	return all
}

// asksLong reports whether the result of a press depends on long_press other than
// by whether the hold reaches it.
func asksLong(spec sim.CameraSpec, x fate) bool {
	return x == long && spec.LongFires == sim.LongAtThreshold && (spec.LongAction != sim.ActionNone || spec.DoubleWithin > 0)
}

// alongLong returns the ways of a fate at every point of long_press, or a
// single one if they differ only by a moment that moves with it.
func (b *builder) alongLong(camera *sim.Camera, f *flightPlan, s *section, x fate) []passage {
	var all []passage
	alike, ran := true, 0
	for at := range b.longs {
		if s.reaches[at] == 0 {
			continue
		}
		var p passage
		if n := len(all); n > 0 && b.sameOrder(f, s, ran, at) {
			p = b.moved(all[n-1], at)
		} else {
			p, ran = b.run(camera, s, x, at), at
			if n > 0 {
				p.way = b.sameWay(all[n-1].way, p.way)
			}
		}
		p.long = at
		p.weight = b.weigh(s.seen, &b.trellis.ways[p.way], camera.State(), at)
		all = append(all, p)
		first := &all[0]
		alike = alike && p.way == first.way && p.to == first.to && p.weight == first.weight
	}
	if alike && (b.card == nil || !b.trellis.ways[all[0].way].moves) {
		all[0].long = -1
		return all[:1]
	}
	return all
}

// sameOrder reports whether everything happens in the same order at two points
// of long_press.
func (b *builder) sameOrder(f *flightPlan, s *section, one, other int) bool {
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
	ways := b.trellis.ways
	x, y := &ways[earlier], &ways[later]
	if x.verdict != y.verdict || x.first != y.first || !slices.Equal(x.changes, y.changes) {
		return later
	}
	b.trellis.ways = ways[:later]
	return earlier
}

// moved returns a passage at another point of long_press.
func (b *builder) moved(p passage, to int) passage {
	by := b.window(to).LongPress - b.window(p.long).LongPress
	p.ended = slices.Clone(p.ended)
	for i := range p.ended {
		if t := &p.ended[i]; momentOf(t.End, b.window(p.long)).axis == alongLong {
			t.End += by
		}
	}
	return p
}

// run runs a camera through a section.
func (b *builder) run(camera *sim.Camera, s *section, x fate, at int) passage {
	b.record.Clear()
	c := camera.Resume(b.step.plan.spec, b.window(at), &b.record)
	c.Suppose(supposed[x])
	p := b.through(&c, s, at)
	w := &b.trellis.ways[p.way]
	p.fate, w.before = x, placeOf(camera.State())
	if down, waits := camera.Waiting(); waits && w.verdict == sim.VerdictDouble {
		w.first = down / finer
	}
	p.weight = b.weigh(s.seen, w, camera.State(), at)
	return p
}

// through runs a camera to the end of a section and notes what it did. The camera
// must write to the builder's record.
func (b *builder) through(c *sim.Camera, s *section, at int) passage {
	record := &b.record
	c.RunUntil(s.edges, s.to*finer)
	began, recording := c.TakeStart()
	if s.last {
		c.Finish(s.to * finer)
	}
	p := passage{recording: recording && !s.last, began: began, way: int32(len(b.trellis.ways))}
	if b.card != nil {
		p.ended = slices.Clone(record.Takes)
	}
	w := way{step: int32(len(b.trellis.steps)), before: -1, takes: len(record.Takes)}
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
	w.changes = b.changes.keep(changes)
	b.trellis.ways = append(b.trellis.ways, w)
	present := c.Snapshot()
	p.to, _ = b.next.place(&present)
	return p
}

// weigh returns the chance of what was seen in a section, given the camera's state
// at its start and what a way says it did.
func (b *builder) weigh(seen []Glance, w *way, state sim.State, long int) float64 {
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
	return max(weight, sinking) // any number of glances may be wrong
}

// instant returns a moment, in µs, at a point of long_press.
func (b *builder) instant(m moment, long int) float64 {
	switch m.axis {
	case alongMin:
		return float64(m.base) + b.least[b.from].at
	case alongLong:
		return float64(m.base) + b.longs[long].at
	default:
		return float64(m.base)
	}
}
