package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// Ending is a possible state of the camera at the log's end.
type Ending struct {
	State  sim.State
	Chance float64 // 0 to 1
	// AcceptsFrom is the time from which it accepts the next press; [sim.Never]
	// if it needs another press first.
	AcceptsFrom sim.Micros
}

// acceptsFrom returns the time, not before now, from which a camera accepts a
// press. The camera's times are in the given number of steps per µs.
func acceptsFrom(camera sim.Camera, spec sim.CameraSpec, now, steps sim.Micros) sim.Micros {
	var record sim.Record
	c := camera.Resume(spec, sim.Window{MinPress: sim.Never, LongPress: sim.Never}, &record)
	at := sim.Micros(0)
	for !c.State().Accepts() {
		if at = c.BusyUntil(); at == sim.Never {
			return sim.Never
		}
		c.RunUntil(nil, at)
	}
	return max(now, (at+steps-1)/steps)
}

// addEnding adds the state of a camera at a log's end, with its chance, to a list.
func addEnding(all []Ending, camera sim.Camera, spec sim.CameraSpec, chance float64, end, steps sim.Micros) []Ending {
	e := Ending{State: camera.State(), AcceptsFrom: acceptsFrom(camera, spec, end, steps)}
	for i := range all {
		if all[i].State == e.State && all[i].AcceptsFrom == e.AcceptsFrom {
			all[i].Chance += chance
			return all
		}
	}
	e.Chance = chance
	return append(all, e)
}

// inOrder sorts endings, the likeliest first.
func inOrder(all []Ending) []Ending {
	slices.SortFunc(all, func(a, b Ending) int {
		return cmp.Or(cmp.Compare(b.Chance, a.Chance), cmp.Compare(a.AcceptsFrom, b.AcceptsFrom), cmp.Compare(a.State, b.State))
	})
	return all
}

// Endings returns the possible states of the camera at the log's end, likeliest
// first.
func (r *Result) Endings() []Ending {
	if r.ends == nil {
		r.ends = endingsOfCells(r.Replay, r.cells)
	}
	return r.ends
}

// InHand returns the chance, 0 to 1, that the camera accepted the press that is
// down at the log's end; there must be one.
func (r *Result) InHand() float64 {
	if r.cells == nil {
		return r.inHand
	}
	spec := r.Replay.Rig.Camera
	spec.Start = r.cells[0].start
	likeliest := sim.RunCamera(spec, r.cells[0].window, r.Replay.Lanes.Wire, r.Replay.End, nil)
	if likeliest.Presses[len(likeliest.Presses)-1].StateAt.Accepts() {
		return 1
	}
	return 0
}

// SafeFrom returns the time from which the next press is accepted with a chance
// of at least 95 %; [sim.Never] if there is none.
func (r *Result) SafeFrom() sim.Micros {
	byTime := slices.Clone(r.Endings())
	slices.SortFunc(byTime, func(a, b Ending) int { return cmp.Compare(a.AcceptsFrom, b.AcceptsFrom) })
	chance := 0.0
	for _, e := range byTime {
		if chance += e.Chance; chance >= certainFrom {
			return e.AcceptsFrom
		}
	}
	return sim.Never
}

// EndState returns the state that has a chance of at least 95 % at the log's end;
// unknown if none has.
func (r *Result) EndState() sim.State {
	chances := map[sim.State]float64{}
	for _, e := range r.Endings() {
		if chances[e.State] += e.Chance; chances[e.State] >= certainFrom {
			return e.State
		}
	}
	return sim.StateUnknown
}

// endingsOfCells runs the camera through the likeliest cells.
func endingsOfCells(replay *sim.Replay, cells []possibleCell) []Ending {
	const most = 200 // more would make no difference to a pilot
	cells = cells[:min(len(cells), most)]
	total := 0.0
	for _, c := range cells {
		total += c.share
	}
	var all []Ending
	for _, cell := range cells {
		spec := replay.Rig.Camera
		spec.Start = cell.start
		var record sim.Record
		camera := sim.NewCamera(spec, cell.window, replay.Lanes.Wire.Initial, &record)
		camera.RunUntil(replay.Lanes.Wire.Edges, replay.End)
		all = addEnding(all, camera, spec, cell.share/total, replay.End, 1)
	}
	return inOrder(all)
}

// round removes rounding errors from a chance.
func round(chance float64) float64 {
	const grains = 1e10
	return min(1, max(0, math.Round(chance*grains)/grains))
}
