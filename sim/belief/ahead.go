package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// What a live tally asks about the future: the possible states of the camera at
// the log's end, and what a press would find.

// Ending is a state in which the camera may be at the log's end.
type Ending struct {
	State  sim.State
	Chance float64 // 0 to 1
	// AcceptsFrom is when it accepts the next press, if no other press comes;
	// [sim.Never] if it does not by itself.
	AcceptsFrom sim.Micros
}

// acceptsFrom returns when a camera will accept a press, seen from a moment.
// Its times are in steps of a µs or finer.
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

// addEnding adds the state of a camera at a log's end to a list.
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

// inOrder puts the likeliest ending first.
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
		r.ends = endingsOfCells(r.Replay, r.Cells)
	}
	return r.ends
}

// InHand returns the chance that the camera accepted the press that is down at
// the log's end; there must be one.
func (r *Result) InHand() float64 {
	if r.Cells == nil {
		return r.inHand
	}
	spec := r.Replay.Rig.Camera
	spec.Start = r.Cells[0].Start
	likeliest := sim.RunCamera(spec, r.Cells[0].Window(), r.Replay.Lanes.Wire, r.Replay.End, nil)
	if likeliest.Presses[len(likeliest.Presses)-1].StateAt.Accepts() {
		return 1
	}
	return 0
}

// SafeFrom returns the time from which the next press will be accepted with a
// chance of 95 %; [sim.Never] if it will not be by itself.
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

// EndState returns the state at the log's end with a chance of at least 95 %;
// unknown if there is none.
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
func endingsOfCells(replay *sim.Replay, cells []Cell) []Ending {
	const most = 200 // more make no difference that a pilot could use
	cells = cells[:min(len(cells), most)]
	total := 0.0
	for _, c := range cells {
		total += c.Chance
	}
	var all []Ending
	for _, cell := range cells {
		spec := replay.Rig.Camera
		spec.Start = cell.Start
		var record sim.Record
		camera := sim.NewCamera(spec, cell.Window(), replay.Lanes.Wire.Initial, &record)
		camera.RunUntil(replay.Lanes.Wire.Edges, replay.End)
		all = addEnding(all, camera, spec, cell.Chance/total, replay.End, 1)
	}
	return inOrder(all)
}

func round(chance float64) float64 {
	const grains = 1e10
	return min(1, max(0, math.Round(chance*grains)/grains))
}
