package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// Question is an observation that would reduce the doubt.
type Question struct {
	// Gain is the mean information in the answer, in bits: the drop in the
	// entropy of the unknowns. The unknowns determine the answer, so this is
	// the entropy of the answer itself.
	Gain float64
	// CountClips: count the files on the card. Otherwise: what did the light
	// show?
	CountClips bool
	// At is the time at which the light says most; from From to To it says as
	// much.
	At, From, To sim.Micros
	// Recording is the chance, 0 to 1, that it showed recording.
	Recording float64
}

// worthAsking is the least gain, in bits, by which one question must beat
// another to be preferred, and that it must have to be asked at all.
// worthAskingInDoubt is the same where every press has its small doubt.
const (
	worthAsking        = 1e-6
	worthAskingInDoubt = 0.05
)

// ask returns the observations that would settle most, best first: a glance at
// a moment, a glance at any time of a stretch that says as much throughout, and
// the number of files on the card. Of equally good stretches it takes the
// longest.
//
// takeCounts are the weights of each number of takes; nil if the files on the
// card are known. Questions with a gain below least are left out.
func ask(stretches []stretch, takeCounts []float64, least float64) []Question {
	var moment, lasting Question
	for _, s := range stretches {
		q, best := s.question(), &moment
		if s.from == s.to {
			best = &lasting
		}
		tells, lasts := q.Gain-best.Gain, (q.To-q.From)-(best.To-best.From)
		if tells > worthAsking || tells > -worthAsking && lasts > 0 {
			*best = q
		}
	}
	asked := []Question{lasting}
	if moment.Gain > lasting.Gain+worthAsking {
		asked = append(asked, moment)
	}
	if takeCounts != nil {
		asked = append(asked, Question{Gain: entropyOfWeights(takeCounts), CountClips: true})
	}
	asked = slices.DeleteFunc(asked, func(q Question) bool { return q.Gain < least })
	slices.SortStableFunc(asked, func(a, b Question) int { return cmp.Compare(b.Gain, a.Gain) })
	return asked
}

// question returns the most informative glance of a stretch. The gain is a
// concave function of time, as the chances are linear.
func (s stretch) question() Question {
	if s.from == s.to {
		q := s.glance(0.5)
		q.From, q.To = s.span.From, s.span.To
		return q
	}
	low, high := 0.0, 1.0
	for range 50 {
		third := (high - low) / 3
		if s.glance(low+third).Gain < s.glance(high-third).Gain {
			low += third
		} else {
			high -= third
		}
	}
	return s.glance(low)
}

// glance asks for the light at a part of the stretch, from 0 to 1.
func (s stretch) glance(part float64) Question {
	at := s.span.From + sim.Micros(math.Round(part*float64(s.span.Length())))
	chances := s.from.plus(s.from, -part).plus(s.to, part)
	return Question{Gain: chances.entropy(), At: at, From: at, To: at, Recording: chances[0]}
}

// entropy returns the information in a glance, in bits. In the unknown state
// every light is equally likely and says nothing.
func (l lights) entropy() float64 {
	n := len(Lights)
	unknown := l[n]
	gain := -unknown * math.Log2(float64(n))
	for _, p := range l[:n] {
		gain += surprise(p + unknown/float64(n))
	}
	return max(0, gain)
}

func entropyOfWeights(weights []float64) float64 {
	entropy, total := 0.0, 0.0
	for _, w := range weights {
		total += w
	}
	for _, w := range weights {
		entropy += surprise(w / total)
	}
	return entropy
}

// surprise is −p·log₂ p, the contribution of an outcome to an entropy.
func surprise(p float64) float64 {
	if p <= 0 {
		return 0
	}
	return -p * math.Log2(p)
}
