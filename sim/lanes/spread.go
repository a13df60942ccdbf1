package lanes

import "math"

// Spread moves ascending places until neighbours are at least apart from each
// other, moving each as little as possible, and keeps all between left and right.
// ok is false if there is no room.
func Spread(places []float64, apart, left, right float64) (moved []float64, ok bool) {
	n := len(places)
	if float64(n-1)*apart > right-left {
		return nil, false
	}
	// Less the required distances, the places only have to ascend, and the
	// nearest ascending places are the means of pooled neighbours.
	type pool struct {
		sum   float64
		count int
	}
	mean := func(p pool) float64 { return p.sum / float64(p.count) }
	var pools []pool
	for i, x := range places {
		pools = append(pools, pool{x - float64(i)*apart, 1})
		for last := len(pools) - 1; last > 0 && mean(pools[last-1]) > mean(pools[last]); last-- {
			pools[last-1].sum += pools[last].sum
			pools[last-1].count += pools[last].count
			pools = pools[:last]
		}
	}
	for _, p := range pools {
		at := max(left, min(mean(p), right-float64(n-1)*apart))
		for range p.count {
			moved = append(moved, at+float64(len(moved))*apart)
		}
	}
	return moved, true
}

// SpreadNear is [Spread] for marks of moments: ok is false, too, if one would
// move by more than four times apart, too far to belong to its moment.
func SpreadNear(places []float64, apart, left, right float64) (moved []float64, ok bool) {
	moved, ok = Spread(places, apart, left, right)
	for i, x := range moved {
		ok = ok && math.Abs(x-places[i]) <= 4*apart
	}
	return moved, ok
}
