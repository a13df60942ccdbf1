package sim

// RunCamera runs the camera alone over the level it reads, from t = 0 to end,
// both included. No edge may be later.
//
// compared, if not nil, gets both sides of every comparison of times whose
// result may depend on a threshold. A caller that knows how the sides move with
// the thresholds then knows how far these may move before something happens in
// another order (M9). A side may be [Never].
func RunCamera(spec CameraSpec, window Window, wire Lane, end Micros, compared func(a, b Micros)) Record {
	var record Record
	camera := NewCamera(spec, window, wire.Initial, &record)
	if compared != nil {
		camera.watching = &watching{compared}
	}
	camera.RunUntil(wire.Edges, end)
	camera.Finish(end)
	return record
}

// RunSupposed is [RunCamera] with a supposition about each press in turn; see
// [Camera.Suppose].
func RunSupposed(spec CameraSpec, window Window, wire Lane, end Micros, supposed []Verdict) Record {
	var record Record
	camera := NewCamera(spec, window, false, &record)
	step := func(e Edge) {
		if e.Pressed {
			camera.RunUntil(nil, e.At) // a release due now belongs to the press before
			if n := len(record.Presses); !camera.down && n < len(supposed) {
				camera.Suppose(supposed[n])
			}
		}
		camera.RunUntil([]Edge{e}, e.At-1)
	}
	if wire.Initial {
		step(Edge{Pressed: true})
	}
	for _, e := range wire.Edges {
		step(e)
	}
	camera.RunUntil(nil, end)
	camera.Finish(end)
	return record
}

// RunUntil feeds the camera edges and then advances it to a moment, including
// what is due at it. No edge may be later.
func (c *Camera) RunUntil(edges []Edge, to Micros) {
	for _, e := range edges {
		c.expireBefore(e.At, e.At)
		c.Step(e)
	}
	c.expireBefore(to+1, to)
}

// expireBefore lets the camera act on what is due before a moment. now is the
// time of the input that comes next.
func (c *Camera) expireBefore(moment, now Micros) {
	for due := c.Deadline(); due < moment; due = c.Deadline() {
		c.compareMoments(due, now)
		c.Expire(due)
	}
}

// watching gets the comparisons; see [RunCamera]. It is behind a pointer so that
// cameras stay comparable.
type watching struct{ compared func(a, b Micros) }

// comparePending reports the comparisons of a moment with the moments at which
// the camera will act without input. Thresholds do not act during a break.
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
	if c.press.StateAt.Accepts() {
		c.compareMoments(hold, c.window.MinPress)
		c.compareMoments(hold, c.window.LongPress)
	}
}
