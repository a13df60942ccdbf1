package belief

import (
	"math"
	"slices"

	"flicktally/sim"
)

// gridPoint represents a part of a threshold's range, [low, high] in µs, by one
// place in it. Each piece of the range has the two Gauss-Legendre points: their
// weights are equal, and polynomials up to the third degree are summed exactly.
// Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964),
// 25.4.30.
type gridPoint struct {
	low, high sim.Micros
	at        float64
	prior     float64 // the part's share of the range
	ruledOut  bool    // it is practically impossible
}

// axisGrid is the range of one threshold, divided into pieces within which nothing
// jumps.
type axisGrid struct {
	whole   sim.Interval
	cuts    []sim.Micros // inner ends of pieces, rising
	matters bool         // something depends on where in its range the threshold is
}

// newAxisGrid divides a range at knots, or at some of them if there are too many.
func newAxisGrid(whole sim.Interval, knots []sim.Micros, matters bool, pieces int) axisGrid {
	s := axisGrid{whole: whole}
	knots = slices.DeleteFunc(slices.Clone(knots), func(k sim.Micros) bool { return k <= whole.Low || k >= whole.High })
	slices.Sort(knots)
	knots = slices.Compact(knots)
	s.matters = !whole.Exact() && (matters || len(knots) > 0)
	if most := max(1, pieces-1); len(knots) > most {
		for i := range most {
			s.cuts = append(s.cuts, knots[i*len(knots)/most])
		}
		return s
	}
	s.cuts = knots
	return s
}

// branches returns the ends of all pieces.
func (s axisGrid) edges() []sim.Micros {
	return slices.Concat([]sim.Micros{s.whole.Low}, s.cuts, []sim.Micros{s.whole.High})
}

// refined divides each piece into its share of the given number of parts, at
// least one, none shorter than a µs.
func (s axisGrid) refined(pieces int, share func(from, to sim.Micros) float64) axisGrid {
	if !s.matters {
		return s
	}
	finer := axisGrid{whole: s.whole, matters: true}
	ends := s.edges()
	for i := range len(ends) - 1 {
		from, to := ends[i], ends[i+1]
		parts := min(to-from, max(1, sim.Micros(math.Round(share(from, to)*float64(pieces)))))
		for k := range parts {
			finer.cuts = append(finer.cuts, from+(to-from)*(k+1)/parts)
		}
	}
	finer.cuts = finer.cuts[:len(finer.cuts)-1]
	return finer
}

// lengthShare is a share by length.
func (s axisGrid) lengthShare(from, to sim.Micros) float64 {
	return float64(to-from) / float64(s.whole.High-s.whole.Low)
}

// points returns the points of the scale: a single one if the threshold is
// known or nothing depends on it.
func (s axisGrid) points() []gridPoint {
	if !s.matters {
		middle := float64(s.whole.Low+s.whole.High) / 2
		return []gridPoint{{low: s.whole.Low, high: s.whole.High, at: middle, prior: 1}}
	}
	offset := (1 - 1/math.Sqrt(3)) / 2
	var all []gridPoint
	ends := s.edges()
	for i := range len(ends) - 1 {
		from, to := ends[i], ends[i+1]
		length, middle := float64(to-from), from+(to-from)/2
		prior := s.lengthShare(from, to) / 2
		all = append(all,
			gridPoint{low: from, high: middle, at: float64(from) + offset*length, prior: prior},
			gridPoint{low: middle, high: to, at: float64(to) - offset*length, prior: prior})
	}
	return all
}
