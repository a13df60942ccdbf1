package trainer

import (
	"math"

	"flicktally/sim"
)

const (
	// hitsToClimb makes the ladder settle where the chance of three hits in a
	// row is one half: at p³ = ½, 79.4 % of hits.
	hitsToClimb = 3
	// missesToDrop misses in a row mean a bad day: at 79.4 % of hits they occur
	// once in a hundred times. After that, a miss drops by dropBy levels.
	missesToDrop = 3
	dropBy       = 3
	// topLevel is the hardest level: it requires a seventh of the tolerance, in
	// a steady hold 3 % of the aim, which is about the best that a practised
	// hand can do. Common practice, no source.
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

// shrink is the ratio of a level's goal to that of the level before.
const shrink = 0.85

// goal is what a level requires.
type goal struct {
	tolerance sim.Micros
	top       bool // no level requires more
}

// newGoal returns the goal of a level, given that of level 0.
func newGoal(easiest sim.Micros, level int, resolution sim.Micros) goal {
	t := tolerance(easiest, level, resolution)
	return goal{t, level >= topLevel || tolerance(easiest, level+1, resolution) == t}
}

// tolerance returns the width of a goal. It stays well above the resolution of
// the input, below which nothing can be judged, and never exceeds the easiest.
func tolerance(easiest sim.Micros, level int, resolution sim.Micros) sim.Micros {
	t := sim.Micros(float64(easiest) * math.Pow(shrink, float64(level)))
	return min(easiest, max(t, 2*resolution, 5*sim.Millisecond))
}
