package belief

import (
	"slices"

	"flicktally/sim"
)

// axis names a threshold.
type axis uint8

const (
	fixed axis = iota
	alongMin
	alongLong
)

// moment is an instant, or a length of time, as a function of the thresholds:
// base, or base plus one of them.
type moment struct {
	base sim.Micros
	axis axis
}

func (m moment) plus(d sim.Micros) moment { return moment{m.base + d, m.axis} }

// at returns the moment for given thresholds.
func (m moment) at(w sim.Window) sim.Micros {
	switch m.axis {
	case alongMin:
		return m.base + w.MinPress
	case alongLong:
		return m.base + w.LongPress
	default:
		return m.base
	}
}

// region is a convex set of threshold pairs, given by difference bounds: ranges of
// min_press, of long_press and of long_press − min_press, in whole µs. No bound is
// looser than the others imply. A region without an area is empty.
type region struct{ min, long, diff sim.Interval }

func newRegion(min, long sim.Interval) region {
	return region{min, long, sim.Interval{Low: long.Low - min.High, High: long.High - min.Low}}
}

func (r region) empty() bool {
	return r.min.Low >= r.min.High || r.long.Low >= r.long.High || r.diff.Low >= r.diff.High
}

// whereOrdered returns the part of the region in which a is not after b.
func (r region) whereOrdered(a, b moment) region {
	most := b.base - a.base // a's threshold − b's threshold is at most this
	switch {
	case a.axis == b.axis && most < 0:
		return region{}
	case a.axis == b.axis:
		return r
	case a.axis == alongMin && b.axis == fixed:
		r.min.High = min(r.min.High, most)
	case a.axis == fixed && b.axis == alongMin:
		r.min.Low = max(r.min.Low, -most)
	case a.axis == alongLong && b.axis == fixed:
		r.long.High = min(r.long.High, most)
	case a.axis == fixed && b.axis == alongLong:
		r.long.Low = max(r.long.Low, -most)
	case a.axis == alongLong:
		r.diff.High = min(r.diff.High, most)
	default:
		r.diff.Low = max(r.diff.Low, -most)
	}
	return r.tight()
}

// whereBefore returns the part of the region in which a is before b. If they move
// differently, this differs from whereOrdered by a line, which has no area.
func (r region) whereBefore(a, b moment) region {
	if a == b {
		return region{}
	}
	return r.whereOrdered(a, b)
}

// tight makes every bound as tight as the others imply. After a change of one
// bound, two rounds are enough.
func (r region) tight() region {
	for range 2 {
		r.min.Low = max(r.min.Low, r.long.Low-r.diff.High)
		r.min.High = min(r.min.High, r.long.High-r.diff.Low)
		r.long.Low = max(r.long.Low, r.min.Low+r.diff.Low)
		r.long.High = min(r.long.High, r.min.High+r.diff.High)
		r.diff.Low = max(r.diff.Low, r.long.Low-r.min.High)
		r.diff.High = min(r.diff.High, r.long.High-r.min.Low)
	}
	return r
}

// mirrored swaps the two thresholds.
func (r region) mirrored() region {
	return region{r.long, r.min, sim.Interval{Low: -r.diff.High, High: -r.diff.Low}}
}

// knot is the breadth of a region across an axis, at a point of the axis.
type knot struct {
	at      sim.Micros
	breadth float64
}

// profile returns the breadth of the region along an axis, which is linear between
// the knots.
func (r region) profile(along axis) []knot {
	if along == alongLong {
		r = r.mirrored()
	}
	places := []sim.Micros{r.min.Low, r.min.High}
	for _, bend := range []sim.Micros{r.long.High - r.diff.High, r.long.Low - r.diff.Low} {
		places = append(places, min(max(bend, r.min.Low), r.min.High))
	}
	slices.Sort(places)
	var knots []knot
	for _, at := range slices.Compact(places) {
		breadth := min(r.long.High, at+r.diff.High) - max(r.long.Low, at+r.diff.Low)
		knots = append(knots, knot{at, float64(breadth)})
	}
	return knots
}

// area returns the area of the region in µs².
func (r region) area() float64 {
	area := 0.0
	knots := r.profile(alongMin)
	for i := 1; i < len(knots); i++ {
		area += areaBetween(knots[i-1], knots[i])
	}
	return area
}

func areaBetween(a, b knot) float64 { return float64(b.at-a.at) * (a.breadth + b.breadth) / 2 }

// centre returns the mean place of the region on an axis.
func (r region) centre(along axis) float64 {
	knots := r.profile(along)
	first, area, moment := float64(knots[0].at), 0.0, 0.0
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		length := float64(b.at - a.at)
		part := areaBetween(a, b)
		area += part
		moment += (float64(a.at)-first)*part + length*length*(a.breadth+2*b.breadth)/6
	}
	return first + moment/area
}

// chord is a piece of the cumulative share of a region along an axis: share of the
// region's area lies between from and to, treated as uniform.
type chord struct {
	from, to sim.Micros
	share    float64
}

// chordsPerBend keeps a chord within 0.0001 of its curve: a quadratic from 0 to
// 1 deviates from its chord by at most 1/(4·n²).
const chordsPerBend = 64

// chords returns the cumulative share of the region along an axis.
func (r region) chords(along axis) []chord {
	area := r.area()
	var chords []chord
	knots := r.profile(along)
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		n := sim.Micros(1)
		if a.breadth != b.breadth {
			n = min(chordsPerBend, b.at-a.at)
		}
		for k := range n {
			from, to := between(a, b, k, n), between(a, b, k+1, n)
			chords = append(chords, chord{from.at, to.at, areaBetween(from, to) / area})
		}
	}
	return chords
}

// between returns the knot at k/n of the way from a to b, at a whole µs.
func between(a, b knot, k, n sim.Micros) knot {
	at := a.at + (b.at-a.at)*k/n
	return knot{at, a.breadth + (b.breadth-a.breadth)*float64(at-a.at)/float64(b.at-a.at)}
}
