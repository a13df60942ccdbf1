package sim

import "slices"

// Watch calls compared with both sides of every comparison of times whose
// result may depend on a threshold. A caller that knows how the sides move with
// the thresholds then knows how far these may move before something happens in
// another order (M9). A side may be [Never]. Call Watch before the first step.
func (c *Camera) Watch(compared func(a, b Micros)) { c.watching = &watching{compared} }

// watching is behind a pointer so that cameras stay comparable.
type watching struct{ compared func(a, b Micros) }

// comparePending reports the comparisons of a moment with the moments at which
// the camera will act by itself. Thresholds do not act during a break.
func (c *Camera) comparePending(at Micros) {
	if c.watching == nil {
		return
	}
	compared := c.watching.compared
	compared(at, c.nextAt)
	compared(at, c.gapDue())
	compared(at, c.idleDue())
	compared(at, c.waitingDue())
	if c.upAt == Never {
		compared(at, c.toggleAt)
		compared(at, c.longAt)
	}
}

// compareMoments reports the comparison of two moments.
func (c *Camera) compareMoments(a, b Micros) {
	if c.watching != nil {
		c.watching.compared(a, b)
	}
}

// compareHold reports the comparisons of an accepted press with the thresholds.
func (c *Camera) compareHold(hold Micros) {
	if c.watching != nil && c.press.StateAt.Accepts() {
		c.watching.compared(hold, c.window.MinPress)
		c.watching.compared(hold, c.window.LongPress)
	}
}

// RunCamera runs the camera alone over the level it reads, from t = 0 to end,
// both included. No edge may be later. compared may be nil; see [Camera.Watch].
func RunCamera(spec CameraSpec, window Window, wire Lane, end Micros, compared func(a, b Micros)) Record {
	var record Record
	camera := NewCamera(spec, window, wire.Initial, &record)
	if compared != nil {
		camera.Watch(compared)
	}
	expireBefore := func(moment, edge Micros) {
		for due := camera.Deadline(); due < moment; due = camera.Deadline() {
			if compared != nil {
				compared(due, edge)
			}
			camera.Expire(due)
		}
	}
	for _, e := range wire.Edges {
		expireBefore(e.At, e.At)
		camera.Step(e)
	}
	expireBefore(end+1, end)
	camera.Finish(end)
	return record
}

// WithRecord returns the replay with another camera record, made with the given
// thresholds.
func (r *Replay) WithRecord(window Window, record Record) *Replay {
	with := *r
	with.Window, with.Record = window, record
	with.Flicks = slices.Clone(r.Flicks)
	with.judgeFlicks()
	if r.Armed != nil {
		with.Armed = newArmedTime(r.Armed.Windows, record.Takes)
	}
	return &with
}
