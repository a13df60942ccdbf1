package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a confidence interval of a chance.
type Interval struct{ Low, High float64 }

// Rate counts how often something happened in a number of trials.
type Rate struct{ Hits, Trials int }

// Add counts one more trial.
func (r *Rate) Add(hit bool) {
	r.Trials++
	if hit {
		r.Hits++
	}
}

// Plus returns the rate over the trials of both.
func (r Rate) Plus(other Rate) Rate { return Rate{r.Hits + other.Hits, r.Trials + other.Trials} }

// Value returns the observed rate; NaN without trials.
func (r Rate) Value() float64 { return float64(r.Hits) / float64(r.Trials) }

// Wilson returns the score interval of a chance at a level of confidence such
// as 0.95; [0, 1] without trials. Its average coverage is close to nominal,
// even for few trials and extreme rates.
//
// Source: E. B. Wilson, JASA 22 (1927) 209; as method 3 in R. G. Newcombe,
// Statistics in Medicine 17 (1998) 857.
func (r Rate) Wilson(confidence float64) Interval {
	r.check(confidence)
	if r.Trials == 0 {
		return Interval{0, 1}
	}
	z := distuv.UnitNormal.Quantile((1 + confidence) / 2)
	n, p := float64(r.Trials), r.Value()
	middle := (p + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	i := Interval{middle - half, middle + half}
	if r.Hits == 0 {
		i.Low = 0
	}
	if r.Hits == r.Trials {
		i.High = 1
	}
	return i
}

func (r Rate) check(confidence float64) {
	if r.Hits < 0 || r.Hits > r.Trials {
		panic(fmt.Sprintf("internal error: %d hits in %d trials", r.Hits, r.Trials))
	}
	if !(confidence > 0 && confidence < 1) {
		panic(fmt.Sprintf("internal error: confidence %v", confidence))
	}
}
