package belief

import (
	"math"
	"slices"

	"flicktally/sim"
)

// fate is the part of a press's result that chance decides; see
// [sim.Camera.Suppose].
type fate uint8

const (
	plain fate = iota // nothing depends on chance
	short
	toggles
	long
	ignored
	wakes
	staysOff
	fates
)

var supposed = [fates]sim.Verdict{
	"", sim.VerdictShort, sim.VerdictToggle, sim.VerdictLong, sim.VerdictIgnored, sim.VerdictWake, sim.VerdictOff,
}

// fateOf returns the fate of a verdict.
func fateOf(v sim.Verdict) fate { return fate(max(0, slices.Index(supposed[:], v))) }

// section is a part of a flight in which a press goes down only at the start.
type section struct {
	from, to sim.Micros
	edges    []sim.Edge // in finer steps
	last     bool       // it is the last of the log
	seen     []Glance
	hold     spread
	fired    bool // the press is open: no action on release happens
	bounces  bool
	// below[a] and reaches[b] are the chances that the hold is short and that
	// it is long, at the points of the two thresholds.
	below, reaches []float64
	leastMatters   bool // below differs between points
	longMatters    bool // reaches differs between points
	wakes          float64
}

// flightPlan is a flight divided into sections: the first from its start to the
// first press, then one per press.
type flightPlan struct {
	replay   *sim.Replay
	spec     sim.CameraSpec // in finer steps
	starts   []sim.StartState
	sections []section
}

// newFlightPlan divides a flight at its presses.
func newFlightPlan(replay *sim.Replay, seen []Glance) *flightPlan {
	u := newUnknowns(replay)
	f := &flightPlan{replay: replay, spec: u.fineSpec(replay.Rig.Camera.Start), starts: u.starts}
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
			s.hold = newSpread(p, replay.End, replay.Rig.Doubt.Sampled)
			s.fired, s.bounces = p.Open(), n > 2
		}
		f.sections = append(f.sections, s)
		from = to
	}
	f.place(seen)
	return f
}

// place assigns each glance to its section: the last that begins by then.
func (f *flightPlan) place(seen []Glance) {
	for _, g := range seen {
		i := len(f.sections) - 1
		for i > 0 && f.sections[i].from > g.At {
			i--
		}
		f.sections[i].seen = append(f.sections[i].seen, g)
	}
}

// knots returns the values of the two thresholds at which a chance jumps or changes
// its form.
func (f *flightPlan) knots() (least, longs []sim.Micros) {
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
		for _, k := range s.hold.knots() {
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

// judge computes the chances of each press's hold at the points of the two
// thresholds. A press that is still open can only have reached what acts while
// it is held.
func (f *flightPlan) judge(least, longs []point) {
	c := f.replay.Rig.Camera
	for i := range f.sections[1:] {
		s := &f.sections[i+1]
		s.below, s.reaches = make([]float64, len(least)), make([]float64, len(longs))
		for a, p := range least {
			s.below[a] = s.hold.below(p.at)
		}
		if !s.fired || c.LongFires == sim.LongAtThreshold {
			for b, p := range longs {
				s.reaches[b] = 1 - s.hold.below(p.at)
			}
		}
		s.leastMatters = slices.Max(s.below) > slices.Min(s.below)
		s.longMatters = slices.Max(s.reaches) > slices.Min(s.reaches)
		if c.WakePress != sim.Never {
			s.wakes = 1 - s.hold.below(float64(c.WakePress))
		}
	}
}

// chances returns the chance of each fate of an accepted press, or one of a
// camera that is off, with thresholds at two points.
func (s *section) chances(a, b int, ignore float64) [8]float64 {
	below, reaches := s.below[a], s.reaches[b]
	taken := 1 - ignore
	return [8]float64{
		plain: 1, short: taken * below, toggles: taken * max(0, 1-below-reaches), long: taken * reaches,
		ignored: ignore, wakes: s.wakes, staysOff: 1 - s.wakes,
	}
}

// most returns the greatest chance that each fate has at any of the points.
func (s *section) most(from, to int, ignore float64) [8]float64 {
	below := s.below[from:to]
	taken := 1 - ignore
	return [8]float64{
		plain: 1, short: taken * slices.Max(below), long: taken * slices.Max(s.reaches),
		toggles: taken * max(0, 1-slices.Min(below)-slices.Min(s.reaches)),
		ignored: ignore, wakes: s.wakes, staysOff: 1 - s.wakes,
	}
}
