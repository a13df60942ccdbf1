package belief

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
)

// Limits of the work: the presses of all flights if a threshold is a range, and
// the presses times the clips of a list. More is an error.
const (
	maxPresses     = 5000
	maxClipPresses = 500_000
	// mostPairs limits the pairs of thresholds. With many presses,
	// pairsTimesPresses limits them further, though never below fewestPairs.
	mostPairs         = 25_000
	pairsTimesPresses = 4_000_000
	fewestPairs       = 2500
)

// pairsFor returns how many pairs of thresholds to evaluate.
func pairsFor(presses int) int {
	return min(mostPairs, max(fewestPairs, pairsTimesPresses/(1+presses)))
}

// certainFrom is the chance from which a verdict is no longer doubtful (M11).
const certainFrom = 0.95

// Flight is one log of an outing.
type Flight struct {
	Replay *sim.Replay
	Seen   []Glance
}

// Outing is one or more logs, in order, that share a camera and a card.
type Outing struct {
	Flights []Flight
	// Clips and ClipError are as in [Observations], for all flights.
	Clips     []Clip
	ClipError sim.Micros
}

// none reports whether nothing was observed.
func (o *Outing) none() bool {
	return o.Clips == nil && !slices.ContainsFunc(o.Flights, func(f Flight) bool { return f.Seen != nil })
}

// check returns an error if an observation is impossible for the logs.
func (o *Outing) check() error {
	for _, f := range o.Flights {
		if err := (Observations{f.Seen, o.Clips, o.ClipError}).check(f.Replay.End); err != nil {
			return err
		}
	}
	return nil
}

// presses returns the number of presses.
func (o *Outing) presses() int {
	n := 0
	for _, f := range o.Flights {
		n += len(f.Replay.Presses)
	}
	return n
}

// tooMuch returns an error if the work would take too long.
func (o *Outing) tooMuch() error {
	c, presses := o.Flights[0].Replay.Rig.Camera, o.presses()
	switch {
	case presses > maxPresses && !(c.MinPress.Exact() && c.LongPress.Exact()):
		return fmt.Errorf("found %d presses with min_press %s and long_press %s, want at most %d where a threshold is a range: give the thresholds, or a part of the log",
			presses, c.MinPress, c.LongPress, maxPresses)
	case presses*len(o.Clips) > maxClipPresses:
		return fmt.Errorf("found %d presses and %d clips, too many to match with takes: want at most %d clips with so many presses, those of this flight only",
			presses, len(o.Clips), maxClipPresses/presses)
	}
	return nil
}

// sectioned divides the flights into sections.
func (o *Outing) sectioned() []*sectionedFlight {
	flights := make([]*sectionedFlight, len(o.Flights))
	for i, f := range o.Flights {
		flights[i] = newSectionedFlight(f.Replay, f.Seen)
	}
	return flights
}

// card returns the contents of the card, nil if it was not read.
func (o *Outing) card() *card {
	if o.Clips == nil {
		return nil
	}
	return &card{clips: o.Clips, err: o.ClipError * finer}
}

// resolveDoubt is Resolve for a rig with doubts (M11).
func resolveDoubt(pairs int, o Outing) ([]*Result, error) {
	if err := o.tooMuch(); err != nil {
		return nil, err
	}
	e := newEstimator(o.sectioned(), !o.none(), o.card(), pairs)
	e.weigh()
	found := e.marginals()
	var likeliest history
	if e.seen {
		likeliest = e.likeliest(e.loggedHistory())
	}
	results := make([]*Result, len(found))
	first := 0
	for i := range found {
		r := e.result(&found[i], i)
		last := first + len(e.flights[i].sections) + 1
		if e.seen {
			e.showHistory(r, i, likeliest, likeliest.outcomes[first:last])
		} else if err := e.showLogged(r, i); err != nil {
			return nil, err
		}
		e.markPresses(r, found[i].verdicts)
		r.Unexplained = r.explainGlances(o.Flights[i].Seen)
		results[i], first = r, last
	}
	if e.card != nil {
		explainClips(results, e.card)
	}
	counts := e.countTakes()
	for _, r := range results {
		r.Ask = ask(r.stretches, counts, worthAskingInDoubt)
	}
	return results, nil
}

// result returns the result of all histories for a flight.
func (e *estimator) result(found *marginals, i int) *Result {
	byMin, byLong := e.shares()
	flight := e.flights[i]
	r := &Result{
		MinPress:  stillPossible(e.rig.Camera.MinPress, e.mins, byMin),
		LongPress: stillPossible(e.rig.Camera.LongPress, e.longs, byLong),
		stretches: found.curve.stretches(flight.replay.End, 1),
		ends:      inOrder(found.ends),
	}
	for k, start := range flight.starts {
		if start == sim.StartRecording {
			r.StartRecording = round(found.starts[k])
		}
	}
	if n := len(flight.replay.Presses); n > 0 && flight.replay.Presses[n-1].Open() {
		last := found.verdicts[n-1]
		r.inHand = last[sim.VerdictOpen] + last[sim.VerdictLong] + last[sim.VerdictIgnored]
	}
	return r
}

// showHistory shows the likeliest history.
func (e *estimator) showHistory(r *Result, i int, h history, outcomes []outcome) {
	flight, replay := e.flights[i], e.flights[i].replay
	window := sim.Window{MinPress: wholeWithin(e.rig.Camera.MinPress, h.minPress), LongPress: wholeWithin(e.rig.Camera.LongPress, h.longPress)}
	spec := e.rig.Camera
	spec.Start = flight.starts[outcomes[0]]
	verdicts := make([]sim.Verdict, len(replay.Presses))
	for k := range verdicts {
		verdicts[k] = verdictOf[outcomes[k+1]]
	}
	r.Replay = replay.WithRecord(window, sim.RunSupposed(spec, window, replay.Lanes.Wire, replay.End, verdicts))
	r.Likeliest = round(h.weight)
}

// wholeWithin returns a threshold in whole µs. A threshold between two whole µs
// has the effect of the higher one.
func wholeWithin(whole sim.Interval, at float64) sim.Micros {
	const dust = 1e-6 // rounding error
	return min(whole.High, max(whole.Low, sim.Micros(math.Ceil(at-dust))))
}

// showLogged shows the history of the logged edges.
func (e *estimator) showLogged(r *Result, i int) error {
	replay := e.flights[i].replay
	c := replay.Rig.Camera
	if c.MinPress.Exact() && c.LongPress.Exact() && replay.Window == c.Window() {
		copied := *replay
		copied.Presses = slices.Clone(replay.Presses)
		r.Replay = &copied
		return nil
	}
	const work = 4_000_000
	exact, err := resolve(min(exactCells(e.pairs), 1+work/(1+len(replay.Lanes.Wire.Edges))), replay, Observations{})
	if errors.Is(err, errTooManyCells) {
		e.showUndoubted(r, i)
		return nil
	}
	if err == nil {
		r.Replay, r.Histories, r.Likeliest = exact.Replay, exact.Histories, exact.Likeliest
	}
	return err
}

// showUndoubted shows the history that is likeliest if only the thresholds and the
// start are in doubt.
func (e *estimator) showUndoubted(r *Result, i int) {
	replay := *e.flights[i].replay
	replay.Rig.Doubt = sim.DoubtSpec{}
	plain := newEstimator([]*sectionedFlight{newSectionedFlight(&replay, nil)}, false, nil, e.pairs)
	plain.weigh()
	h := plain.likeliest(plain.loggedHistory())
	plain.showHistory(r, 0, h, h.outcomes)
	r.Likeliest = 0
	if e.rig.Camera.Start == sim.StartUnknown {
		r.Replay = r.Replay.WithRecord(r.Replay.Window, sim.RunCamera(e.rig.Camera, r.Replay.Window, replay.Lanes.Wire, replay.End, nil))
	}
	r.Replay.Rig.Doubt = e.rig.Doubt
}

// markPresses sets the chance of each verdict, and the chance of recording if
// anything is open.
func (e *estimator) markPresses(r *Result, verdicts []map[sim.Verdict]float64) {
	open := e.seen || !allKnown(r.Replay.Rig.Camera)
	for i := range r.Replay.Presses {
		p := &r.Replay.Presses[i]
		p.Doubtful = false
		if p.Verdict == sim.VerdictUnknown {
			continue
		}
		p.Chance = round(verdicts[i][p.Verdict])
		p.Doubtful = p.Chance < certainFrom
		open = open || p.Doubtful
	}
	if open {
		r.Replay.Belief = simplified(recording(r.stretches))
	}
}
