package sim

// What may be supposed of a press, whatever its edges say (M11): its hold is as
// much in doubt as the samples are apart, and a camera may ignore a press. The
// moments of the press stay those of its edges.

// Suppose has the next press judged as short, toggle, long or ignored where the
// camera accepts it, as wake or off where the camera is off. Anything else has
// it judged by its edges. A long action, or a toggle on the press, that would
// come after the release acts at the release.
func (c *Camera) Suppose(v Verdict) { c.supposed = v }

// maySeem reports whether the press going down may be one of the verdicts.
func (c *Camera) maySeem(verdicts ...Verdict) bool {
	if !c.state.supposes(c.supposed) {
		return true
	}
	for _, v := range verdicts {
		if c.supposed == v {
			return true
		}
	}
	return false
}

// supposes reports whether a verdict is one that may be supposed of a press that
// goes down in the state.
func (s State) supposes(v Verdict) bool {
	switch v {
	case VerdictShort, VerdictToggle, VerdictLong, VerdictIgnored:
		return s.Accepts()
	case VerdictWake, VerdictOff:
		return s == StateOff
	default:
		return false
	}
}

// judge tells what an accepted press is, by its hold or by what is supposed.
func (c *Camera) judge(hold Micros) Verdict {
	if c.press.StateAt.supposes(c.supposed) {
		return c.supposed
	}
	return c.window.judge(hold)
}

// ignores reports whether an edge is one of a press that the camera is supposed
// to ignore.
func (c *Camera) ignores(e Edge) bool {
	accepted := c.press.StateAt.Accepts()
	if !c.down {
		accepted = e.Pressed && c.state.Accepts()
	}
	return accepted && c.supposed == VerdictIgnored
}

// wakes reports whether a press of a camera that is off wakes it.
func (c *Camera) wakes(hold Micros) bool {
	switch {
	case c.spec.WakePress == Never:
		return false
	case c.press.StateAt.supposes(c.supposed):
		return c.supposed == VerdictWake
	default:
		return hold >= c.spec.WakePress
	}
}

// Present returns the camera without its past, its spec and its thresholds:
// cameras whose presents are equal do the same from here on, whatever they are
// fed, as long as they are resumed alike.
func (c *Camera) Present() Camera {
	present := *c
	present.record, present.watching, present.takeStart, present.window = nil, nil, 0, Window{}
	present.spec = CameraSpec{}
	if !c.down {
		present.press, present.supposed = Press{}, ""
		present.toggled, present.fired, present.woke = false, false, false
		present.upUnseen = 0
	}
	if c.nextAt == Never {
		present.next = ""
	}
	// An idle time begins at the later of the two moments: of past ones, both matter
	// only while it runs.
	present.standbySince, present.releasedSince = 0, 0
	switch {
	case c.releasedSince == Never:
		present.releasedSince = Never
	case c.spec.AutoOff != Never && c.state == StateStandby:
		present.standbySince = max(c.standbySince, c.releasedSince)
		present.releasedSince = present.standbySince
	}
	present.waiting.n = 0
	if !c.down {
		present.doubled = false
	}
	return present
}

// Resume returns a camera that goes on from a [Camera.Present] with the given spec
// and thresholds, noting what happens in record. A take that runs began at 0.
func (c *Camera) Resume(spec CameraSpec, window Window, record *Record) Camera {
	resumed := *c
	resumed.spec, resumed.window, resumed.record = spec, window, record
	return resumed
}

// Bent reports whether the verdict on a press is not what its edges say: what was
// seen told otherwise (M11).
func (w Window) Bent(p Press) bool { return !p.Open() && w.HoldAs(p) != p.Hold() }

// HoldAs returns the hold of a press that is over; where its verdict is bent, the
// nearest hold that has this verdict.
func (w Window) HoldAs(p Press) Micros {
	switch hold := p.Hold(); p.Verdict {
	case VerdictShort:
		return min(hold, w.MinPress-1)
	case VerdictToggle:
		return max(w.MinPress, min(hold, w.LongPress-1))
	case VerdictLong:
		return max(hold, w.LongPress)
	default:
		return hold
	}
}

// RunSupposed is RunCamera with a supposition about each press in turn; see
// [Camera.Suppose].
func RunSupposed(spec CameraSpec, window Window, wire Lane, end Micros, supposed []Verdict) Record {
	var record Record
	camera := NewCamera(spec, window, false, &record)
	step := func(e Edge) {
		if e.Pressed {
			camera.RunUntil(nil, e.At) // a release that is due now is none of the next press
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

// RunUntil lets a camera go on over edges of what it reads, and then up to a
// moment, doing what is due by then; no edge may be after it.
func (c *Camera) RunUntil(edges []Edge, to Micros) {
	for _, e := range edges {
		c.expireBefore(e.At)
		c.Step(e)
	}
	c.expireBefore(to + 1)
}

func (c *Camera) expireBefore(moment Micros) {
	for due := c.Deadline(); due < moment; due = c.Deadline() {
		c.Expire(due)
	}
}
