package belief

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Result is the posterior of a flight, given its replay and observations.
type Result struct {
	// Replay is the likeliest history, with Belief and Doubtful set. If the
	// start is unknown and nothing was observed, its presses and states stay
	// unknown (M8).
	Replay *sim.Replay
	// Histories is the number of possible histories, 0 if they are not counted.
	// In doubt (M11) and without observations, it counts those that differ by
	// thresholds and start alone. Likeliest is the chance, 0 to 1, of the
	// likeliest of them; 0 if it is not needed.
	Histories int
	Likeliest float64
	// MinPress and LongPress are the ranges of the thresholds that are still
	// possible.
	MinPress, LongPress sim.Interval
	// StartRecording is the chance, 0 to 1, that the camera recorded at the start.
	StartRecording float64
	// Unexplained is how many observations had to be given up.
	Unexplained int
	// Pairs matches the clips with the takes of Replay; nil without clips.
	Pairs []Pair
	// Ask lists the observations that would reduce the doubt most, best first; it
	// is empty if nothing is open.
	Ask []Question
	// Findings report what does not fit: unexplained glances and clips, takes
	// without a file.
	Findings []tell.Finding

	// cells are the cells that are still possible, likeliest first; of equals, the
	// one nearest to the middle of the ranges comes first. Replay shows the first.
	// Nil if every press is in some doubt (M11): then there are too many.
	cells     []possibleCell
	ends      []Ending // nil if cells is enough
	inHand    float64  // the chance that the press still down was accepted
	stretches []stretch
}

// possibleCell is a part of a cell that is still possible.
type possibleCell struct {
	minPress, longPress sim.Interval // of a rectangle around it
	start               sim.StartState
	share               float64    // among all cells; its weight until all are known
	offCentre           float64    // the distance from the middle of the unknowns
	window              sim.Window // its centre, in whole µs
}

// Resolve computes the posterior of a flight. The replay's rig says what is
// unknown: ranges of min_press and long_press, an unknown start, and the doubts
// about the model. The replay is not changed. It is an error if an observation is
// impossible for this log, or if there are too many presses or clips.
func Resolve(replay *sim.Replay, seen Observations) (*Result, error) {
	return resolveWith(pairsFor(len(replay.Presses)), replay, seen)
}

// ResolveQuickly is Resolve for callers that ask many times a second: if a
// threshold is a range, the chances may be off by a few in a hundred.
func ResolveQuickly(replay *sim.Replay, seen Observations) (*Result, error) {
	const fewPoints, fewest, work = 2500, 16, 400_000
	return resolveWith(min(fewPoints, max(fewest, work/(1+len(replay.Presses)))), replay, seen)
}

func resolveWith(pairs int, replay *sim.Replay, seen Observations) (*Result, error) {
	results, err := resolveOuting(pairs, Outing{[]Flight{{replay, seen.Seen}}, seen.Clips, seen.ClipError})
	if err != nil {
		return nil, err
	}
	return results[0], nil
}

// ResolveOuting is Resolve for flights that share a camera and a card.
func ResolveOuting(o Outing) ([]*Result, error) { return resolveOuting(pairsFor(o.presses()), o) }

func resolveOuting(pairs int, o Outing) ([]*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	first := o.Flights[0].Replay
	if !first.Rig.Doubt.None() || len(o.Flights) > 1 {
		return resolveDoubt(pairs, o)
	}
	seen := Observations{o.Flights[0].Seen, o.Clips, o.ClipError}
	r, err := resolve(exactCells(pairs), first, seen)
	if errors.Is(err, errTooManyCells) {
		return resolveDoubt(pairs, o)
	}
	return []*Result{r}, err
}

// exactCells returns the greatest number of cells that cost no more than a grid of
// so many pairs of thresholds.
func exactCells(pairs int) int { return max(1, min(maxCells, 2*pairs)) }

// resolve is Resolve for a rig without doubts (M9).
func resolve(maxCells int, replay *sim.Replay, seen Observations) (*Result, error) {
	u := newUnknowns(replay)
	u.maxCells = min(u.maxCells, maxCells)
	t := newCellSum(&u)
	clips := matcher{seen.Clips, seen.ClipError, maxClipWork}
	err := u.explore(func(c *cell) {
		for _, p := range c.splitByGlances(seen.Seen) {
			if p.unexplained <= t.unexplained {
				if seen.Clips != nil {
					p = clips.match(c, p, t.unexplained)
				}
				t.add(c, p)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	if clips.spent() {
		return nil, tooManyClips(seen)
	}
	r := t.result(replay, seen)
	if !r.explain(seen) {
		return nil, tooManyClips(seen)
	}
	return r, nil
}

func tooManyClips(seen Observations) error {
	return fmt.Errorf("found %d clips, too many to match with takes, want the clips of this flight only", len(seen.Clips))
}

// match restricts a piece to where its takes explain the clips. It does not look
// for the best pairs if more than limit would remain unexplained.
func (m *matcher) match(c *cell, p piece, limit int) piece {
	if m.spent() {
		return p
	}
	if whole := m.whole(c, p.region); !whole.empty() {
		p.region = whole
		return p
	}
	atLeast := max(1, len(c.takes)-len(m.clips))
	if !c.endsUnknown() {
		atLeast = max(atLeast, len(m.clips)-len(c.takes))
	}
	if p.unexplained+atLeast > limit {
		p.unexplained += atLeast
		return p
	}
	zone, pairs := m.nearest(c, p.region, limit-p.unexplained)
	return piece{zone, p.unexplained + unexplained(pairs, c.endsUnknown())}
}

// cellSum sums over the pieces that leave the fewest observations unexplained.
type cellSum struct {
	u           *unknowns
	unexplained int
	weight      float64
	curve       curve
	cells       []possibleCell
	verdicts    []sim.Verdict // of each press, in one of the pieces
	doubtful    []bool        // of each press: another piece has another verdict
	takeCounts  []float64     // weight by number of takes
}

func newCellSum(u *unknowns) *cellSum { return &cellSum{u: u, unexplained: math.MaxInt} }

func (t *cellSum) add(c *cell, p piece) {
	if p.unexplained > t.unexplained {
		return
	}
	if p.unexplained < t.unexplained {
		*t = cellSum{u: t.u, unexplained: p.unexplained, curve: newCurve(), verdicts: c.verdicts, doubtful: make([]bool, len(c.verdicts))}
	}
	weight := p.region.area() // the prior is the same everywhere
	t.weight += weight
	t.curve.add(-1, c.states, weight, p.region.chords)
	for len(t.takeCounts) <= len(c.takes) {
		t.takeCounts = append(t.takeCounts, 0)
	}
	t.takeCounts[len(c.takes)] += weight
	t.cells = append(t.cells, t.u.possibleCell(p.region, c.start, weight))
	for i, v := range c.verdicts {
		t.doubtful[i] = t.doubtful[i] || v != t.verdicts[i]
	}
}

// possibleCell returns the cell of a region. Known thresholds keep their exact values.
func (u *unknowns) possibleCell(r region, start sim.StartState, weight float64) possibleCell {
	c := possibleCell{r.min, r.long, start, weight, u.offCentre(r), middle(r)}
	if u.spec.MinPress.Exact() {
		c.minPress, c.window.MinPress = u.spec.MinPress, u.spec.MinPress.Low
	}
	if u.spec.LongPress.Exact() {
		c.longPress, c.window.LongPress = u.spec.LongPress, u.spec.LongPress.Low
	}
	return c
}

// offCentre returns how far the middle of a region is from the middle of the ranges,
// each range taken as 1.
func (u *unknowns) offCentre(r region) float64 {
	off := func(part, whole sim.Interval) float64 {
		return (float64(part.Low+part.High) - float64(whole.Low+whole.High)) / 2 / float64(whole.High-whole.Low)
	}
	return math.Hypot(off(r.min, u.rectangle.min), off(r.long, u.rectangle.long))
}

// middle returns the thresholds at the middle of a region, in whole µs. A
// threshold between two whole µs has the effect of the higher one, so the low end
// of a region is not part of it.
func middle(r region) sim.Window {
	const dust = 1e-6 // rounding error
	whole := func(along axis, bounds sim.Interval) sim.Micros {
		return max(bounds.Low+1, sim.Micros(r.centre(along)+dust))
	}
	return sim.Window{MinPress: whole(alongMin, r.min), LongPress: whole(alongLong, r.long)}
}

// result returns the result of all cells.
func (t *cellSum) result(replay *sim.Replay, seen Observations) *Result {
	slices.SortStableFunc(t.cells, func(a, b possibleCell) int {
		return cmp.Or(cmp.Compare(b.share, a.share), cmp.Compare(a.offCentre, b.offCentre))
	})
	likeliest := &t.cells[0]
	r := &Result{Unexplained: t.unexplained, MinPress: likeliest.minPress, LongPress: likeliest.longPress, cells: t.cells}
	for i := range r.cells {
		c := &r.cells[i]
		c.share /= t.weight
		r.MinPress = hull(r.MinPress, c.minPress)
		r.LongPress = hull(r.LongPress, c.longPress)
		if c.start == sim.StartRecording {
			r.StartRecording += c.share
		}
	}
	r.Likeliest = likeliest.share
	r.Histories = len(r.cells)
	r.Replay = t.shown(replay, likeliest, seen.None())
	stretches := t.curve.stretches(replay.End, t.weight)
	if !allKnown(t.u.spec) {
		r.Replay.Belief = recording(stretches)
	}
	counts := t.takeCounts
	if seen.Clips != nil {
		counts = nil
	}
	r.Ask = ask(stretches, counts, worthAsking)
	return r
}

// hull returns the smallest interval that contains two.
func hull(a, b sim.Interval) sim.Interval {
	return sim.Interval{Low: min(a.Low, b.Low), High: max(a.High, b.High)}
}

// shown returns the replay of the likeliest cell, run at its centre.
func (t *cellSum) shown(replay *sim.Replay, likeliest *possibleCell, nothingSeen bool) *sim.Replay {
	spec := t.u.spec
	if !(spec.Start == sim.StartUnknown && nothingSeen) {
		spec.Start = likeliest.start
	}
	record := sim.RunCamera(spec, likeliest.window, t.u.wire, t.u.end, nil)
	for i := range record.Presses {
		p := &record.Presses[i]
		p.Doubtful = t.doubtful[i] && spec.Start != sim.StartUnknown
	}
	return replay.WithRecord(likeliest.window, record)
}
