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
}

// axisGrid is the range of one threshold, divided into pieces within which
// nothing jumps.
type axisGrid struct {
	whole   sim.Interval
	cuts    []sim.Micros // inner ends of pieces, rising
	matters bool         // something depends on where in its range the threshold is
}

// newAxisGrid divides a range at breakpoints.
func newAxisGrid(whole sim.Interval, breakpoints []sim.Micros, matters bool) axisGrid {
	cuts := slices.DeleteFunc(slices.Clone(breakpoints), func(at sim.Micros) bool { return at <= whole.Low || at >= whole.High })
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	return axisGrid{whole, cuts, !whole.Exact() && (matters || len(cuts) > 0)}
}

// coarser leaves out some cuts if there are more than a number of pieces allows.
func (g axisGrid) coarser(pieces int) axisGrid {
	all, most := g.cuts, max(1, pieces-1)
	if len(all) <= most {
		return g
	}
	g.cuts = make([]sim.Micros, most)
	for i := range g.cuts {
		g.cuts[i] = all[i*len(all)/most]
	}
	return g
}

// ends returns the ends of all pieces.
func (g axisGrid) ends() []sim.Micros {
	return slices.Concat([]sim.Micros{g.whole.Low}, g.cuts, []sim.Micros{g.whole.High})
}

// lengthShare is a share by length.
func (g axisGrid) lengthShare(from, to sim.Micros) float64 {
	return float64(to-from) / float64(g.whole.High-g.whole.Low)
}

// focused returns a share that is mostly by the weight found at some points, and
// partly by length; 0 where the weight is negligible.
func (g axisGrid) focused(points []gridPoint, weights []float64) func(from, to sim.Micros) float64 {
	return func(from, to sim.Micros) float64 {
		weight := 0.0
		for i, p := range points {
			if p.at >= float64(from) && p.at < float64(to) {
				weight += weights[i]
			}
		}
		if weight < negligible {
			return 0
		}
		return 0.7*weight + 0.3*g.lengthShare(from, to)
	}
}

// points divides each piece into its share of a number of parts, at least one,
// none shorter than a µs, and returns the grid points of the parts; pieces
// without a share have none. It returns a single point if the threshold is known
// or nothing depends on it.
func (g axisGrid) points(parts int, share func(from, to sim.Micros) float64) []gridPoint {
	if !g.matters {
		middle := float64(g.whole.Low+g.whole.High) / 2
		return []gridPoint{{low: g.whole.Low, high: g.whole.High, at: middle, prior: 1}}
	}
	var all []gridPoint
	ends := g.ends()
	for i := range len(ends) - 1 {
		from, to := ends[i], ends[i+1]
		part := share(from, to)
		if part == 0 {
			continue
		}
		n := min(to-from, max(1, sim.Micros(math.Round(part*float64(parts)))))
		for k := range n {
			all = append(all, g.pair(from+(to-from)*k/n, from+(to-from)*(k+1)/n)...)
		}
	}
	return all
}

// pair returns the two Gauss-Legendre points of a part of the range.
func (g axisGrid) pair(from, to sim.Micros) []gridPoint {
	offset := (1 - 1/math.Sqrt(3)) / 2
	length, middle := float64(to-from), from+(to-from)/2
	prior := g.lengthShare(from, to) / 2
	return []gridPoint{
		{low: from, high: middle, at: float64(from) + offset*length, prior: prior},
		{low: middle, high: to, at: float64(to) - offset*length, prior: prior},
	}
}
