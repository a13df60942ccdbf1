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

// profileAtStep returns the interval where outcomes meet at one place only. The
// steeper a curve past it the better, up to what that place by itself allows.
func profileAtStep(shape Shape, doses []Dose, step, confidence float64) Interval {
	var meeting []Dose
	for _, d := range doses {
		if d.At == step {
			meeting = append(meeting, d)
		}
	}
	// The curve passes the place on the side of its majority; a hair is enough.
	const hair = 1e-7
	at := step + hair*float64(meeting[0].Trials-2*meeting[0].Responses)/float64(meeting[0].Trials)
	return profile(shape, doses, at, saturated(meeting), confidence)
}

// profile goes out from the best place, where the log-likelihood has its
// supremum best.
func profile(shape Shape, doses []Dose, at, best, confidence float64) Interval {
	least := best - distuv.ChiSquared{K: 1}.Quantile(confidence)/2
	within := func(place float64) bool { return bestThrough(shape, doses, place) >= least }
	reach := scaleOf(doses).spread
	if reach == 0 {
		return Interval{math.Inf(-1), math.Inf(1)}
	}
	return Interval{farthest(within, at, -reach), farthest(within, at, reach)}
}

// farthest returns the last place from at on, in the direction of step, that is
// within; infinite where none is not, as far as a place can tell.
func farthest(within func(float64) bool, at, step float64) float64 {
	const doublings, halvings = 20, 30
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
// through (place, ½). It is concave in the slope: scoring finds the best one,
// held between slopes that are too flat and too steep.
func bestThrough(shape Shape, doses []Dose, place float64) float64 {
	slopeScore := func(slope float64) (score, info float64) {
		for _, d := range doses {
			x := d.At - place
			score += d.pull(shape, slope*x) * x
			info += float64(d.Trials) * shape.information(slope*x) * x * x
		}
		return score, info
	}
	const steepest = 1 << 40 // so steep that every dose is certain that is not at the place
	unit := 1 / scaleOf(doses).spread
	slope, flat, steep := 0.0, 0.0, steepest*unit
	for range 100 {
		score, info := slopeScore(slope)
		if score > 0 {
			flat = slope
		} else {
			steep = slope
		}
		next := slope + score/info
		if !(next > flat && next < steep) { // NaN too
			next = flat + min(steep-flat, max(flat, unit))/2
		}
		if steep-flat <= 1e-9*flat || math.Abs(next-slope) <= 1e-9*slope {
			break
		}
		slope = next
	}
	return logLikelihood(shape, doses, -slope*place, slope)
}
