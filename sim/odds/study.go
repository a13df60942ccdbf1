package odds

import (
	"math"
	"slices"

	"flicktally/sim"
)

// Study is the chance of a flick as a function of the intended hold.
type Study struct {
	Case  Case
	Curve []At
	// Aim is the hold to aim for, that of the rig ([sim.Rig.Aim]); if holds do
	// not matter, the best.
	Aim At
	// Best is the hold with which this pilot loses the fewest flicks.
	Best   At
	Wanted float64
	// Band are the holds around the best that toggle with at least the wanted
	// chance; nil if even the best does not. A band that reaches an end of the
	// curve may extend beyond it.
	Band *sim.Interval
	ask  func(sim.Micros) Answer
}

// At is the answer for one hold.
type At struct {
	Hold sim.Micros
	Answer
}

// The number of holds on a curve. A simulated hold costs more.
const (
	closedHolds    = 160
	simulatedHolds = 40
)

// Study computes the chances over all holds of interest. wanted, 0 to 1, is the
// chance from which a hold counts as safe. If the case is simulated, s is the
// work for each hold.
func (c Case) Study(wanted float64, s Sampling) Study {
	holds, alone := c.holds(), c.asker(s.alone())
	study := Study{Case: c, Wanted: wanted, Curve: make([]At, len(holds)), ask: c.asker(s)}
	s.each(len(holds), func(i int) { study.Curve[i] = At{holds[i], alone(holds[i])} })
	top := study.top()
	study.Best = study.best(top)
	study.Aim = study.Best
	if aim, ok := c.Rig.Aim(); ok {
		study.Aim = study.at(aim)
	}
	study.Band = study.bandAround(top)
	return study
}

// worthAnotherHold is the saving from which a hold other than the aim is worth
// naming: one flick in a thousand.
const worthAnotherHold = 1e-3

// Saves returns the share of flicks that toggle with the best hold but not with
// the aim; 0 if it is too small to name another hold than the aim, or within two
// standard errors of 0.
func (s *Study) Saves() float64 {
	saves := s.Best.Chances[Toggles] - s.Aim.Chances[Toggles]
	if saves < worthAnotherHold || saves <= 2*math.Hypot(s.Best.StandardError(Toggles), s.Aim.StandardError(Toggles)) {
		return 0
	}
	return saves
}

// holds returns holds in a geometric series, from well below the press window
// to well above it.
func (c Case) holds() []sim.Micros {
	n := closedHolds
	if !c.Closed() {
		n = simulatedHolds
	}
	camera := c.Rig.Camera
	low := float64(max(10*sim.Millisecond, camera.MinPress.Low/4))
	high := max(float64(camera.LongPress.High)*1.3, 4*low)
	holds := make([]sim.Micros, n)
	for i := range holds {
		holds[i] = sim.Micros(math.Round(low * math.Pow(high/low, float64(i)/float64(n-1))))
	}
	return holds
}

// top returns the index of the hold with the highest chance, among those that a
// hand can make.
func (s *Study) top() int {
	top := len(s.Curve) - 1
	for i, at := range slices.Backward(s.Curve) {
		if at.Hold >= sim.ShortestHold && at.Chances[Toggles] >= s.Curve[top].Chances[Toggles] {
			top = i
		}
	}
	return top
}

// best returns the middle of the holds that are as good as the top one, as far as
// the simulation shows: there a hand may err either way.
func (s *Study) best(top int) At {
	const equal = 1e-6
	limit := s.Curve[top].Chances[Toggles] - max(equal, 2*s.Curve[top].StandardError(Toggles))
	from, to := s.stretch(top, limit)
	low := max(s.Curve[from].Hold, min(sim.ShortestHold, s.Curve[top].Hold))
	middle := s.at((low + s.Curve[to].Hold) / 2)
	if rounded := s.at(rounded(middle.Hold)); rounded.Chances[Toggles] > middle.Chances[Toggles]-roundingCosts {
		return rounded
	}
	return middle
}

// roundingCosts is the loss allowed for aiming at a round hold: one flick in
// ten thousand.
const roundingCosts = 1e-4

// rounded rounds a hold to what a pilot can aim for.
func rounded(hold sim.Micros) sim.Micros {
	const step = 10 * sim.Millisecond
	return max(step, (hold+step/2)/step*step)
}

func (s *Study) at(hold sim.Micros) At { return At{hold, s.ask(hold)} }

// stretch returns the first and the last hold of the unbroken stretch around i
// in which flicks toggle with a chance of at least limit.
func (s *Study) stretch(i int, limit float64) (from, to int) {
	from, to = i, i
	for from > 0 && s.Curve[from-1].Chances[Toggles] >= limit {
		from--
	}
	for to+1 < len(s.Curve) && s.Curve[to+1].Chances[Toggles] >= limit {
		to++
	}
	return from, to
}

// bandAround returns the band of safe holds around one of them.
func (s *Study) bandAround(top int) *sim.Interval {
	if s.Curve[top].Chances[Toggles] < s.Wanted {
		return nil
	}
	from, to := s.stretch(top, s.Wanted)
	band := sim.Interval{Low: s.Curve[from].Hold, High: s.Curve[to].Hold}
	if from > 0 {
		band.Low = s.crossing(s.Curve[from-1], s.Curve[from])
	}
	if to+1 < len(s.Curve) {
		band.High = s.crossing(s.Curve[to], s.Curve[to+1])
	}
	return &band
}

// crossing returns the hold between two neighbours on the curve at which the
// chance is the wanted one: to a tenth of a millisecond by closed form,
// otherwise by linear interpolation.
func (s *Study) crossing(a, b At) sim.Micros {
	for s.Case.Closed() && b.Hold-a.Hold > 100*sim.Microsecond {
		middle := (a.Hold + b.Hold) / 2
		at := s.at(middle)
		if (at.Chances[Toggles] < s.Wanted) == (a.Chances[Toggles] < s.Wanted) {
			a = at
		} else {
			b = at
		}
	}
	p, q := a.Chances[Toggles], b.Chances[Toggles]
	share := (s.Wanted - p) / (q - p)
	return a.Hold + sim.Micros(math.Round(share*float64(b.Hold-a.Hold)))
}

// OpenEnded reports whether the band reaches the shortest or the longest hold
// of the curve.
func (s *Study) OpenEnded() (low, high bool) {
	if s.Band == nil {
		return false, false
	}
	return s.Band.Low == s.Curve[0].Hold, s.Band.High == s.Curve[len(s.Curve)-1].Hold
}
