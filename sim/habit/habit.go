// Package habit estimates a pilot's habit from observed holds: the mean and the
// spread of the hand itself, without the effects of samples and link, and how
// often the hand slips.
package habit

import (
	"errors"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
)

// Held is an observed hold of the hand.
type Held struct {
	Hold sim.Micros // between the samples that show the two moves
	// DownUnseen and UpUnseen are how much earlier the hand may have made each
	// of them: the time since the previous sample.
	DownUnseen, UpUnseen sim.Micros
}

// Logged returns how long the hand held the switch in the flicks of a log, leaving
// out those with an edge made or hidden by a lost signal.
func Logged(flicks []sim.Flick) []Held {
	var held []Held
	for _, f := range flicks {
		if f.Up != sim.Never && !f.Lossy {
			held = append(held, Held{Hold: f.Hold(), DownUnseen: f.DownUnseen, UpUnseen: f.UpUnseen})
		}
	}
	return held
}

// off returns the most by which the hand's own hold may differ.
func (h Held) off(link sim.LinkSpec) sim.Micros { return max(h.DownUnseen, h.UpUnseen) + link.Frame }

// Habit is the estimate from a pilot's holds so far.
type Habit struct {
	Flicks int        // without slips
	Hold   sim.Micros // the mean, to a millisecond
	Spread odds.Spread
	// Within is the 95 % interval of Spread.Relative.
	Within stat.Interval
	Slips  odds.Slips
	// SlipRate counts the slips: holds that the hand's spread does not explain
	// ([stat.SplitSlips]).
	SlipRate stat.Rate
}

// Of estimates a pilot's habit from holds that were meant to be equal: the mean
// and the spread of the hand itself. The observed holds also contain the phases
// of the samples and of the link's frames, and lost frames (see [handFit]). It is
// an error if fewer than two of the holds are no slips.
func Of(observed []Held, link sim.LinkSpec) (Habit, error) {
	holds := make([]sim.Micros, len(observed))
	for i, held := range observed {
		holds[i] = max(1, held.Hold)
	}
	var kept []Held
	var slips []sim.Micros
	for i, slip := range stat.Slips(holds, func(i int) sim.Micros { return observed[i].off(link) }) {
		if slip {
			slips = append(slips, holds[i])
		} else {
			kept = append(kept, observed[i])
		}
	}
	if len(kept) < 2 {
		return Habit{}, errors.New("found fewer than two holds of about the same length, want at least two to estimate their spread")
	}
	mean, spread, within := newHandFit(kept, link).best()
	return Habit{
		Flicks:   len(kept),
		Hold:     sim.Micros(math.Round(mean/1e3)) * sim.Millisecond,
		Spread:   odds.Spread{Relative: spread / mean},
		Within:   stat.Interval{Low: within.Low / mean, High: within.High / mean},
		Slips:    newSlips(slips, len(observed)),
		SlipRate: stat.Rate{Hits: len(slips), Trials: len(observed)},
	}, nil
}

// mostSlips is how many slips at most represent all of them: more would only cost
// time.
const mostSlips = 16

func newSlips(holds []sim.Micros, of int) odds.Slips {
	if len(holds) == 0 {
		return odds.Slips{}
	}
	sorted := slices.Sorted(slices.Values(holds))
	n := min(len(sorted), mostSlips)
	s := odds.Slips{Rate: float64(len(sorted)) / float64(of)}
	for i := range n {
		s.Holds = append(s.Holds, sorted[(2*i+1)*len(sorted)/(2*n)])
	}
	return s
}
