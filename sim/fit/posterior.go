package fit

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"flicktally/sim"
)

// prior is what is assumed about a threshold and its jitter before any trial.
// Times are in seconds.
type prior struct {
	// The logarithm of the threshold has a Cauchy distribution: median middle,
	// quartiles at middle/factor and middle·factor. Its tails are heavy enough
	// for a few trials to overrule it. It is cut off at lowest and highest.
	middle, factor  float64
	lowest, highest float64
	// spreads are the standard deviations that the jitter may have, evenly
	// spaced in the logarithm. They are equally likely up to the knee; above
	// it, their chance falls with the fourth power.
	spreads []float64
	knee    float64
	// mistakes is the chance that a trial does not show what the press did.
	mistakes float64
}

// Assumptions about cameras: common practice, no source. Trials soon show where
// a threshold is. As a jitter above the knee is rare, the trials at a camera
// without jitter come to an end.
var (
	minPrior = prior{
		middle: 0.1, factor: 2, lowest: 0.001, highest: 20,
		spreads: geometric(0.0005, 0.2, 13), knee: 0.02, mistakes: 0.002,
	}
	longPrior = prior{
		middle: 1.5, factor: 1.7, lowest: 0.02, highest: 30,
		spreads: geometric(0.0025, 1, 13), knee: 0.1, mistakes: 0.002,
	}
)

// density returns the prior density at a logarithm of a place and of a spread,
// up to a factor.
func (b prior) density(place, spread float64) float64 {
	x := math.Log(place/b.middle) / math.Log(b.factor)
	return math.Pow(min(1, b.knee/spread), 4) / (1 + x*x)
}

// posterior is the posterior of a threshold: the chances of cells of a grid
// over its place and the spread of its jitter.
type posterior struct {
	shape    Shape
	mistakes float64
	places   []float64
	cells    []cell    // by place, then by spread; very unlikely ones are left out
	below    []float64 // chance that the threshold lies below each place and its half of the way to the next
}

// cell is one combination of a place and a spread.
type cell struct{ place, spread, weight float64 }

// The grid. The first one, over all places, includes the holds of the trials
// and the middles between them, so that it misses no narrow bracket. The second
// one covers what the first leaves possible.
const (
	roughPlaces = 80
	finePlaces  = 120
	outside     = 1e-5 // chance left out by the second grid at each end
	hardly      = 1e-7 // relative to the likeliest cell: cells below are left out
)

// newPosterior weighs the doses, in order of place.
func newPosterior(shape Shape, b prior, doses []dose) posterior {
	places := geometric(b.lowest, b.highest, roughPlaces)
	last := b.lowest
	for _, d := range doses {
		if d.At > b.lowest && d.At < b.highest {
			places = append(places, d.At, math.Sqrt(last*d.At))
			last = d.At
		}
	}
	slices.Sort(places)
	places = slices.Compact(places)
	low, high := b.weigh(shape, places, doses).span()
	return b.weigh(shape, geometric(low, high, finePlaces), doses)
}

// geometric returns n numbers from low to high, in a geometric series.
func geometric(low, high float64, n int) []float64 {
	numbers := make([]float64, n)
	for i := range numbers {
		numbers[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return numbers
}

// weigh applies Bayes' rule on a grid.
func (b prior) weigh(shape Shape, places []float64, doses []dose) posterior {
	p := posterior{shape: shape, mistakes: b.mistakes, places: places}
	all := make([]cell, 0, len(places)*len(b.spreads))
	best := math.Inf(-1)
	for i, place := range places {
		room := math.Log(places[min(i+1, len(places)-1)] / places[max(i-1, 0)])
		for _, spread := range b.spreads {
			c := cell{place: place, spread: spread}
			c.weight = math.Log(room*b.density(place, spread)) + p.logLikelihood(c, doses)
			best = max(best, c.weight)
			all = append(all, c)
		}
	}
	sum := 0.0
	for _, c := range all {
		if c.weight = math.Exp(c.weight - best); c.weight > hardly {
			p.cells = append(p.cells, c)
			sum += c.weight
		}
	}
	p.below = make([]float64, len(places))
	total, next := 0.0, 0
	for i, place := range places {
		for ; next < len(p.cells) && p.cells[next].place == place; next++ {
			p.cells[next].weight /= sum
			total += p.cells[next].weight
		}
		p.below[i] = total
	}
	return p
}

// response is the chance that a press of a hold reaches the threshold.
func (p posterior) response(c cell, hold float64) float64 {
	switch eta := (hold - c.place) * p.shape.deviation() / c.spread; {
	case eta > certain:
		return 1
	case eta < -certain:
		return 0
	default:
		return p.shape.chance(eta)
	}
}

// certain is the distance from a threshold, in units of the shape, beyond which
// a response is treated as certain.
const certain = 20

// mistaken turns the chance of a response into the chance that a trial shows
// it.
func (p posterior) mistaken(response float64) float64 {
	return p.mistakes/2 + (1-p.mistakes)*response
}

// logLikelihood returns the log-likelihood of a cell, without binomial
// coefficients.
func (p posterior) logLikelihood(c cell, doses []dose) float64 {
	const small = 1e-200 // far from underflow
	sum, product := 0.0, 1.0
	for _, d := range doses {
		chance := p.mistaken(p.response(c, d.At))
		for n := range d.Trials {
			if n < d.Responses {
				product *= chance
			} else {
				product *= 1 - chance
			}
			if product < small {
				sum += math.Log(product)
				product = 1
			}
		}
	}
	return sum + math.Log(product)
}

// span returns the places between which the threshold almost certainly lies,
// widened by a step of the grid.
func (p posterior) span() (low, high float64) {
	first := sort.SearchFloat64s(p.below, outside)
	last := sort.SearchFloat64s(p.below, 1-outside)
	return p.places[max(first-1, 0)], p.places[min(last+1, len(p.places)-1)]
}

// quantile returns the place below which the threshold lies with the given
// chance.
func (p posterior) quantile(chance float64) float64 {
	i := min(sort.SearchFloat64s(p.below, chance), len(p.places)-1)
	low, high, before := p.places[i], p.places[i], 0.0
	if i > 0 {
		low, before = (p.places[i-1]+p.places[i])/2, p.below[i-1]
	}
	if i+1 < len(p.places) {
		high = (p.places[i] + p.places[i+1]) / 2
	}
	return low + (high-low)*min(1, (chance-before)/(p.below[i]-before))
}

// jitter returns the median of the jitter's standard deviation.
func (p posterior) jitter() float64 {
	return p.quantilesOf(func(c cell) float64 { return c.spread }, 0.5)[0]
}

// quantilesOf returns the quantiles of a function of the cells.
func (p posterior) quantilesOf(function func(cell) float64, chances ...float64) []float64 {
	type weighted struct{ value, weight float64 }
	all := make([]weighted, len(p.cells))
	for i, c := range p.cells {
		all[i] = weighted{function(c), c.weight}
	}
	slices.SortFunc(all, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
	quantiles, next, sum := make([]float64, len(chances)), 0, 0.0
	for _, w := range all {
		for sum += w.weight; next < len(chances) && sum >= chances[next]; next++ {
			quantiles[next] = w.value
		}
	}
	for ; next < len(chances); next++ { // apart from rounding
		quantiles[next] = all[len(all)-1].value
	}
	return quantiles
}

// expected returns the chance that a press of a hold reaches the threshold, over
// all cells.
func (p posterior) expected(hold float64) float64 {
	sum := 0.0
	for _, c := range p.cells {
		sum += c.weight * p.response(c, hold)
	}
	return sum
}

// ResponseAt returns the chance, 0 to 1, that a press of a hold reaches the
// threshold, given the trials, and its interval at the given confidence.
func (t Threshold) ResponseAt(hold sim.Micros, confidence float64) (expected float64, band Interval) {
	p, at := t.posterior, hold.Seconds()
	ends := p.quantilesOf(func(c cell) float64 { return p.response(c, at) }, (1-confidence)/2, (1+confidence)/2)
	return p.expected(at), Interval{ends[0], ends[1]}
}

// responding returns the hold at which a share of presses is expected to reach
// the threshold; 0 if more do at any hold.
func (p posterior) responding(share float64) float64 {
	const halvings = 40
	low, high := 0.0, p.places[len(p.places)-1]
	for p.expected(high) < share {
		high *= 2
	}
	for range halvings {
		if middle := (low + high) / 2; p.expected(middle) < share {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
