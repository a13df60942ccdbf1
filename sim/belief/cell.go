package belief

import "flicktally/sim"

// cell is a start and a region of thresholds for which all events happen in the
// same order.
type cell struct {
	region   region
	start    sim.StartState
	states   []change
	takes    []take
	verdicts []sim.Verdict // of each press
}

type change struct {
	at    moment
	state sim.State
}

// take is a take of a cell. If it was already running at t = 0, or had not ended
// when the log did, its clip may be longer.
type take struct {
	start, end           moment
	openStart, openEnded bool
}

// newCell returns a cell, from the camera's record at one of its points; moving
// returns how a time of the record depends on the thresholds.
func newCell(r region, start sim.StartState, record *sim.Record, moving func(sim.Micros) moment) *cell {
	c := &cell{region: r, start: start}
	for _, s := range record.States {
		c.states = append(c.states, change{moving(s.At), s.State})
	}
	for _, t := range record.Takes {
		c.takes = append(c.takes, take{
			start: moving(t.Start), end: moving(t.End),
			openStart: t.Start == 0 && record.States[0].State == sim.StateRecording,
			openEnded: cutAtEnd(t),
		})
	}
	for _, p := range record.Presses {
		c.verdicts = append(c.verdicts, p.Verdict)
	}
	return c
}

// shownCell returns a replay as a cell whose moments are all fixed.
func shownCell(r *sim.Replay) *cell {
	point := sim.Interval{High: sim.Microsecond}
	return newCell(newRegion(point, point), r.Rig.Camera.Start, &r.Record, func(at sim.Micros) moment { return moment{base: at} })
}

// endsUnknown reports whether the camera's state at the end is unknown: it may
// have recorded more than the takes.
func (c *cell) endsUnknown() bool { return c.states[len(c.states)-1].state == sim.StateUnknown }
