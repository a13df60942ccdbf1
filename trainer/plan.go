package trainer

import (
	"errors"
	"slices"

	"flicktally/sim"
	"flicktally/sim/problem"
)

// plan chooses the trials of a drill.
type plan interface {
	// next returns the next trial.
	next(d *Drill, s setting) trial
}

// ErrNoMistake says that a review has nothing to repeat.
var ErrNoMistake = errors.New("found no mistake at the switch in the flight, so there is nothing to review")

func newPlan(s Setup, rig sim.Rig, aim sim.Micros) (plan, error) {
	patterns := builtInPatterns(rig, aim)
	if s.Pattern != nil {
		patterns = []Pattern{*s.Pattern}
	}
	switch s.Kind {
	case KindMixed:
		return &mixedPlan{patterns: patterns}, nil
	case KindReview:
		if len(s.Review) == 0 {
			return nil, problem.Hinted(ErrNoMistake, "choose another drill")
		}
		return newReviewPlan(s.Review), nil
	default:
		return singlePlan{s.Kind, patterns}, nil
	}
}

// singlePlan repeats one kind of trial.
type singlePlan struct {
	kind     Kind
	patterns []Pattern
}

func (p singlePlan) next(d *Drill, s setting) trial { return newTrial(d, s, p.kind, p.patterns) }

// newTrial returns a trial of a kind, at the pilot's level.
func newTrial(d *Drill, s setting, kind Kind, patterns []Pattern) trial {
	s.kind, s.level = kind, d.past.Level(kind)
	switch kind {
	case KindFlick:
		return newFlickTrial(s, "")
	case KindSteady:
		return newSteadyTrial(s)
	case KindTake:
		return newTakeTrial(s)
	case KindCut:
		return newCutTrial(s, "")
	case KindPattern:
		return newPatternTrial(s, patterns[s.chance.IntN(len(patterns))])
	case KindBlind:
		return newBlindTrial(s)
	case KindHandsOff:
		return newHandsOffTrial(s)
	default:
		panic("internal error: no trial of kind " + string(kind))
	}
}

// mixedPlan draws each trial by weakness, never the same three times in a row.
type mixedPlan struct {
	patterns []Pattern
	last     [2]Kind
}

func (p *mixedPlan) next(d *Drill, s setting) trial {
	var kinds []Kind
	var total float64
	for _, k := range tracks {
		if k != p.last[0] || k != p.last[1] {
			kinds = append(kinds, k)
			total += d.past.weakness(k)
		}
	}
	drawn := kinds[len(kinds)-1]
	at := s.chance.Float64() * total
	for _, k := range kinds {
		if at -= d.past.weakness(k); at < 0 {
			drawn = k
			break
		}
	}
	p.last[0], p.last[1] = p.last[1], drawn
	return newTrial(d, s, drawn, p.patterns)
}

// reviewPlan repeats every mistake in proportion to its share of all: each turn
// goes to the kind of mistake that has waited longest relative to its
// frequency.
type reviewPlan struct {
	faults []fault
	times  int // of all
}

// fault is one kind of mistake.
type fault struct {
	made   []Mistake // in order of time, shown in turn
	times  int
	waited int
	turns  int
}

func newReviewPlan(mistakes []Mistake) *reviewPlan {
	p := &reviewPlan{}
	for _, m := range mistakes {
		i := slices.IndexFunc(p.faults, func(f fault) bool { return f.made[0].code == m.code })
		if i < 0 {
			i, p.faults = len(p.faults), append(p.faults, fault{})
		}
		f := &p.faults[i]
		f.made, f.times = append(f.made, m), f.times+m.Times
		p.times += m.Times
	}
	return p
}

func (p *reviewPlan) next(d *Drill, s setting) trial {
	longest := &p.faults[0]
	for i := range p.faults {
		f := &p.faults[i]
		if f.waited += f.times; f.waited > longest.waited {
			longest = f
		}
	}
	longest.waited -= p.times
	m := longest.made[longest.turns%len(longest.made)]
	longest.turns++
	s.kind, s.level = m.Remedy, d.past.Level(m.Remedy)
	switch m.Remedy {
	case KindFlick:
		return newFlickTrial(s, m.Text)
	case KindCut:
		return newCutTrial(s, m.Text)
	default:
		return newTrial(d, s, m.Remedy, nil)
	}
}
