package chanlog

import "flicktally/sim"

// spread gives rows that share an instant their own times, if the clock is
// coarser than the rows.
type spread struct {
	width sim.Micros // step of the clock; 0 = nothing is spread
	group []sim.Sample
}

// maxGroup is the most rows of an instant that are spread.
const maxGroup = 1 << 15

// add adds a sample. It holds the samples of an instant until a sample of
// another comes, then appends them to out.
func (s *spread) add(out []sim.Sample, sample sim.Sample) []sim.Sample {
	if s.width == 0 {
		return append(out, sample)
	}
	if len(s.group) > 0 && (s.group[0].At != sample.At || len(s.group) == maxGroup) {
		out = s.flush(out, min(s.width, max(1, sample.At-s.group[0].At)))
	}
	s.group = append(s.group, sample)
	return out
}

// flush appends the held samples, spread evenly over width.
func (s *spread) flush(out []sim.Sample, width sim.Micros) []sim.Sample {
	for i, sample := range s.group {
		sample.At += width * sim.Micros(i) / sim.Micros(len(s.group))
		out = append(out, sample)
	}
	s.group = s.group[:0]
	return out
}
