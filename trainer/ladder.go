package trainer

import (
	"math"

	"flicktally/sim"
)

const (
	// hitsToClimb makes the ladder settle where three hits in a row are as likely
	// as not: at p³ = ½, 79.4 % of hits.
	hitsToClimb = 3
	// missesToDrop misses in a row are a bad day: at 79.4 % of hits they come once
	// in a hundred times. From then on a miss eases by dropBy levels.
	missesToDrop = 3
	dropBy       = 3
	// topLevel is the hardest level: it asks for a seventh of what is right, in a
	// steady hold 3 % of the aim, which is about the best that a practised hand
	// does. Common practice, no source.
	topLevel = 12
)

// ladder is an up-down rule for the level of a drill: three hits in a row make
// it harder by one, a miss makes it easier by one, and more where misses come in a
// row. The zero ladder stands at level 0, the easiest.
//
// Source: H. Levitt, J. Acoust. Soc. Am. 49 (1971) 467.
type ladder struct {
	Level  int
	hits   int // in a row, on this level
	misses int // in a row
}

// Step takes a trial; at the top there is nothing harder.
func (l *ladder) Step(hit, top bool) {
	if !hit {
		l.hits = 0
		l.misses++
		down := 1
		if l.misses >= missesToDrop {
			down = dropBy
		}
		l.Level = max(0, l.Level-down)
		return
	}
	l.misses = 0
	l.hits++
	if l.hits < hitsToClimb {
		return
	}
	l.hits = 0
	if !top {
		l.Level = min(topLevel, l.Level+1)
	}
}

// shrink is how much smaller a goal is on each level than on the one before.
const shrink = 0.85

// goal is what a level asks for.
type goal struct {
	tolerance sim.Micros
	top       bool // no level asks for less
}

// newGoal returns what a level asks for, given what level 0 does.
func newGoal(easiest sim.Micros, level int, resolution sim.Micros) goal {
	t := tolerance(easiest, level, resolution)
	return goal{t, level >= topLevel || tolerance(easiest, level+1, resolution) == t}
}

// tolerance returns the width of a goal. It never gets near the resolution of the
// input, below which nothing can be judged, nor beyond the easiest.
func tolerance(easiest sim.Micros, level int, resolution sim.Micros) sim.Micros {
	t := sim.Micros(float64(easiest) * math.Pow(shrink, float64(level)))
	return min(easiest, max(t, 2*resolution, 5*sim.Millisecond))
}
