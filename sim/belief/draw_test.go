package belief

import (
	"pgregory.net/rapid"

	"flicktally/sim"
)

// sure is the default rig, taken at its word.
func sure() sim.Rig {
	rig := sim.DefaultRig()
	rig.Doubt = sim.DoubtSpec{}
	return rig
}

// drawReplay makes a camera with ranges and a level for it to read, with times
// so short that moments meet often.
func drawReplay(t *rapid.T) *sim.Replay {
	rig := sure()
	drawCamera(t, &rig.Camera)
	wire := drawWire(t)
	end := sim.Micros(rapid.IntRange(0, 20).Draw(t, "rest"))
	if n := len(wire.Edges); n > 0 {
		end += wire.Edges[n-1].At
	}
	r := &sim.Replay{Rig: rig, Window: rig.Camera.Window(), End: end}
	r.Lanes.Wire = wire
	r.Record = sim.RunCamera(rig.Camera, r.Window, wire, end, nil)
	return r
}

func drawCamera(t *rapid.T, c *sim.CameraSpec) {
	upTo := func(name string, high int) sim.Micros {
		return sim.Micros(rapid.OneOf(rapid.Just(0), rapid.IntRange(0, high)).Draw(t, name))
	}
	c.MinPress.Low = upTo("min_press low", 6)
	c.MinPress.High = c.MinPress.Low + upTo("min_press range", 6)
	c.LongPress.Low = c.MinPress.High + 1 + upTo("window", 6)
	c.LongPress.High = c.LongPress.Low + upTo("long_press range", 8)
	c.MinGap = upTo("min_gap", 4)
	c.ToggleOn = rapid.SampledFrom(sim.ToggleEdges).Draw(t, "toggle_on")
	c.LongAction = rapid.SampledFrom(sim.Actions).Draw(t, "long_action")
	c.LongFires = rapid.SampledFrom(sim.LongMoments).Draw(t, "long_fires")
	c.StartDelay = upTo("start_delay", 10)
	c.StopDelay = upTo("stop_delay", 10)
	c.Boot = upTo("boot", 10)
	c.WakePress = rapid.SampledFrom([]sim.Micros{sim.Never, 0, 3, 8}).Draw(t, "wake_press")
	c.WakeInto = rapid.SampledFrom(sim.WakeStates).Draw(t, "wake_into")
	c.Start = rapid.SampledFrom(sim.StartStates).Draw(t, "start")
}

func drawWire(t *rapid.T) sim.Lane {
	lane := sim.Lane{Initial: rapid.Bool().Draw(t, "pressed at 0")}
	level, at := lane.Initial, sim.Micros(0)
	for range rapid.IntRange(0, 14).Draw(t, "edges") {
		at += sim.Micros(rapid.IntRange(1, 16).Draw(t, "step"))
		level = !level
		lane.Edges = append(lane.Edges, sim.Edge{At: at, Pressed: level})
	}
	return lane
}

// scaled returns a lane and a camera in steps n times as fine.
func scaled(lane sim.Lane, spec sim.CameraSpec, n sim.Micros) (sim.Lane, sim.CameraSpec) {
	fine := sim.Lane{Initial: lane.Initial}
	for _, e := range lane.Edges {
		fine.Edges = append(fine.Edges, sim.Edge{At: e.At * n, Pressed: e.Pressed})
	}
	for _, d := range []*sim.Micros{&spec.MinGap, &spec.StartDelay, &spec.StopDelay, &spec.Boot} {
		*d *= n
	}
	if spec.WakePress != sim.Never {
		spec.WakePress *= n
	}
	return fine, spec
}

// gridSteps is how many steps of the grid make a µs.
const gridSteps = 8

// gridPoints is a point of the unit square, in steps, that stands for a part of
// its area, in eighths. The points share out, by area, each half and quarter of
// the square and both triangles beside its diagonal: so a count of points is
// exact for every set that is bounded by lines min = c, long = c and
// long − min = c with whole c, and by the first two with half c.
var gridPoints = []struct {
	least, long sim.Micros
	weight      float64
}{{2, 6, 2}, {6, 2, 2}, {1, 3, 1}, {3, 1, 1}, {5, 7, 1}, {7, 5, 1}}

// unitsOf returns the whole µs at which the unit lengths of an interval begin;
// an exact threshold has one, without a length.
func unitsOf(i sim.Interval) []sim.Micros {
	units := []sim.Micros{i.Low}
	for at := i.Low + 1; at < i.High; at++ {
		units = append(units, at)
	}
	return units
}

// place returns where a point of the grid lies on a threshold.
func place(i sim.Interval, unit, offset sim.Micros) sim.Micros {
	if i.Exact() {
		return i.Low * gridSteps
	}
	return unit*gridSteps + offset
}

func startsOf(spec sim.CameraSpec) []sim.StartState {
	if spec.Start == sim.StartUnknown {
		return []sim.StartState{sim.StartStandby, sim.StartRecording}
	}
	return []sim.StartState{spec.Start}
}

// eachOnGrid runs the camera at every point of the grid over what is not known,
// and hands on what it did, in the finer steps.
func eachOnGrid(r *sim.Replay, yield func(sim.StartState, sim.Window, *sim.Record, float64)) {
	least, long := r.Rig.Camera.MinPress, r.Rig.Camera.LongPress
	lane, spec := scaled(r.Lanes.Wire, r.Rig.Camera, gridSteps)
	for _, start := range startsOf(spec) {
		spec.Start = start
		for _, unit := range unitsOf(least) {
			for _, longUnit := range unitsOf(long) {
				for _, p := range gridPoints {
					w := sim.Window{MinPress: place(least, unit, p.least), LongPress: place(long, longUnit, p.long)}
					record := sim.RunCamera(spec, w, lane, r.End*gridSteps, nil)
					yield(start, w, &record, p.weight)
				}
			}
		}
	}
}

// chanceAt reads the chance of recording from a belief, at a time in half µs.
func chanceAt(belief []sim.BeliefStretch, halves int) float64 {
	chance := 0.0
	for _, b := range belief {
		past := float64(halves)/2 - float64(b.From)
		if past < 0 {
			break
		}
		if chance = b.Recording; b.To > b.From {
			chance += (b.RecordingTo - b.Recording) * past / float64(b.To-b.From)
		}
	}
	return chance
}
