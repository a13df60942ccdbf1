package trainer

import (
	"errors"
	"slices"

	"flicktally/sim/problem"
)

// plan chooses the trials of a drill.
type plan interface {
	// next returns the kind of the next trial and, in a review, the mistake
	// that it repeats.
	next(d *Drill) (kind Kind, mistake string)
}

// ErrNoMistake says that a review has nothing to repeat.
var ErrNoMistake = errors.New("found no mistake at the switch in the flight, so there is nothing to review")

func newPlan(s Setup) (plan, error) {
	switch s.Kind {
	case KindMixed:
		return &mixedPlan{}, nil
	case KindReview:
		if len(s.Review) == 0 {
			return nil, problem.Hinted(ErrNoMistake, "choose another drill")
		}
		return newReviewPlan(s.Review), nil
	default:
		return singlePlan(s.Kind), nil
	}
}

// singlePlan repeats one kind of trial.
type singlePlan Kind

func (p singlePlan) next(*Drill) (Kind, string) { return Kind(p), "" }

// mixedPlan draws each trial by weakness, never the same three times in a row.
type mixedPlan struct{ last [2]Kind }

func (p *mixedPlan) next(d *Drill) (Kind, string) {
	var kinds []Kind
	var total float64
	for _, k := range tracks {
		if k != p.last[0] || k != p.last[1] {
			kinds = append(kinds, k)
			total += d.past.weakness(k)
		}
	}
	drawn := kinds[len(kinds)-1]
	at := d.chance.Float64() * total
	for _, k := range kinds {
		if at -= d.past.weakness(k); at < 0 {
			drawn = k
			break
		}
	}
	p.last[0], p.last[1] = p.last[1], drawn
	return drawn, ""
}

// reviewPlan repeats each kind of mistake in proportion to its frequency: the
// next turn goes to the kind that has waited longest relative to it.
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

func (p *reviewPlan) next(*Drill) (Kind, string) {
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
	return m.Remedy, m.Text
}
