package trainer

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Score sums up flicks and trials: of a drill, a day, a week. The day's cold
// flick and what does not count are left out of all but Cold.
type Score struct {
	Toggled stat.Rate    // flicks that toggled
	Holds   stat.Summary // of the hand, in µs, over the flicks that toggled
	// Drift is the autocorrelation of successive holds: near 1 for a hold that
	// wanders, below 0 for one that is overcorrected each time.
	Drift float64
	Kinds []KindScore // of the drills that were done, in their order
	Cold  stat.Rate   // first flicks of a day that toggled
}

// KindScore sums up the trials of one kind.
type KindScore struct {
	Kind  Kind
	Right stat.Rate
	Off   stat.Summary // Off of the trials that have it, in µs
	Level int          // of the last trial
}

// NewScore sums up flicks and trials that are in order of time.
func NewScore(flicks []Flick, results []Result) Score {
	var s Score
	var holds []sim.Micros
	for _, f := range flicks {
		switch {
		case !countable(f) || f.TooClose:
		case f.Cold:
			s.Cold.Add(f.Toggled())
		default:
			s.Toggled.Add(f.Toggled())
			if f.Toggled() {
				holds = append(holds, f.Hold())
			}
		}
	}
	s.Holds, s.Drift = stat.Summarize(holds), stat.Lag1(holds)
	for _, k := range tracks {
		if ks := newKindScore(k, results); ks.Right.Trials > 0 {
			s.Kinds = append(s.Kinds, ks)
		}
	}
	return s
}

func newKindScore(k Kind, results []Result) KindScore {
	s := KindScore{Kind: k}
	var off []sim.Micros
	for _, r := range results {
		if r.Kind != k || !r.Counts() {
			continue
		}
		s.Right.Add(r.Right)
		s.Level = r.Level
		if r.Scored {
			off = append(off, r.Off)
		}
	}
	s.Off = stat.Summarize(off)
	return s
}

// Changes says in lines what differs from a score before, beyond what chance
// and the resolution of the input account for.
func (s Score) Changes(before Score, resolution sim.Micros) []string {
	var lines []string
	if before.Toggled.Trials == 0 || s.Toggled.Trials == 0 {
		return []string{"nothing to compare with yet"}
	}
	if a, b := s.Toggled.Wilson(Confidence), before.Toggled.Wilson(Confidence); a.Low > b.High || b.Low > a.High {
		lines = append(lines, fmt.Sprintf("flicks that toggle: %s, last time %s", percent(s.Toggled), percent(before.Toggled)))
	}
	if s.Holds.N > 1 && before.Holds.N > 1 {
		lines = append(lines, s.holdChanges(before, resolution)...)
	}
	if len(lines) == 0 {
		lines = append(lines, "as last time, as far as chance and the input let one tell")
	}
	return lines
}

func (s Score) holdChanges(before Score, resolution sim.Micros) []string {
	var lines []string
	tell := func(what string, now, then, noise float64) {
		if d := math.Abs(now - then); d >= float64(resolution) && d >= 2*noise {
			lines = append(lines, fmt.Sprintf("%s: %.0f ms, last time %.0f ms", what, now/1e3, then/1e3))
		}
	}
	tell("mean hold", s.Holds.Mean, before.Holds.Mean, math.Hypot(s.Holds.StandardError(), before.Holds.StandardError()))
	tell("spread of the hold", s.Holds.SD, before.Holds.SD, math.Hypot(sdError(s.Holds), sdError(before.Holds)))
	return lines
}

// sdError returns the standard error of a standard deviation, for a normal
// spread: SD/√(2(n−1)).
func sdError(s stat.Summary) float64 { return s.SD / math.Sqrt(2*float64(s.N-1)) }

func percent(r stat.Rate) string {
	return fmt.Sprintf("%.0f %% (%d of %d)", 100*r.Value(), r.Hits, r.Trials)
}

// Next returns the drill to do next: the weakest of those not yet reliable; a
// mixed one when all are.
func (p *Past) Next() Kind {
	var open []Kind
	for _, k := range tracks {
		if p.reliable[k].Last != stat.CalledGood {
			open = append(open, k)
		}
	}
	if len(open) == 0 {
		return KindMixed
	}
	return slices.MaxFunc(open, func(a, b Kind) int { return cmp.Compare(p.weakness(a), p.weakness(b)) })
}
