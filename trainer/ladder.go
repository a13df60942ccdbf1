package trainer

import (
	"math"

	"flicktally/sim"
)

// hitsToClimb makes the ladder settle where three hits in a row are as likely
// as not: at p³ = ½, 79.4 % of hits.
const hitsToClimb = 3

// ladder is an up-down rule for the level of a drill: three hits in a row make
// it harder by one, a miss makes it easier by one. The zero ladder stands at
// level 0, the easiest.
//
// Source: H. Levitt, J. Acoust. Soc. Am. 49 (1971) 467.
type ladder struct {
	Level int
	hits  int // in a row, on this level
}

// Step takes a trial.
func (l *ladder) Step(hit bool) {
	switch {
	case !hit:
		l.Level = max(0, l.Level-1)
		l.hits = 0
	case l.hits+1 == hitsToClimb:
		l.Level++
		l.hits = 0
	default:
		l.hits++
	}
}

// shrink is how much smaller a tolerance is on each level than on the one
// before.
const shrink = 0.85

// tolerance returns what a level allows, given what level 0 does. It never
// gets near the resolution of the input, below which nothing can be judged.
func tolerance(easiest sim.Micros, level int, resolution sim.Micros) sim.Micros {
	t := sim.Micros(float64(easiest) * math.Pow(shrink, float64(level)))
	return max(t, 2*resolution, 5*sim.Millisecond)
}
