package mavlink

import (
	"cmp"
	"io"
	"slices"

	"flicktally/sim"
)

// Survey is what a whole recording says about a line: which system to listen to,
// and how far apart its samples are.
type Survey struct {
	Systems []SystemFrames // that send a value of the line, most frames first
	Empty   bool           // none sends a value: Systems sent the line without one
	Frames  int            // of the four messages
	steps   map[uint8]*steps
}

// Most returns the system with the most frames (the lower number if equal); 0
// if none sends the line.
func (s *Survey) Most() uint8 {
	if len(s.Systems) == 0 {
		return 0
	}
	return s.Systems[0].System
}

// Step returns the median time between two values of a system, rounded up to
// ms, and at most 4 s; 0 if it sent fewer than two.
func (s *Survey) Step(system uint8) sim.Micros {
	if of := s.steps[system]; of != nil {
		return of.median()
	}
	return 0
}

// NewSurvey surveys a recording. It reads to the end or to the first error,
// which the [Reader] will report. It uses less than 6 MiB.
func NewSurvey(r io.Reader, line Line) Survey {
	d := NewReader(r, "", Options{Line: line})
	s := Survey{steps: map[uint8]*steps{}}
	d.valued = func(system uint8, at sim.Micros) {
		of := s.steps[system]
		if of == nil {
			of = &steps{}
			s.steps[system] = of
		}
		of.add(at)
	}
	for {
		if _, err := d.Next(); err != nil {
			sum := d.Summary()
			s.Systems, s.Empty, s.Frames = sum.Systems, sum.Empty, sum.Frames
			return s
		}
	}
}

// ranked lists the systems that sent anything, most frames first.
func ranked(sent *[256]int) []SystemFrames {
	var all []SystemFrames
	for system, frames := range sent {
		if frames > 0 {
			all = append(all, SystemFrames{uint8(system), frames})
		}
	}
	slices.SortStableFunc(all, func(a, b SystemFrames) int { return cmp.Compare(b.Frames, a.Frames) })
	return all
}

// steps counts the times between values, in ms.
type steps struct {
	last    sim.Micros
	started bool
	count   [4001]int32
	total   int
}

func (s *steps) add(at sim.Micros) {
	step := at - s.last
	if s.started && step > 0 && step < sim.MaxDuration {
		s.count[min(int((step+sim.Millisecond-1)/sim.Millisecond), len(s.count)-1)]++
		s.total++
	}
	if !s.started || step > 0 || sim.Follow(s.last, at) == sim.Back {
		s.last, s.started = at, true
	}
}

func (s *steps) median() sim.Micros {
	half := s.total / 2
	for ms, n := range s.count {
		if half -= int(n); half < 0 {
			return sim.Micros(ms) * sim.Millisecond
		}
	}
	return 0
}
