package belief

import (
	"math"
	"slices"

	"flicktally/sim"
)

// marginals is the part of a press's result that chance decides; see
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

// outcomeOf returns the outcome of a verdict.
func outcomeOf(v sim.Verdict) outcome { return outcome(max(0, slices.Index(verdictOf[:], v))) }

// section is a part of a flight in which a press goes down only at the start.
type section struct {
	from, to sim.Micros
	edges    []sim.Edge // in finer steps
	last     bool       // it is the last of the log
	seen     []Glance
	hold     holdDistribution
	open     bool // the press is open: no action on release happens
	bounces  bool
	// below[a] and reaches[b] are the chances that the hold is short and that
	// it is long, at the points of the two thresholds.
	shortAt, longAt []float64
	minMatters      bool // below differs between points
	longMatters     bool // reaches differs between points
	wakeChance      float64
}

// sectionedFlight is a flight divided into sections: the first from its start to the
// first press, then one per press.
type sectionedFlight struct {
	replay   *sim.Replay
	spec     sim.CameraSpec // in finer steps
	starts   []sim.StartState
	sections []section
}

// newSectionedFlight divides a flight at its presses.
func newSectionedFlight(replay *sim.Replay, seen []Glance) *sectionedFlight {
	u := newUnknowns(replay)
	f := &sectionedFlight{replay: replay, spec: u.fineSpec(replay.Rig.Camera.Start), starts: u.starts}
	edges := u.fine.Edges
	if u.wire.Initial {
		edges = slices.Insert(slices.Clone(edges), 0, sim.Edge{Pressed: true})
	}
	ends := make([]sim.Micros, 0, len(replay.Presses)+1)
	for _, p := range replay.Presses {
		ends = append(ends, p.Down)
	}
	ends = append(ends, replay.End)
	f.sections = make([]section, 0, len(ends))
	from := sim.Micros(0)
	for i, to := range ends {
		s := section{from: from, to: to, last: i == len(ends)-1}
		n := 0
		for n < len(edges) && (edges[n].At < to*finer || s.last) {
			n++
		}
		s.edges, edges = edges[:n], edges[n:]
		if i > 0 {
			p := replay.Presses[i-1]
			s.hold = newHoldDistribution(p, replay.End, replay.Rig.Doubt.Sampled)
			s.open, s.bounces = p.Open(), n > 2
		}
		f.sections = append(f.sections, s)
		from = to
	}
	f.placeGlances(seen)
	return f
}

// matchTakes assigns each glance to its section: the last that begins by then.
func (f *sectionedFlight) placeGlances(seen []Glance) {
	for _, g := range seen {
		i := len(f.sections) - 1
		for i > 0 && f.sections[i].from > g.At {
			i--
		}
		f.sections[i].seen = append(f.sections[i].seen, g)
	}
}

// breakpoints returns the values of the two thresholds at which a chance jumps or changes
// its form.
func (f *sectionedFlight) breakpoints() (least, longs []sim.Micros) {
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
				least = append(least, g.At-s.from-delay)
			}
		}
		if i == 0 {
			continue
		}
		for _, k := range s.hold.breakpoints() {
			least, longs = append(least, sim.Micros(math.Round(k))), append(longs, sim.Micros(math.Round(k)))
		}
		if c.ToggleOn != sim.ToggleOnPress {
			continue
		}
		// A later press comes before or after a busy time that began with the threshold.
		for _, delay := range delays[1:] {
			for _, later := range f.sections[i+1:] {
				if since := later.from - s.from - delay; since <= c.MinPress.High {
					least = append(least, since)
				} else {
					break
				}
			}
		}
	}
	return least, longs
}

// setHoldChances computes the chances of each press's hold at the points of the two
// thresholds. A press that is still open can only have reached what acts while
// it is held.
func (f *sectionedFlight) setHoldChances(least, longs []gridPoint) {
	c := f.replay.Rig.Camera
	for i := range f.sections[1:] {
		s := &f.sections[i+1]
		s.shortAt, s.longAt = make([]float64, len(least)), make([]float64, len(longs))
		for a, p := range least {
			s.shortAt[a] = s.hold.cdf(p.at)
		}
		if !s.open || c.LongFires == sim.LongAtThreshold {
			for b, p := range longs {
				s.longAt[b] = 1 - s.hold.cdf(p.at)
			}
		}
		s.minMatters = slices.Max(s.shortAt) > slices.Min(s.shortAt)
		s.longMatters = slices.Max(s.longAt) > slices.Min(s.longAt)
		if c.WakePress != sim.Never {
			s.wakeChance = 1 - s.hold.cdf(float64(c.WakePress))
		}
	}
}

// chances returns the chance of each outcome of an accepted press, or one of a
// camera that is off, with thresholds at two points.
func (s *section) chances(a, b int, ignore float64) [8]float64 {
	below, reaches := s.shortAt[a], s.longAt[b]
	taken := 1 - ignore
	return [8]float64{
		predetermined: 1, short: taken * below, toggles: taken * max(0, 1-below-reaches), long: taken * reaches,
		ignored: ignore, wakes: s.wakeChance, staysOff: 1 - s.wakeChance,
	}
}

// maxChances returns the greatest chance that each outcome has at any of the points.
func (s *section) maxChances(from, to int, ignore float64) [8]float64 {
	below := s.shortAt[from:to]
	taken := 1 - ignore
	return [8]float64{
		predetermined: 1, short: taken * slices.Max(below), long: taken * slices.Max(s.longAt),
		toggles: taken * max(0, 1-slices.Min(below)-slices.Min(s.longAt)),
		ignored: ignore, wakes: s.wakeChance, staysOff: 1 - s.wakeChance,
	}
}
