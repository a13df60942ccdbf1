package sim

import "slices"

// Watch has the camera tell both sides of every comparison of moments, or of
// lengths of time, on which its thresholds may have a say: whoever knows how
// the sides move with the thresholds knows how far these may move until
// something happens in another order (M9). A side may be [Never]. Call it
// before the first step.
func (c *Camera) Watch(compared func(a, b Micros)) { c.watching = &watching{compared} }

// watching is behind a pointer so that cameras can be compared.
type watching struct{ compared func(a, b Micros) }

// tellPending compares a moment at which something happens with the moments at
// which the camera will act by itself. Thresholds do not act during a break.
func (c *Camera) tellPending(at Micros) {
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

// tellMoments compares two moments.
func (c *Camera) tellMoments(a, b Micros) {
	if c.watching != nil {
		c.watching.compared(a, b)
	}
}

// tellHold compares the hold of an accepted press with the thresholds.
func (c *Camera) tellHold(hold Micros) {
	if c.watching != nil && c.press.StateAt.Accepts() {
		c.watching.compared(hold, c.window.MinPress)
		c.watching.compared(hold, c.window.LongPress)
	}
}

// RunCamera runs the camera alone over what it reads, from t = 0 to end, both
// included; no edge may be later. compared may be nil; see [Camera.Watch].
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

// WithRecord returns the replay as if the camera, with the given thresholds,
// had done what the record says.
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
