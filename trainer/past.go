package trainer

import (
	"maps"

	"flicktally/sim"
)

// Past is what is known of a pilot on a rig: how far each drill has got. Add
// the trials in order of time. The zero Past is a beginner's.
type Past struct {
	ladders  map[Kind]ladder
	reliable map[Kind]Reliability
}

// Add takes a trial. One that does not count changes nothing.
func (p *Past) Add(r Result) {
	if !r.Counts() {
		return
	}
	if p.ladders == nil {
		p.ladders, p.reliable = map[Kind]ladder{}, map[Kind]Reliability{}
	}
	l, rel := p.ladders[r.Kind], p.reliable[r.Kind]
	l.Step(r.Within)
	rel.Add(r.Right)
	p.ladders[r.Kind], p.reliable[r.Kind] = l, rel
}

func (p *Past) clone() Past { return Past{maps.Clone(p.ladders), maps.Clone(p.reliable)} }

// Level returns the level that a drill has reached.
func (p *Past) Level(k Kind) int { return p.ladders[k].Level }

// Reliability returns what is decided about a drill.
func (p *Past) Reliability(k Kind) Reliability { return p.reliable[k] }

// weakness weighs a drill for the mixed one: the chance of a failure that the
// trials so far allow at worst, so that a drill not tried yet weighs most.
func (p *Past) weakness(k Kind) float64 { return 1 - p.reliable[k].All.Wilson(Confidence).Low }

// Confidence is the level of every interval that the trainer shows.
const Confidence = 0.95

// tracks are the kinds that a trial can have; mixed and review are made of
// trials of these.
var tracks = []Kind{KindFlick, KindSteady, KindTake, KindCut, KindPattern, KindBlind, KindHandsOff}

// holdsOf returns the hand's holds of the flicks that toggled.
func holdsOf(flicks []Flick) []sim.Micros {
	var holds []sim.Micros
	for _, f := range flicks {
		if f.Toggled() {
			holds = append(holds, f.Hold())
		}
	}
	return holds
}
