package belief

import (
	"maps"
	"math"
	"slices"

	"flicktally/sim"
)

// lights holds the chance of each light, in the order of Lights, and then that of
// the unknown state.
type lights [4]float64

// lightIndex returns the index of a state's light in lights.
func lightIndex(s sim.State) int {
	light, known := lightOf(s)
	if !known {
		return len(Lights)
	}
	return slices.Index(Lights, light)
}

// curve is the chance of each light over the log, stored as changes of the
// chances (jumps) and of their slopes per µs (bends).
type curve struct {
	jumps, bends map[sim.Micros]lights
}

func newCurve() curve {
	return curve{map[sim.Micros]lights{}, map[sim.Micros]lights{}}
}

// add adds changes of state, with a weight. Before them the light is that of an
// index, or nothing is known of it (-1). A moment that moves with a threshold is
// distributed as the chords along its axis.
func (c *curve) add(before int, changes []change, weight float64, along func(axis) []chord) {
	for _, s := range changes {
		light := lightIndex(s.state)
		if light == before {
			continue
		}
		if s.at.axis == fixed {
			shift(c.jumps, s.at.base, before, light, weight)
		} else {
			for _, k := range along(s.at.axis) {
				c.ramp(s.at.base, k, before, light, weight*k.share)
			}
		}
		before = light
	}
}

// ramp adds a change at a moment that is uniform over a chord.
func (c *curve) ramp(base sim.Micros, k chord, before, light int, weight float64) {
	if k.from == k.to {
		shift(c.jumps, base+k.from, before, light, weight)
		return
	}
	slope := weight / float64(k.to-k.from)
	shift(c.bends, base+k.from, before, light, slope)
	shift(c.bends, base+k.to, before, light, -slope)
}

// shift moves an amount from one light to another; from is -1 at the start.
func shift(at map[sim.Micros]lights, moment sim.Micros, from, to int, amount float64) {
	change := at[moment]
	if from >= 0 {
		change[from] -= amount
	}
	change[to] += amount
	at[moment] = change
}

// stretch is a piece of the curve, linear between its ends.
type stretch struct {
	span     sim.Span
	from, to lights
}

// stretches returns the curve up to the end of the log, divided by total.
func (c *curve) stretches(end sim.Micros, total float64) []stretch {
	moments := slices.AppendSeq(slices.Collect(maps.Keys(c.jumps)), maps.Keys(c.bends))
	moments = append(moments, end)
	slices.Sort(moments)
	moments = slices.Compact(moments)
	var (
		all          = make([]stretch, 0, len(moments))
		value, slope lights
		last         sim.Micros
	)
	for _, at := range moments {
		if at > end {
			break
		}
		if at > last {
			reached := value.plus(slope, float64(at-last))
			all = append(all, stretch{sim.Span{From: last, To: at}, value.share(total), reached.share(total)})
			value, last = reached, at
		}
		value, slope = value.plus(c.jumps[at], 1), slope.plus(c.bends[at], 1)
	}
	if end == 0 {
		all = append(all, stretch{sim.Span{}, value.share(total), value.share(total)})
	}
	return all
}

func (l lights) plus(d lights, times float64) lights {
	for i := range l {
		l[i] += d[i] * times
	}
	return l
}

// share turns weights into chances and removes rounding errors.
func (l lights) share(total float64) lights {
	for i := range l {
		l[i] = round(l[i] / total)
	}
	return l
}

// recording returns the chance of recording as a replay has it: neighbouring
// stretches with the same constant chance are joined.
func recording(all []stretch) []sim.BeliefStretch {
	var belief []sim.BeliefStretch
	for _, s := range all {
		b := sim.BeliefStretch{From: s.span.From, To: s.span.To, Recording: s.from[0], RecordingTo: s.to[0]}
		if n := len(belief); n > 0 && b.Recording == b.RecordingTo {
			if last := &belief[n-1]; last.Recording == b.Recording && last.RecordingTo == b.Recording {
				last.To = b.To
				continue
			}
		}
		belief = append(belief, b)
	}
	return belief
}

// simplified joins stretches over which the chance stays close to a straight
// line.
func simplified(all []sim.BeliefStretch) []sim.BeliefStretch {
	var kept []sim.BeliefStretch
	for first := 0; first < len(all); {
		joined, after := all[first], first+1
		cone := newCone(joined)
		for after < len(all) && cone.takes(all[after]) {
			joined.To, joined.RecordingTo = all[after].To, all[after].RecordingTo
			after++
		}
		kept, first = append(kept, joined), after
	}
	return kept
}

// cone is the range of slopes of the lines that start where a stretch does and
// pass close to the stretches after it.
type cone struct {
	from          sim.BeliefStretch
	gentle, steep float64
}

func newCone(b sim.BeliefStretch) cone {
	c := cone{b, math.Inf(-1), math.Inf(1)}
	c.narrow(b.To, b.RecordingTo)
	return c
}

// narrow drops the slopes that miss a chance at a moment by more than the
// tolerance, and returns the slope that meets it.
func (c *cone) narrow(at sim.Micros, chance float64) float64 {
	const tolerance = 2e-4
	length, rise := float64(at-c.from.From), chance-c.from.Recording
	c.gentle, c.steep = max(c.gentle, (rise-tolerance)/length), min(c.steep, (rise+tolerance)/length)
	return rise / length
}

// takes reports whether some line also passes close to one more stretch.
func (c *cone) takes(b sim.BeliefStretch) bool {
	if c.from.From == c.from.To {
		return false
	}
	c.narrow(b.From, b.Recording)
	slope := c.narrow(b.To, b.RecordingTo)
	return slope >= c.gentle && slope <= c.steep
}
