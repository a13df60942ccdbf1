package belief

import (
	"errors"
	"fmt"

	"flicktally/sim"
)

// maxCells limits the cells of one replay, and thus the memory; maxWork limits
// cells times edges, and thus the time to a few seconds.
const (
	maxCells = 50_000
	maxWork  = 20_000_000
)

var errTooManyCells = errors.New("possible histories")

// finer is the number of steps per µs of the exploring camera; see the package
// comment.
const finer = 4

// unknowns is what is unknown before any observation. A known threshold is a
// range of 1 µs that is never cut, so that every cell has an area.
type unknowns struct {
	spec       sim.CameraSpec
	rectangle  region
	starts     []sim.StartState
	wire, fine sim.Lane // in µs, and in the finer steps
	end        sim.Micros
	maxCells   int
}

func newUnknowns(r *sim.Replay) unknowns {
	spec := r.Rig.Camera
	u := unknowns{
		spec: spec, wire: r.Lanes.Wire, end: r.End,
		maxCells: min(maxCells, maxWork/(1+len(r.Lanes.Wire.Edges))),
		starts:   []sim.StartState{spec.Start},
	}
	u.rectangle = newRegion(withWidth(spec.MinPress), withWidth(spec.LongPress))
	if spec.Start == sim.StartUnknown {
		u.starts = []sim.StartState{sim.StartStandby, sim.StartRecording}
	}
	u.fine = sim.Lane{Initial: u.wire.Initial, Edges: make([]sim.Edge, len(u.wire.Edges))}
	for i, e := range u.wire.Edges {
		u.fine.Edges[i] = sim.Edge{At: e.At * finer, Pressed: e.Pressed}
	}
	return u
}

func withWidth(i sim.Interval) sim.Interval {
	if i.Exact() {
		i.High++
	}
	return i
}

// allKnown reports whether both thresholds and the start are known.
func allKnown(c sim.CameraSpec) bool {
	return c.MinPress.Exact() && c.LongPress.Exact() && c.Start != sim.StartUnknown
}

// explore yields every cell once.
func (u *unknowns) explore(yield func(*cell)) error {
	count := 0
	for _, start := range u.starts {
		left := []region{u.rectangle}
		for len(left) > 0 {
			if count++; count > u.maxCells {
				return fmt.Errorf("the ranges of min_press %s and long_press %s leave more than %d %w, want narrower ranges",
					u.spec.MinPress, u.spec.LongPress, u.maxCells, errTooManyCells)
			}
			r := left[len(left)-1]
			left = left[:len(left)-1]
			var found *cell
			found, left = u.cellWithin(r, start, left)
			yield(found)
		}
	}
	return nil
}

// cellWithin returns the cell around a point of a region, restricted to the
// region. It appends the rest of the region, in pieces, to left.
func (u *unknowns) cellWithin(r region, start sim.StartState, left []region) (*cell, []region) {
	point := u.pointIn(r)
	record := sim.RunCamera(u.fineSpec(start), point, u.fine, u.end*finer, func(a, b sim.Micros) {
		if a == sim.Never || b == sim.Never {
			return
		}
		if a > b {
			a, b = b, a
		}
		early, late := momentOf(a, point), momentOf(b, point)
		if early.axis == late.axis {
			return
		}
		if other := r.whereOrdered(late, early); !other.empty() {
			left = append(left, other)
			r = r.whereOrdered(early, late)
		}
	})
	return newCell(r, start, &record, func(at sim.Micros) moment { return momentOf(at, point) }), left
}

// pointIn returns a point of the region, near its middle, in finer steps. Lines
// of whole µs divide the plane into triangles, one above and one below the
// diagonal of each square: (¼, ½) lies in one, (¾, ½) in the other.
func (u *unknowns) pointIn(r region) sim.Window {
	w := finerWindow(u.spec, r.min.Middle(), r.long.Middle())
	if u.spec.MinPress.Exact() || u.spec.LongPress.Exact() {
		return w
	}
	for _, half := range []sim.Micros{0, finer / 2} {
		at := w.MinPress + half
		low := max(r.long.Low*finer, at+r.diff.Low*finer)
		high := min(r.long.High*finer, at+r.diff.High*finer)
		if long := (low+high)/2/finer*finer + finer/2; low < long && long < high {
			return sim.Window{MinPress: at, LongPress: long}
		}
	}
	panic(fmt.Sprintf("internal error: no point in the zone %v", r))
}

// finerWindow returns thresholds in finer steps. A threshold that is a range lies
// off whole µs, so that a moment shows which threshold it moves with; see the
// package comment.
func finerWindow(c sim.CameraSpec, minPress, longPress sim.Micros) sim.Window {
	w := sim.Window{MinPress: minPress * finer, LongPress: longPress * finer}
	if !c.MinPress.Exact() {
		w.MinPress++
	}
	if !c.LongPress.Exact() {
		w.LongPress += finer / 2
	}
	return w
}

// fineSpec returns the camera in finer steps.
func (u *unknowns) fineSpec(start sim.StartState) sim.CameraSpec {
	s := u.spec
	s.Start = start
	s.MinGap *= finer
	s.StartDelay *= finer
	s.StopDelay *= finer
	s.Boot *= finer
	s.DoubleWithin *= finer
	for _, optional := range []*sim.Micros{&s.WakePress, &s.AutoOff} {
		if *optional != sim.Never {
			*optional *= finer
		}
	}
	return s
}

// momentOf returns the moment for a time in finer steps, with the threshold it
// moves with.
func momentOf(at sim.Micros, point sim.Window) moment {
	switch at % finer {
	case 0:
		return moment{at / finer, fixed}
	case finer / 2:
		return moment{(at - point.LongPress) / finer, alongLong}
	default:
		return moment{(at - point.MinPress) / finer, alongMin}
	}
}
