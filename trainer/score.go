package trainer

import (
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Score sums up flicks and trials of a drill, a day or a week. Those that do not
// count are left out, and the day's cold flick counts only in Cold.
type Score struct {
	Toggled stat.Rate // flicks that toggled
	// Holds sums up the holds of the hand, in µs, whether they toggled or not:
	// those that did not are the tails of the spread. It leaves out slips, and
	// patterns, whose holds differ on purpose.
	Holds stat.Summary
	Slips stat.Rate    // holds that the spread does not explain ([stat.SplitSlips])
	Kinds []KindScore  // of the drills done, in their order
	Cold  stat.Rate    // first flicks of a day that toggled
	holds []sim.Micros // those of Holds
}

// KindScore sums up the trials of one kind.
type KindScore struct {
	Kind  Kind
	Right stat.Rate
	Off   stat.Summary // Off of the trials that have it, in µs
}

// NewScore sums up the flicks and trials of one drill, in order of time.
func NewScore(flicks []Flick, results []Result) Score {
	return scoreOf([]Practised{{Flicks: flicks, Results: results}})
}

// scoreOf sums up drills, in order of time.
func scoreOf(drills []Practised) Score {
	var s Score
	var holds []sim.Micros
	for _, d := range drills {
		for _, f := range d.Flicks {
			if !countable(f) {
				continue
			}
			rate := &s.Toggled
			if f.Cold {
				rate = &s.Cold
			} else if f.Hold() > 0 && !d.inPattern(f) {
				holds = append(holds, f.Hold())
			}
			if !f.TooClose {
				rate.Add(f.Toggled())
			}
		}
	}
	kept, slips := stat.SplitSlips(holds)
	s.holds, s.Slips = kept, stat.Rate{Hits: len(slips), Trials: len(holds)}
	s.Holds = stat.Summarize(kept)
	s.Kinds = KindScores(drills)
	return s
}

// KindScores sums up the trials of drills, in order of time. It returns a score
// for each kind that was done, in learning order.
func KindScores(drills []Practised) (scores []KindScore) {
	for _, k := range tracks {
		s := KindScore{Kind: k}
		var off []sim.Micros
		for _, d := range drills {
			for _, r := range d.Results {
				if r.Kind != k || !r.Counts() {
					continue
				}
				s.Right.Add(r.Right)
				if r.Scored {
					off = append(off, r.Off)
				}
			}
		}
		if s.Off = stat.Summarize(off); s.Right.Trials > 0 {
			scores = append(scores, s)
		}
	}
	return scores
}

func (d Practised) inPattern(f Flick) bool {
	return slices.ContainsFunc(d.Results, func(r Result) bool {
		return r.Kind == KindPattern && f.Down >= r.Began && f.Down <= r.Ended
	})
}

// falseAlarm is the chance that Changes reports a change where there is none.
const falseAlarm = 0.05

const unchanged = "no change beyond chance and the resolution of the input"

// Changes lists the differences from an earlier score that chance and the
// resolution of the input do not explain: in the rate (Newcombe), the mean hold
// (Welch) and its spread (Brown and Forsythe), by Holm's rule for several tests
// at once. Slips are listed separately.
func (s Score) Changes(before Score, resolution sim.Micros) []string {
	if before.Toggled.Trials == 0 || s.Toggled.Trials == 0 {
		return []string{"nothing to compare with yet"}
	}
	found := stat.Holm([]float64{
		s.Toggled.DiffersP(before.Toggled), stat.WelchP(s.Holds, before.Holds), stat.BrownForsytheP(s.holds, before.holds),
	}, falseAlarm)
	var lines []string
	if found[0] {
		lines = append(lines, fmt.Sprintf("flicks that toggle: %s, last time %s", percent(s.Toggled), percent(before.Toggled)))
	}
	report := func(found bool, what string, now, then float64) {
		if found && math.Abs(now-then) >= float64(resolution) {
			lines = append(lines, fmt.Sprintf("%s: %s, last time %s", what, sim.Micros(now).Rounded(), sim.Micros(then).Rounded()))
		}
	}
	report(found[1], "mean hold", s.Holds.Mean, before.Holds.Mean)
	report(found[2], "spread of the hold", s.Holds.SD, before.Holds.SD)
	if len(lines) == 0 {
		lines = append(lines, unchanged)
	}
	if s.Slips.Hits+before.Slips.Hits > 0 {
		lines = append(lines, fmt.Sprintf("slips, in neither mean nor spread: %d of %d, last time %d of %d",
			s.Slips.Hits, s.Slips.Trials, before.Slips.Hits, before.Slips.Trials))
	}
	return lines
}

func percent(r stat.Rate) string {
	return fmt.Sprintf("%.0f %% (%d of %d)", 100*r.Value(), r.Hits, r.Trials)
}
