package trainer

import (
	"cmp"
	"slices"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Known is what is known of a pilot on a rig with a device before a drill
// starts. The zero Known is that of a beginner on a day without practice.
type Known struct {
	Past      Past
	Practised bool // the pilot has flicked today: the next flick is not cold
	// FirstFlicks counts the first flicks of days, cold, that toggled.
	FirstFlicks stat.Rate
	Last        map[Kind]Score // of the latest drill of each kind
	Days        Days
	// Resolution is the resolution of the device when it was last used, on any
	// rig; 0 if it never was.
	Resolution sim.Micros
}

// week is the plan for the first days of practice, as flicktally help training
// has it.
var week = [][]Kind{
	{KindFlick, KindFlick, KindSteady},
	{KindSteady, KindTake},
	{KindTake, KindCut},
	{KindCut, KindPattern},
	{KindBlind, KindBlind, KindHandsOff},
	{KindMixed},
	{KindMixed},
}

// drillsADay is the number of drills in ten minutes.
const drillsADay = int(10 * sim.Minute / Length)

// Days says what was practised so far, by day. A drill counts if it had a trial.
type Days struct {
	Before int    // days of practice before today
	Today  []Kind // the drills of today
}

// Plan returns the drills left of today's ten minutes: in the first week those of
// the day, then the drills never tried, those due for a recheck, and those that
// fail most. In the first week, an untried drill waits for its day.
func (k Known) Plan() []Kind {
	left := drillsADay - len(k.Days.Today)
	var plan []Kind
	learned := k.Days.Before >= len(week)
	done := slices.Clone(k.Days.Today)
	if !learned {
		for _, kind := range week[k.Days.Before] {
			if i := slices.Index(done, kind); i >= 0 {
				done = slices.Delete(done, i, i+1)
			} else {
				plan = append(plan, kind)
			}
		}
	}
	for _, kind := range k.Past.byNeed() {
		tried := k.Past.trials[kind].trials > 0
		if !slices.Contains(plan, kind) && !slices.Contains(k.Days.Today, kind) && (learned || tried) {
			plan = append(plan, kind)
		}
	}
	return plan[:max(0, min(left, len(plan)))]
}

// byNeed returns the drills in order of need: never tried, due for a recheck,
// then by how often they may fail.
func (p *Past) byNeed() []Kind {
	rank := func(k Kind) int {
		switch {
		case p.trials[k].trials == 0:
			return 0
		case p.Reliability(k).Due:
			return 1
		default:
			return 2
		}
	}
	kinds := slices.Clone(tracks)
	slices.SortStableFunc(kinds, func(a, b Kind) int {
		if c := cmp.Compare(rank(a), rank(b)); c != 0 || rank(a) == 0 {
			return c
		}
		return cmp.Compare(p.weakness(b), p.weakness(a))
	})
	return kinds
}
