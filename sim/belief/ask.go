package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// Question is an observation that would reduce the doubt.
type Question struct {
	// Gain is the expected information in the answer, in bits: the drop in the
	// entropy of the unknowns. As the unknowns determine the answer, it is the
	// entropy of the answer.
	Gain float64
	// CountClips asks for the number of files on the card; otherwise the question
	// is what the light showed.
	CountClips bool
	// At is the time at which a glance says most; it says as much at any time
	// between From and To.
	At, From, To sim.Micros
	// Recording is the chance, 0 to 1, that it showed recording.
	Recording float64
}

// worthAsking is the least gain, in bits, that a question must have to be asked,
// and by which it must beat another to be preferred. worthAskingInDoubt is the
// least gain if every press is in some doubt (M11).
const (
	worthAsking        = 1e-6
	worthAskingInDoubt = 0.05
)

// ask returns the observations that would reduce the doubt most, best first: a
// glance at a moment, a glance at any time of a stretch over which nothing
// changes, and the number of files on the card. Of equally good stretches it
// takes the longest. It leaves out questions with a gain below least.
//
// takeCounts are the weights of each number of takes; nil if the files on the
// card are known, or the takes are too many to count.
func ask(stretches []stretch, takeCounts []float64, least float64) []Question {
	var moment, lasting Question
	for _, s := range stretches {
		q, best := s.question(), &moment
		if s.from == s.to {
			best = &lasting
		}
		gain, length := q.Gain-best.Gain, (q.To-q.From)-(best.To-best.From)
		if gain > worthAsking || gain > -worthAsking && length > 0 {
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

// question returns the most informative glance of a stretch. As the chances are
// linear, the gain is a concave function of time.
func (s stretch) question() Question {
	if s.from == s.to {
		q := s.glance(0.5)
		q.From, q.To = s.span.From, s.span.To
		return q
	}
	low, high := 0.0, 1.0
	for fine := 0.001 / float64(s.span.Length()); high-low > fine; { // to a thousandth of a µs
		third := (high - low) / 3
		if s.glance(low+third).Gain < s.glance(high-third).Gain {
			low += third
		} else {
			high -= third
		}
	}
	return s.glance(low)
}

// glance asks for the light at a part of the stretch: 0 is its start, 1 its end.
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
