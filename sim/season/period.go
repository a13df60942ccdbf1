package season

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"flicktally/sim/stat"
)

// Period is a day, a week or a month with flicks in it.
type Period struct {
	Name    string // 2026-06-13, 2026-W24, 2026-06 (ISO 8601)
	Flights int
	Toggled stat.Rate
	// Pooled is the chance of a toggle in the period, drawn towards the season's
	// (see pool). Within contains it with 95 %.
	Pooled float64
	Within stat.Interval
}

func byDay(t time.Time) string { return t.Format(time.DateOnly) }

func byWeek(t time.Time) string {
	year, week := t.ISOWeek()
	return fmt.Sprintf("%d-W%02d", year, week)
}

func byMonth(t time.Time) string { return t.Format("2006-01") }

// periods counts flights in order of time by period.
func periods(flights []Flight, name func(time.Time) string) []Period {
	var all []Period
	for _, f := range flights {
		if n := name(f.Began); len(all) == 0 || all[len(all)-1].Name != n {
			all = append(all, Period{Name: n})
		}
		p := &all[len(all)-1]
		p.Flights++
		p.Toggled = p.Toggled.Plus(stat.Rate{Hits: f.Toggled, Trials: f.Flicks})
	}
	pool(all)
	return all
}

// byFlight makes a period of each flight.
func byFlight(flights []Flight) []Period {
	all := make([]Period, len(flights))
	for i, f := range flights {
		all[i] = Period{Name: f.Moment() + " " + f.Name(), Flights: 1, Toggled: stat.Rate{Hits: f.Toggled, Trials: f.Flicks}}
	}
	pool(all)
	return all
}

// pool draws the rates of periods together by a hierarchical model. The chance of
// each period comes from one beta distribution. Its mean is the chance of the
// season; its width is how much periods differ beyond luck. Neither is known, so
// the chance of a period is averaged over a grid of both, weighted by their
// likelihood given all rates (the beta-binomial distribution). If nothing
// indicates that periods differ, all are close to the chance of the season.
//
// Source: A. Gelman and others, Bayesian Data Analysis, 5.3 (from memory).
func pool(all []Period) {
	grid := weighParents(all)
	for i := range all {
		p := &all[i]
		x, m := float64(p.Toggled.Hits), float64(p.Toggled.Trials)
		of := make([]distuv.Beta, len(grid))
		p.Pooled = 0
		for k, parent := range grid {
			of[k] = distuv.Beta{Alpha: parent.alpha + x, Beta: parent.beta + m - x}
			p.Pooled += parent.weight * of[k].Mean()
		}
		below := func(c float64) (sum float64) {
			for k, parent := range grid {
				sum += parent.weight * of[k].CDF(c)
			}
			return sum
		}
		p.Within = stat.Interval{Low: reaches(below, 0.025), High: reaches(below, 0.975)}
	}
}

// parent is a beta distribution from which the chances of periods may come.
type parent struct{ alpha, beta, weight float64 }

// weighParents weights a grid of means and of correlations within a period,
// from none to half.
func weighParents(all []Period) []parent {
	const means, correlations = 30, 8
	var grid []parent
	best := math.Inf(-1)
	for i := range means {
		mean := (float64(i) + 0.5) / means
		for k := range correlations {
			correlation := 0.5 * math.Pow((float64(k)+0.5)/correlations, 2)
			strength := 1/correlation - 1
			p := parent{alpha: mean * strength, beta: (1 - mean) * strength}
			// Uniform over the correlation: the grid is finer near none.
			p.weight = math.Log((float64(k) + 0.5) / correlations)
			for _, period := range all {
				x, m := float64(period.Toggled.Hits), float64(period.Toggled.Trials)
				p.weight += mathext.Lbeta(p.alpha+x, p.beta+m-x) - mathext.Lbeta(p.alpha, p.beta)
			}
			best = max(best, p.weight)
			grid = append(grid, p)
		}
	}
	const leastWeight = 1e-3
	kept, sum := grid[:0], 0.0
	for _, p := range grid {
		if p.weight = math.Exp(p.weight - best); p.weight >= leastWeight {
			kept, sum = append(kept, p), sum+p.weight
		}
	}
	for i := range kept {
		kept[i].weight /= sum
	}
	return kept
}

// reaches returns the point where a distribution function reaches a chance.
func reaches(below func(float64) float64, chance float64) float64 {
	low, high := 0.0, 1.0
	for range 14 {
		if middle := (low + high) / 2; below(middle) < chance {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
