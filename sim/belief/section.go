package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// outcome is what becomes of a press, as far as chance decides it; see
// [sim.Camera.Suppose].
type outcome uint8

const (
	predetermined outcome = iota // nothing depends on chance
	short
	toggles
	long
	ignored
	wakes
	staysOff
	outcomes
)

var verdictOf = [outcomes]sim.Verdict{
	"", sim.VerdictShort, sim.VerdictToggle, sim.VerdictLong, sim.VerdictIgnored, sim.VerdictWake, sim.VerdictOff,
}

// outcomeOf returns the outcome that has a verdict.
func outcomeOf(v sim.Verdict) outcome { return outcome(max(0, slices.Index(verdictOf[:], v))) }

// sectionedFlight is a flight divided into sections: the first from its start to
// the first press, then one per press.
type sectionedFlight struct {
	replay   *sim.Replay
	spec     sim.CameraSpec // in finer steps
	starts   []sim.StartState
	sections []section
}

// section is a part of a flight in which a press goes down only at the start.
type section struct {
	from, to sim.Micros
	edges    []sim.Edge // of the wire, in finer steps
	last     bool       // it is the last of the log
	seen     []Glance
	hold     holdDistribution
	open     bool    // the press is still down at the end of the log
	ignored  float64 // the chance that the camera ignores an accepted press
	// shortAt[a] and longAt[b] are the chances that the hold is short and that it
	// is long, at the grid points of the two thresholds.
	shortAt, longAt         []float64
	minMatters, longMatters bool       // they differ between grid points
	chance                  [8]float64 // of each outcome
}

// newSectionedFlight divides a flight at its presses.
func newSectionedFlight(replay *sim.Replay, seen []Glance) *sectionedFlight {
	u := newUnknowns(replay)
	f := &sectionedFlight{replay: replay, spec: u.fineSpec(replay.Rig.Camera.Start), starts: u.starts}
	edges := u.fine.Edges
	if u.wire.Initial {
		edges = slices.Insert(slices.Clone(edges), 0, sim.Edge{Pressed: true})
	}
	f.sections = make([]section, len(replay.Presses)+1)
	from := sim.Micros(0)
	for i := range f.sections {
		s := section{from: from, to: replay.End, last: i == len(replay.Presses), ignored: replay.Rig.Doubt.Ignored}
		n := len(edges)
		if !s.last {
			s.to = replay.Presses[i].Down
			n, _ = slices.BinarySearchFunc(edges, s.to*finer, func(e sim.Edge, at sim.Micros) int { return cmp.Compare(e.At, at) })
		}
		s.edges, edges = edges[:n], edges[n:]
		if i > 0 {
			p := replay.Presses[i-1]
			s.hold, s.open = newHoldDistribution(p, replay.End, replay.Rig.Doubt.Sampled), p.Open()
		}
		f.sections[i], from = s, s.to
	}
	for _, g := range seen {
		i := len(f.sections) - 1
		for i > 0 && f.sections[i].from > g.At {
			i--
		}
		f.sections[i].seen = append(f.sections[i].seen, g)
	}
	return f
}

// breakpoints returns the values of the two thresholds at which a chance jumps
// or changes its form.
func (f *sectionedFlight) breakpoints() (mins, longs []sim.Micros) {
	c := f.replay.Rig.Camera
	delays := []sim.Micros{0, c.StartDelay, c.StopDelay}
	if c.AutoOff != sim.Never {
		delays = append(delays, c.StopDelay+c.AutoOff)
	}
	for i := range f.sections {
		s := &f.sections[i]
		for _, g := range s.seen {
			longs = append(longs, g.At-s.from)
			for _, delay := range delays {
				mins = append(mins, g.At-s.from-delay)
			}
		}
		if i == 0 {
			continue
		}
		for _, at := range s.hold.breakpoints() {
			mins, longs = append(mins, sim.Micros(math.Round(at))), append(longs, sim.Micros(math.Round(at)))
		}
		if c.ToggleOn != sim.ToggleOnPress {
			continue
		}
		// A later press comes before or after a busy time that starts at the threshold.
		for _, delay := range delays[1:] {
			for _, later := range f.sections[i+1:] {
				since := later.from - s.from - delay
				if since > c.MinPress.High {
					break
				}
				mins = append(mins, since)
			}
		}
	}
	return mins, longs
}

// setHoldChances computes the chances of each press's hold at grid points of the
// two thresholds. A press that is still open can only have reached what acts
// while it is held.
func (f *sectionedFlight) setHoldChances(mins, longs []gridPoint) {
	c := f.replay.Rig.Camera
	for i := range f.sections[1:] {
		s := &f.sections[i+1]
		s.shortAt, s.longAt = make([]float64, len(mins)), make([]float64, len(longs))
		for a, p := range mins {
			s.shortAt[a] = s.hold.cdf(p.at)
		}
		if !s.open || c.LongFires == sim.LongAtThreshold {
			for b, p := range longs {
				s.longAt[b] = 1 - s.hold.cdf(p.at)
			}
		}
		s.minMatters = slices.Max(s.shortAt) > slices.Min(s.shortAt)
		s.longMatters = slices.Max(s.longAt) > slices.Min(s.longAt)
		s.chance = [8]float64{predetermined: 1, ignored: s.ignored, staysOff: 1}
		if c.WakePress != sim.Never {
			s.chance[staysOff] = s.hold.cdf(float64(c.WakePress))
			s.chance[wakes] = 1 - s.chance[staysOff]
		}
	}
}

// chances returns the chance of each outcome of a press that is accepted, or of
// one of a camera that is off, for thresholds at two grid points.
// The result is valid until the next call: a copy would cost a tenth of the time
// of a long flight.
func (s *section) chances(a, b int) *[8]float64 {
	pShort, pLong := s.shortAt[a], s.longAt[b]
	s.setChances(pShort, 1-pShort-pLong, pLong)
	return &s.chance
}

// maxChances returns the greatest chance of each outcome at any grid point of
// long_press and the points [from, to) of min_press.
func (s *section) maxChances(from, to int) [8]float64 {
	pShort := s.shortAt[from:to]
	s.setChances(slices.Max(pShort), 1-slices.Min(pShort)-slices.Min(s.longAt), slices.Max(s.longAt))
	return s.chance
}

func (s *section) setChances(pShort, pToggle, pLong float64) {
	taken := 1 - s.ignored
	s.chance[short], s.chance[toggles], s.chance[long] = taken*pShort, taken*max(0, pToggle), taken*pLong
}

// dependsOn reports which thresholds the chance of an outcome depends on.
func (s *section) dependsOn(x outcome) (onMin, onLong bool) {
	return s.minMatters && (x == short || x == toggles), s.longMatters && (x == long || x == toggles)
}

// loggedOutcome returns the outcome of a press according to its logged edges.
func (f *sectionedFlight) loggedOutcome(i int) outcome {
	p, w, hold := f.replay.Presses[i], f.replay.Window, f.sections[i+1].hold.logged
	switch {
	case p.StateAt == sim.StateOff && f.spec.WakePress != sim.Never:
		return cmp.Or(outcomeOf(p.Verdict), staysOff)
	case !p.StateAt.Accepts():
		return predetermined
	case hold < float64(w.MinPress):
		return short
	case hold >= float64(w.LongPress):
		return long
	default:
		return toggles
	}
}
