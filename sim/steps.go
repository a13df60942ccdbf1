package sim

import "slices"

// Steps says how far the rows of a log are apart. Rows of one instant count once.
type Steps struct {
	Median Micros // of the first rows; 0 where there are fewer than two instants
	// Gaps counts the stretches of more than ten steps without a row; Longest is
	// the longest of them, of no length where there is none.
	Gaps    int
	Longest Span
}

// gapSteps is how many steps without a row make a gap.
const gapSteps = 10

// firstSteps is how many steps tell the median.
const firstSteps = 255

// stepping follows the times of the rows.
type stepping struct {
	steps   Steps
	first   []leap // until the median of their steps is known
	known   bool
	limit   Micros // a longer step is a gap, once the median is known
	last    Micros
	begun   bool
	omitted int // rows that were left out since last
}

// leap is the time from one row that was fed to the next.
type leap struct {
	Span
	omitted Micros // rows in between that were left out
}

// note takes the time of a row.
func (s *stepping) note(at Micros) {
	l := leap{Span{s.last, at}, Micros(s.omitted)}
	begun := s.begun
	s.last, s.begun, s.omitted = at, true, 0
	switch {
	case !begun || l.Length() == 0:
	case s.known:
		s.gap(l)
	default:
		if s.first = append(s.first, l); len(s.first) == firstSteps {
			s.settle()
		}
	}
}

// settle takes the median of the first steps, and looks for gaps among them.
func (s *stepping) settle() {
	if s.known || len(s.first) == 0 {
		return
	}
	lengths := make([]Micros, len(s.first))
	for i, l := range s.first {
		lengths[i] = l.Length() / (l.omitted + 1)
	}
	slices.Sort(lengths)
	s.known, s.steps.Median = true, lengths[(len(lengths)-1)/2]
	s.limit = gapSteps * s.steps.Median
	for _, l := range s.first {
		s.gap(l)
	}
	s.first = nil
}

// firstLimit returns the longest step to the next row that is no gap, with the
// rows that were left out before it.
func (s *stepping) firstLimit() Micros { return s.limit + Micros(s.omitted)*s.steps.Median }

// gap counts what is left of a leap, without a median step for each row that was
// left out, if that is one.
func (s *stepping) gap(l leap) {
	step := Span{l.From + l.omitted*s.steps.Median, l.To}
	if step.Length() <= s.limit {
		return
	}
	s.steps.Gaps++
	if step.Length() > s.steps.Longest.Length() {
		s.steps.Longest = step
	}
}
