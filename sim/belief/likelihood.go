package belief

import (
	"cmp"
	"math"

	"flicktally/sim"
)

// Grid divides the ranges of both thresholds into cells of equal length, so that
// the log-likelihoods of several outings with one camera can be added up.
type Grid struct {
	MinPress, LongPress sim.Interval
	MinCells, LongCells int // cells of each, at least 1
}

// GridOf returns the grid of a camera, with a single cell for a known threshold.
func GridOf(c sim.CameraSpec, cells int) Grid {
	g := Grid{MinPress: c.MinPress, LongPress: c.LongPress, MinCells: cells, LongCells: cells}
	if c.MinPress.Exact() {
		g.MinCells = 1
	}
	if c.LongPress.Exact() {
		g.LongCells = 1
	}
	return g
}

// points returns the middles of the cells of a range.
func (g Grid) points(r sim.Interval, cells int) []gridPoint {
	all := make([]gridPoint, cells)
	edge := func(i int) float64 {
		return float64(r.Low) + float64(r.High-r.Low)*float64(i)/float64(cells)
	}
	for i := range all {
		all[i] = gridPoint{
			low: sim.Micros(math.Round(edge(i))), high: sim.Micros(math.Round(edge(i + 1))),
			at: (edge(i) + edge(i+1)) / 2, prior: 1,
		}
	}
	return all
}

// Likelihood returns the likelihood of an outing's observations for the
// thresholds in the middle of each cell of the grid: the natural logarithm in
// millionths, relative to the likeliest cell, row by row of min_press. As they
// are whole numbers, sums over outings do not depend on the order. It is nil if
// nothing was observed, or the grid has a single cell. Errors are those of
// [ResolveOuting].
func Likelihood(o Outing, g Grid) ([]int64, error) {
	if o.none() || g.MinCells*g.LongCells == 1 {
		return nil, nil
	}
	if err := cmp.Or(o.check(), o.tooMuch()); err != nil {
		return nil, err
	}
	e := newEstimator(o.sectioned(), true, o.card(), 0)
	e.logWeights(g.points(g.MinPress, g.MinCells), g.points(g.LongPress, g.LongCells))
	all := make([]int64, 0, g.MinCells*g.LongCells)
	for _, row := range e.weights {
		for _, w := range row {
			all = append(all, int64(math.Round(max(w-e.total, worstLog)*1e6)))
		}
	}
	return all, nil
}

// worstLog is the least log-likelihood: as the model may be wrong about an outing,
// one outing alone never rules a cell out.
const worstLog = -100
