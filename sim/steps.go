package sim

import "slices"

// Steps says how far apart the rows of a log are. Rows at one instant count
// once.
type Steps struct {
	Median Micros // of the first rows; 0 if there are fewer than two instants
	// Gaps counts the stretches of more than ten steps without a row. Longest
	// is the longest of them, of length zero if there is none.
	Gaps    int
	Longest Span
}

const (
	gapSteps   = 10  // a longer time without a row is a gap
	firstSteps = 255 // the median is that of the first steps
)

// stepping measures the steps between rows.
type stepping struct {
	steps   Steps
	first   []leap // until the median is known
	known   bool
	limit   Micros // a longer step is a gap, once the median is known
	last    Micros
	begun   bool
	omitted int // rows left out since last
}

// leap is the time between two rows that were fed: one step, or more if rows in
// between were left out.
type leap struct {
	Span
	omitted Micros // rows
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

// settle computes the median of the first steps and looks for gaps among them.
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

// firstLimit returns the longest leap to the next row that is not a gap, with one
// median step for each row left out.
func (s *stepping) firstLimit() Micros { return s.limit + Micros(s.omitted)*s.steps.Median }

// gap counts a leap that is too long, less one median step for each row left
// out.
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
