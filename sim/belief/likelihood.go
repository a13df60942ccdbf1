package belief

import (
	"cmp"
	"math"

	"flicktally/sim"
)

// Grid cuts the ranges of both thresholds into cells of equal length, so that
// the evidence of several outings about one camera can be added up.
type Grid struct {
	MinPress, LongPress sim.Interval
	MinCells, LongCells int // cells of each, at least 1
}

// GridOf returns the grid of a camera: with one cell for a known threshold.
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

// points returns the cells of a range, each with its middle.
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

// Likelihood returns how likely the observations of an outing are with the
// thresholds in the middle of each cell of the grid: the natural logarithm in
// millionths, 0 for the likeliest cell, row by row of min_press. Whole numbers
// make the sum over outings the same in every order. It is nil if nothing was
// observed: such an outing says nothing about the thresholds. Errors are those
// of [ResolveOuting].
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

// worstLog stands for the impossible: one outing alone never rules a cell out
// for good, as the model may be wrong about it.
const worstLog = -100
