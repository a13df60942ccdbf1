package fit

import (
	"math"
	"slices"

	"flicktally/sim"
)

// Proposal is a hold for the next trial.
type Proposal struct {
	Hold sim.Micros
	For  ThresholdName
	Why  string // for the person at the bench, in a few words
}

// ThresholdName is the rig file's name of a threshold.
type ThresholdName string

// The two thresholds.
const (
	NameMinPress  ThresholdName = "min_press"
	NameLongPress ThresholdName = "long_press"
)

// Goal says when trials may end. The zero value is not usable; see
// [DefaultGoal].
type Goal struct {
	Width  sim.Micros // of the range of min_press; long_press may be longTimes as wide
	Trials int        // at most, for both thresholds together
}

// longTimes is how many times as wide the range of long_press may be.
const longTimes = 5

// DefaultGoal is the goal for which the coverage of the ranges was simulated.
var DefaultGoal = Goal{Width: 20 * sim.Millisecond, Trials: 30}

// enoughIfSharp is the number of trials after which brackets within the wanted
// widths are enough, if no trial contradicts another.
const enoughIfSharp = 20

// longestHold is the longest hold to propose. If even that is no long press, the
// camera probably has none.
const longestHold = 20 * sim.Second

// Of returns the wanted width of a threshold.
func (g Goal) Of(name ThresholdName) sim.Micros {
	if name == NameLongPress {
		return longTimes * g.Width
	}
	return g.Width
}

// Left returns the thresholds not yet known to the wanted width.
func (w Window) Left(g Goal) []Threshold {
	var left []Threshold
	enough := len(w.Trials) >= enoughIfSharp && w.MinPress.Agree && w.LongPress.Agree &&
		width(w.MinPress.Bracket) <= g.Of(NameMinPress) && width(w.LongPress.Bracket) <= g.Of(NameLongPress)
	for _, t := range []Threshold{w.MinPress, w.LongPress} {
		if t.Width() > g.Of(t.Name) && !enough {
			left = append(left, t)
		}
	}
	return left
}

// Next proposes the most informative hold until the goal is reached. more is
// false when it is reached or no hold can add information. It starts with
// min_press, which gets half of the trials before long_press has its turn, and
// the rest if that needs no more.
func (w Window) Next(g Goal) (p Proposal, more bool) {
	if len(w.Trials) >= g.Trials {
		return Proposal{}, false
	}
	left := w.Left(g)
	switch {
	case len(left) == 0:
		return Proposal{}, false
	case len(left) == 2 && len(w.Trials) >= g.Trials/2 && !w.MinPress.Open():
		left = left[1:]
	}
	return left[0].next(w.leastFor(left[0].Name))
}

// leastFor returns the shortest hold to propose. For long_press it is one that
// does something: others reveal nothing about it.
func (w Window) leastFor(name ThresholdName) sim.Micros {
	if name == NameLongPress && !w.MinPress.Open() {
		return w.MinPress.Range.High
	}
	return 0
}

// next proposes a hold for one threshold.
func (t Threshold) next(least sim.Micros) (Proposal, bool) {
	if t.Open() && t.Bracket.Low >= longestHold && t.Agree {
		return Proposal{}, false
	}
	best := micros(t.posterior.mostInformative())
	unit := sim.Millisecond
	if t.Width() < DefaultGoal.Of(t.Name) {
		unit /= 10
	}
	hold := min(longestHold, max(least, unit, (best+unit/2)/unit*unit))
	return Proposal{Hold: hold, For: t.Name, Why: t.why(hold)}, true
}

// why returns the reason for a hold.
func (t Threshold) why(hold sim.Micros) string {
	switch {
	case len(t.doses) == 0:
		return "a first guess"
	case !t.Agree:
		return "outcomes differ near here; the most informative hold"
	case t.Bracket.High == sim.Never:
		return "not reached yet; a longer hold"
	case hold > t.Bracket.Low && hold < t.Bracket.High:
		return "between the known bounds; the most informative hold"
	default:
		return "near a hold that was tried, to see whether the threshold jitters"
	}
}

// mostInformative returns the hold after whose trial the entropy of the posterior
// is expected to be smallest: the psi method of L. L. Kontsevich and C. W. Tyler,
// Bayesian adaptive estimation of psychometric slope and threshold, Vision
// Research 39 (1999) 2729.
func (p posterior) mostInformative() float64 {
	const fine = 12
	best, most := 0.0, math.Inf(-1)
	try := func(hold float64) bool {
		gain := p.gain(hold)
		better := gain > most
		if better {
			best, most = hold, gain
		}
		return better
	}
	holds, at := p.candidates(), 0
	for i, hold := range holds {
		if try(hold) {
			at = i
		}
	}
	for _, hold := range geometric(holds[max(at-1, 0)], holds[min(at+1, len(holds)-1)], fine) {
		try(hold)
	}
	return best
}

// candidates returns holds, in order, that are dense where the threshold may
// be, and some up to two standard deviations of the jitter outside.
func (p posterior) candidates() []float64 {
	const inside, evenly = 40, 24
	jitter := 2 * p.jitter()
	low, high := p.quantile(0.005), p.quantile(0.995)+jitter
	holds := geometric(max(low/2, low-jitter), high, evenly)
	for i := range inside {
		holds = append(holds, p.quantile((float64(i)+0.5)/inside))
	}
	slices.Sort(holds)
	return holds
}

// gain returns the expected drop in entropy from a trial: the entropy of its
// outcome minus that given place and spread.
func (p posterior) gain(hold float64) float64 {
	mean, left := 0.0, 0.0
	mistake := entropy(p.mistakes / 2) // all that is left if the press is certain
	for _, c := range p.cells {
		response := p.response(c, hold)
		mean += c.weight * response
		if response == 0 || response == 1 {
			left += c.weight * mistake
		} else {
			left += c.weight * entropy(p.mistaken(response))
		}
	}
	return entropy(p.mistaken(mean)) - left
}

// entropy of an outcome, in nats. Mistakes keep the chance away from 0 and 1.
func entropy(chance float64) float64 {
	return -chance*math.Log(chance) - (1-chance)*math.Log1p(-chance)
}
