// Package habit reads a pilot's habit from holds that were observed: the mean and
// the spread of the hand itself, without what samples and link made of them, and
// how often the hand slips.
package habit

import (
	"errors"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
)

// Held is a hold of the hand as it was observed.
type Held struct {
	Hold sim.Micros // between the samples that show the two moves
	// DownUnseen and UpUnseen are how much earlier the hand may have made each of
	// them: the time since the sample before.
	DownUnseen, UpUnseen sim.Micros
}

// off returns by how much the hold of the hand may have been another.
func (h Held) off(link sim.LinkSpec) sim.Micros { return max(h.DownUnseen, h.UpUnseen) + link.Frame }

// Habit is what a pilot's holds so far say.
type Habit struct {
	Flicks int        // without the slips
	Hold   sim.Micros // the mean, to a millisecond
	Spread odds.Spread
	// Within is the 95 % interval of Spread.Relative.
	Within stat.Interval
	Slips  odds.Slips
	// SlipRate counts the slips: holds that no spread of the hand explains
	// ([stat.SplitSlips]).
	SlipRate stat.Rate
}

// Of reads a pilot's habit from holds that were meant to be equal. It
// estimates the mean and the spread of the hand itself: the holds as observed
// have the phases of the samples and of the link's frames in them, and the frames
// that were lost (see [handFit]). It fails where fewer than two are left without
// the slips.
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
		return Habit{}, errors.New("found fewer than two holds of about the same length, want at least two to tell their spread")
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

// mostSlips is how many slips stand for all of them: more would cost time and
// tell no more.
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
