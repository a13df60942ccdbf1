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
	// one time in a hundred. From then on, a miss drops by dropBy levels.
	missesToDrop = 3
	dropBy       = 3
	// topLevel is the hardest level. Its goal is a seventh of the tolerance, in a
	// steady hold 3 % of the aim: about the best that a practised hand can do.
	// Common practice, no source.
	topLevel = 12
)

// ladder is an up-down rule for the level of a drill: three hits in a row raise
// it by one, a miss lowers it by one, and several misses in a row by more. The
// zero ladder is at level 0, the easiest.
//
// Source: H. Levitt, J. Acoust. Soc. Am. 49 (1971) 467.
type ladder struct {
	Level  int
	hits   int // in a row, on this level
	misses int // in a row
}

// Step moves the level after a trial. top says that no level is harder.
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

// shrink is the ratio of a level's goal to that of the level below.
const shrink = 0.85

// goal is what a level requires.
type goal struct {
	tolerance sim.Micros
	top       bool // no level is harder
}

// newGoal returns the goal of a level, given that of level 0.
func newGoal(easiest sim.Micros, level int, resolution sim.Micros) goal {
	t := tolerance(easiest, level, resolution)
	return goal{t, level >= topLevel || tolerance(easiest, level+1, resolution) == t}
}

// tolerance returns the width of a level's goal. It stays well above the
// resolution of the input, and never exceeds that of level 0.
func tolerance(easiest sim.Micros, level int, resolution sim.Micros) sim.Micros {
	t := sim.Micros(float64(easiest) * math.Pow(shrink, float64(level)))
	return min(easiest, max(t, 2*resolution, 5*sim.Millisecond))
}
