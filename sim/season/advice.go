package season

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
	"flicktally/sim/tell"
)

// advice is one thing to do next.
type advice struct {
	Kind kind
	Text string
	// Drill is what to practise, for the kind practise.
	Drill string
	// Saves is how many of the season's flicks it would save, or could at most.
	Saves  stat.Rate
	AtMost bool
	// Rough means that these flicks are no independent draws, so Wilson's interval
	// does not hold: the model predicts them, or one failed because of another.
	Rough bool
}

// kind is a kind of advice.
type kind string

// The kinds.
const (
	setting     kind = "setting"     // change a key of the rig
	practise    kind = "drill"       // practise
	measurement kind = "measurement" // measure something unknown
)

// PerHundred returns how many flicks in 100 it saves.
func (a advice) PerHundred() float64 { return 100 * a.Saves.Value() }

// Within returns the 95 % interval of PerHundred, if there is one.
func (a advice) Within() (within stat.Interval, ok bool) {
	w := a.Saves.Wilson(credible)
	return stat.Interval{Low: 100 * w.Low, High: 100 * w.High}, !a.Rough
}

// mostAdvice is how many pieces of advice are given.
const mostAdvice = 3

// advise ranks the advice by the flicks it saves.
func (s *Season) advise() []advice {
	if s.Flicks.Trials == 0 {
		return nil
	}
	var all []advice
	if a, ok := s.setting(); ok {
		all = append(all, a)
	}
	all = append(all, append(s.drills(), s.measurement())...)
	all = slices.DeleteFunc(all, func(a advice) bool { return a.Saves.Hits == 0 })
	slices.SortStableFunc(all, func(a, b advice) int { return cmp.Compare(b.Saves.Hits, a.Saves.Hits) })
	return all[:min(mostAdvice, len(all))]
}

// sampling is for odds without a formula.
var sampling = odds.Sampling{Flicks: 20_000, Seed: 1}

// setting returns the change of the rig that saves most, with this hand and what
// is known of the camera.
func (s *Season) setting() (advice, bool) {
	if s.Hand == nil {
		return advice{}, false
	}
	rig := s.Rig
	rig.Camera.MinPress, rig.Camera.LongPress = s.Camera.MinPress, s.Camera.LongPress
	c := odds.Case{Rig: rig, Pilot: odds.Pilot{Spread: s.Hand.Spread, Slips: s.Hand.Slips}}
	if c.Check() != nil || !c.HoldMatters() {
		return advice{}, false
	}
	for _, change := range c.Changes(s.Hand.Hold, nil, sampling) {
		if !change.Sure || slices.Contains([]string{"aim", "spread", "window"}, change.What) {
			continue
		}
		n := float64(s.Flicks.Trials)
		by, after := float64(s.failedBy(wrongHold...).Hits), float64(s.afterLong())
		saves := min(change.Saves*n, by)
		if by > 0 {
			saves *= (by + after) / by
		}
		return advice{
			Kind: setting, Text: "set " + change.What + " from " + change.From + " to " + change.To,
			Saves: stat.Rate{Hits: int(math.Round(saves)), Trials: s.Flicks.Trials}, Rough: true,
		}, true
	}
	return advice{}, false
}

// wrongHold are the outcomes of flicks that were held too short or too long.
var wrongHold = []sim.FlickOutcome{sim.FlickShort, sim.FlickLong}

// failedBy returns how many flicks had one of the outcomes.
func (s *Season) failedBy(outcomes ...sim.FlickOutcome) stat.Rate {
	rate := stat.Rate{Trials: s.Flicks.Trials}
	for _, c := range s.Why {
		if slices.Contains(outcomes, c.Outcome) {
			rate.Hits += c.Of.Hits
		}
	}
	return rate
}

// afterLong returns the number of flicks at a camera that was off because an
// earlier flick of the flight was too long.
func (s *Season) afterLong() int {
	n := 0
	for _, f := range s.Flights() {
		long := false
		for _, k := range f.Held {
			long = long && k.Outcome != sim.FlickWake || k.Outcome == sim.FlickLong
			if long && k.Outcome == sim.FlickOff {
				n++
			}
		}
	}
	return n
}

// drills returns the drills, each with the most that it could save.
func (s *Season) drills() []advice {
	steady := s.failedBy(wrongHold...)
	text := "practise steady: flicks that were too short or too long"
	if after := s.afterLong(); after > 0 {
		steady.Hits += after
		text += fmt.Sprintf(", and %s at the camera that one of them had switched off", tell.Counted(after, "flick", "flicks"))
	}
	return []advice{
		{Kind: practise, Drill: "steady", AtMost: true, Saves: steady, Rough: s.afterLong() > 0, Text: text},
		{Kind: practise, Drill: "cut", AtMost: true, Saves: s.failedBy(sim.FlickBusy, sim.FlickDouble),
			Text: "practise cut: flicks that came too soon after another"},
		{Kind: practise, Drill: "flick", AtMost: true, Saves: s.failedBy(sim.FlickUnseen),
			Text: "practise flick: flicks that never reached the camera"},
	}
}

// measurement returns what to measure; it saves at most the flicks that are in
// doubt.
func (s *Season) measurement() advice {
	open := 0
	for _, f := range s.Flights() {
		for _, k := range f.Held {
			if k.Outcome == sim.FlickUnknown || k.Chance < 0.95 {
				open++
			}
		}
	}
	const bench, clips = "measure the press window at the bench (flicktally calibrate)", "keep the card's clips beside each log"
	text := bench + ", or " + clips
	switch c := s.Rig.Camera; {
	case c.MinPress.Exact() && c.LongPress.Exact():
		text = clips
	case s.Camera.Learned():
		text = bench
	}
	return advice{
		Kind: measurement, Saves: stat.Rate{Hits: open, Trials: s.Flicks.Trials}, AtMost: true,
		Text: text + ": " + tell.Counted(open, "flick is", "flicks are") + " in doubt",
	}
}
