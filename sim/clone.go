package sim

import "slices"

// Clone returns an independent copy of the chain. Advance the copy to see what
// happens if no more samples come; the original still takes those that do.
func (c *Chain) Clone() *Chain {
	clone := *c
	clone.armed.spans = slices.Clone(c.armed.spans)
	clone.stepping.first = slices.Clone(c.stepping.first)
	clone.out = c.out.clone()
	if !c.begun {
		return &clone
	}
	settle, shot := *c.stages[0].(*settle), *c.stages[1].(*oneShot)
	line, wire := *c.stages[2].(*line), *c.stages[3].(*wire)
	wire.transit = slices.Clone(wire.transit)
	clone.stages = [4]stage{&settle, &shot, &line, &wire}
	clone.lanes = clone.out.Lanes.all()
	clone.camera.record = &clone.out.Record
	return &clone
}

// clone returns a replay that shares no memory that a chain changes.
func (r *Replay) clone() Replay {
	clone := *r
	clone.Lost = slices.Clone(r.Lost)
	clone.Flicks = slices.Clone(r.Flicks)
	clone.Presses = slices.Clone(r.Presses)
	clone.Toggles = slices.Clone(r.Toggles)
	clone.States = slices.Clone(r.States)
	clone.Takes = slices.Clone(r.Takes)
	for _, lane := range clone.Lanes.all() {
		lane.Edges = slices.Clone(lane.Edges)
	}
	return clone
}

// all returns the lanes in the order of the signal.
func (l *Lanes) all() [5]*Lane {
	return [5]*Lane{&l.Position, &l.Settled, &l.Pulse, &l.Line, &l.Wire}
}
