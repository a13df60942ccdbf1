package season

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"flicktally/sim/stat"
)

// Period is a day, a week or a month with flicks in it.
type Period struct {
	Name    string // 2026-06-13, 2026-W24, 2026-06 (ISO 8601)
	Flights int
	Toggled stat.Rate
	// Pooled is the chance of a toggle in that period, drawn towards the season's
	// as far as periods do not differ by more than luck, and Within holds it with
	// 95 %.
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

// pool draws the rates of periods together. Each period has a chance of its own,
// from a beta distribution that all of them tell (empirical Bayes): its mean is
// that of all flicks, its width follows from how much more the rates differ than
// luck would have it. The chance of a period then is beta distributed too. Where
// nothing tells that periods differ, all have the chance of the season.
//
// Source: J. C. Kleinman, Proportions with extraneous variance, JASA 68 (1973) 46
// (the moments, weighted by the number of trials; from memory).
func pool(all []Period) {
	var sum stat.Rate
	squares := 0.0
	for _, p := range all {
		sum = sum.Plus(p.Toggled)
		squares += float64(p.Toggled.Trials) * float64(p.Toggled.Trials)
	}
	if sum.Trials == 0 {
		return
	}
	n := float64(sum.Trials)
	// Jeffreys' prior keeps a season without a failure from being certain.
	mean := (float64(sum.Hits) + 0.5) / (n + 1)
	spread := 0.0
	used := 0
	for _, p := range all {
		if p.Toggled.Trials > 0 {
			used++
			spread += float64(p.Toggled.Trials) * math.Pow(p.Toggled.Value()-mean, 2)
		}
	}
	more := float64(used - 1)
	alike := (spread - mean*(1-mean)*more) / (mean * (1 - mean) * (n - squares/n - more))
	strength := n // of the season's chance, in flicks: all of them where periods do not differ
	if used > 1 && alike > 0 {
		strength = min(n, (1-min(alike, 0.99))/min(alike, 0.99))
	}
	for i := range all {
		p := &all[i]
		x, m := float64(p.Toggled.Hits), float64(p.Toggled.Trials)
		if strength == n { // its own flicks are in the season's chance already
			x, m = 0, 0
		}
		b := distuv.Beta{Alpha: mean*strength + x, Beta: (1-mean)*strength + m - x}
		p.Pooled = b.Mean()
		p.Within = stat.Interval{Low: b.Quantile(0.025), High: b.Quantile(0.975)}
	}
}
