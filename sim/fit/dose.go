package fit

import (
	"cmp"
	"math"
	"slices"
)

// sortDoses returns the doses in order of place, with equal places joined.
func sortDoses(doses []dose) []dose {
	sorted := slices.Clone(doses)
	slices.SortFunc(sorted, func(a, b dose) int { return cmp.Compare(a.At, b.At) })
	joined := sorted[:0]
	for _, d := range sorted {
		if n := len(joined); n > 0 && joined[n-1].At == d.At {
			joined[n-1].Trials += d.Trials
			joined[n-1].Responses += d.Responses
			continue
		}
		joined = append(joined, d)
	}
	return joined
}

// overlap returns the highest place without a response and the lowest with one:
// −Inf and +Inf if there is none. The responses overlap only if the first is
// the higher.
func overlap(doses []dose) (highestWithout, lowestWith float64) {
	_, highestWithout = placesOf(doses, false)
	lowestWith, _ = placesOf(doses, true)
	return highestWithout, lowestWith
}

// falls reports whether no place with a response is above one without.
func falls(doses []dose) bool {
	lowestWithout, _ := placesOf(doses, false)
	_, highestWith := placesOf(doses, true)
	return highestWith <= lowestWithout
}

// placesOf returns the lowest and the highest place of trials with or without a
// response; +Inf and −Inf if there is none.
func placesOf(doses []dose, response bool) (lowest, highest float64) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	for _, d := range doses {
		if response && d.Responses > 0 || !response && d.Responses < d.Trials {
			lowest, highest = min(lowest, d.At), max(highest, d.At)
		}
	}
	return lowest, highest
}

// scale makes places comparable to 1 for the arithmetic: x = (place − mean)/spread.
type scale struct{ mean, spread float64 }

func (s scale) apply(doses []dose) []dose {
	scaled := slices.Clone(doses)
	for i := range scaled {
		scaled[i].At = (scaled[i].At - s.mean) / s.spread
	}
	return scaled
}

// back returns intercept, slope and their covariance for unscaled places.
func (s scale) back(a, b float64, cov [2][2]float64) (intercept, slope float64, covariance [2][2]float64) {
	shift := s.mean / s.spread // intercept = a − b·shift, slope = b/spread
	mixed := (cov[0][1] - shift*cov[1][1]) / s.spread
	return a - b*shift, b / s.spread, [2][2]float64{
		{cov[0][0] - 2*shift*cov[0][1] + shift*shift*cov[1][1], mixed},
		{mixed, cov[1][1] / (s.spread * s.spread)},
	}
}

// spearmanKarber estimates the threshold without a curve: the mean of the
// distribution whose cumulative shares are the response rates, made to rise
// where they fall (pool adjacent violators), linear between places. It also
// returns the standard error, √(Σ p(1−p)/n·((x₊−x₋)/2)²). It needs a place
// without any response below one at which all respond; otherwise ok is false.
// Source: C. Spearman 1908, G. Kärber 1931; variance in D. J. Finney,
// Statistical Method in Biological Assay, chapter 20.
func spearmanKarber(doses []dose) (at, se float64, ok bool) {
	doses = sortDoses(doses)
	last := len(doses) - 1
	if last < 1 {
		return 0, 0, false
	}
	rates := risingRates(doses)
	if rates[0] != 0 || rates[last] != 1 {
		return 0, 0, false
	}
	variance := 0.0
	for i := range last {
		at += (rates[i+1] - rates[i]) * (doses[i].At + doses[i+1].At) / 2
		if i > 0 {
			reach := (doses[i+1].At - doses[i-1].At) / 2
			variance += rates[i] * (1 - rates[i]) / float64(doses[i].Trials) * reach * reach
		}
	}
	return at, math.Sqrt(variance), true
}

// risingRates returns the response rates, with falling neighbours pooled.
func risingRates(doses []dose) []float64 {
	type pool struct{ responses, trials, places int }
	var pools []pool
	for _, d := range doses {
		p := pool{d.Responses, d.Trials, 1}
		for n := len(pools); n > 0 && pools[n-1].responses*p.trials > p.responses*pools[n-1].trials; n = len(pools) {
			before := pools[n-1]
			p = pool{p.responses + before.responses, p.trials + before.trials, p.places + before.places}
			pools = pools[:n-1]
		}
		pools = append(pools, p)
	}
	var rates []float64
	for _, p := range pools {
		for range p.places {
			rates = append(rates, float64(p.responses)/float64(p.trials))
		}
	}
	return rates
}
