package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Profile returns the interval of the threshold by the profile likelihood: the
// places c for which the best of the curves through (c, ½) has a log-likelihood
// that lacks at most half the χ² quantile with one degree of freedom. An end is
// infinite where a flat curve is good enough.
func (c *Curve) Profile(confidence float64) Interval {
	at, _ := c.Threshold()
	return profile(c.Shape, c.doses, at, c.LogLikelihood, confidence)
}

// profile goes out from the best place, where the log-likelihood has its
// supremum best.
func profile(shape Shape, doses []Dose, at, best, confidence float64) Interval {
	least := best - distuv.ChiSquared{K: 1}.Quantile(confidence)/2
	within := func(place float64) bool { return bestThrough(shape, doses, place) >= least }
	reach := scaleOf(doses).spread
	return Interval{farthest(within, at, -reach), farthest(within, at, reach)}
}

// farthest returns the last place from at on, in the direction of step, that is
// within; infinite where none is not, as far as a place can tell.
func farthest(within func(float64) bool, at, step float64) float64 {
	const doublings, halvings = 20, 60
	outside := at + step
	for n := 0; within(outside); n++ {
		if n == doublings {
			return math.Inf(int(math.Copysign(1, step)))
		}
		step *= 2
		outside = at + step
	}
	inside := at
	for range halvings {
		if middle := (inside + outside) / 2; within(middle) {
			inside = middle
		} else {
			outside = middle
		}
	}
	return inside
}

// bestThrough returns the greatest log-likelihood of the curves that rise
// through (place, ½). It is concave in the slope, so the slope is where its
// derivative changes sign.
func bestThrough(shape Shape, doses []Dose, place float64) float64 {
	rises := func(slope float64) bool {
		sum := 0.0
		for _, d := range doses {
			sum += d.pull(shape, slope*(d.At-place)) * (d.At - place)
		}
		return sum > 0
	}
	// From flat to so steep that every dose but one at the place is certain.
	flat, steep := 0.0, 1/scaleOf(doses).spread
	for n := 0; rises(steep) && n < 40; n++ {
		flat, steep = steep, steep*2
	}
	for range 50 {
		if middle := (flat + steep) / 2; rises(middle) {
			flat = middle
		} else {
			steep = middle
		}
	}
	return logLikelihood(shape, doses, -flat*place, flat)
}
