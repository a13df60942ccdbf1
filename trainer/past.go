package trainer

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"flicktally/sim/stat"
)

// Past is the progress of a pilot on a rig in each drill, as of a time. Add the
// trials in order of time. The zero Past is a beginner's, at an unknown time.
type Past struct {
	now     time.Time
	ladders map[Kind]ladder
	trials  map[Kind]evidence
}

// NewPast returns the past of a beginner, as of a time.
func NewPast(now time.Time) Past { return Past{now: now} }

// Add adds a trial of the current drill, if it counts.
func (p *Past) Add(r Result) { p.AddAt(p.now, r) }

// AddAt adds a trial of a drill that began at a time, if it counts.
func (p *Past) AddAt(began time.Time, r Result) {
	if !r.Counts() {
		return
	}
	if p.ladders == nil {
		p.ladders, p.trials = map[Kind]ladder{}, map[Kind]evidence{}
	}
	l, e := p.ladders[r.Kind], p.trials[r.Kind]
	l.Step(r.Within, r.Top)
	e.add(began, r.Right)
	if !agedOut(began, p.now) {
		e.recent.Add(r.Right)
	}
	p.ladders[r.Kind], p.trials[r.Kind] = l, e
}

func (p *Past) clone() Past { return Past{p.now, maps.Clone(p.ladders), maps.Clone(p.trials)} }

// Level returns the level that a drill has reached.
func (p *Past) Level(k Kind) int { return p.ladders[k].Level }

// Reliability returns what the trials of a drill show.
func (p *Past) Reliability(k Kind) Reliability { return p.trials[k].on(p.now) }

// Latest returns the time of a drill's latest trial; zero if there was none.
func (p *Past) Latest(k Kind) time.Time { return p.trials[k].latest }

// Due returns the drills that are due for a recheck.
func (p *Past) Due() []Kind {
	var due []Kind
	for _, k := range tracks {
		if p.Reliability(k).Due {
			due = append(due, k)
		}
	}
	return due
}

// Next returns the drill to do next: the weakest that is not reliable, else one
// that is due for a recheck, else a mixed one.
func (p *Past) Next() Kind {
	var open []Kind
	for _, k := range tracks {
		if p.Reliability(k).Last != stat.CalledGood {
			open = append(open, k)
		}
	}
	due := p.Due()
	switch {
	case len(open) > 0:
		return slices.MaxFunc(open, func(a, b Kind) int { return cmp.Compare(p.weakness(a), p.weakness(b)) })
	case len(due) > 0:
		return due[0]
	default:
		return KindMixed
	}
}

// weakness returns the weight of a drill in the mixed one: the highest chance of
// failure that its trials allow. An untried drill weighs most.
func (p *Past) weakness(k Kind) float64 { return 1 - p.trials[k].recent.Wilson(Confidence).Low }

// Confidence is the level of every interval that the trainer shows.
const Confidence = 0.95

// tracks are the kinds that a trial can have; mixed and review consist of these.
var tracks = []Kind{KindFlick, KindSteady, KindTake, KindCut, KindPattern, KindBlind, KindHandsOff}
