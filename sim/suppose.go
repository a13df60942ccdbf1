package sim

import "slices"

// This file lets a caller suppose a verdict on a press, whatever its edges say
// (M11): the hold is uncertain by the sample step, and a camera may ignore a
// press. The moments of the press stay those of its edges.

// Suppose sets the verdict on the next press: short, toggle, long or ignored if
// the camera accepts it, wake or off if the camera is off. With any other value
// the press is judged by its edges. A long action, or a toggle on the press,
// that would come after the release acts at the release.
func (c *Camera) Suppose(v Verdict) { c.supposed = v }

// mayGet reports whether the press going down may get one of the verdicts.
func (c *Camera) mayGet(verdicts ...Verdict) bool {
	return !c.state.supposes(c.supposed) || slices.Contains(verdicts, c.supposed)
}

// supposes reports whether the verdict may be supposed for a press that goes
// down in this state.
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

// judge returns the verdict on an accepted press, as supposed or by its hold.
func (c *Camera) judge(hold Micros) Verdict {
	if c.press.StateAt.supposes(c.supposed) {
		return c.supposed
	}
	return c.window.judge(hold)
}

// ignores reports whether an edge belongs to a press that the camera is
// supposed to ignore.
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

// Snapshot returns what decides how the camera goes on, apart from its spec and
// thresholds. Cameras with equal snapshots, resumed with the same spec and
// thresholds, behave the same.
func (c *Camera) Snapshot() Camera {
	snapshot := *c
	snapshot.record, snapshot.watching, snapshot.takeStart, snapshot.window = nil, nil, 0, Window{}
	snapshot.spec = CameraSpec{}
	if !c.down {
		snapshot.press, snapshot.supposed = Press{}, ""
		snapshot.toggled, snapshot.fired, snapshot.woke, snapshot.doubled = false, false, false, false
		snapshot.upUnseen = 0
	}
	if c.nextAt == Never {
		snapshot.next = ""
	}
	// The idle time starts at the later of the two moments; nothing else about
	// them matters, and only in standby.
	snapshot.standbySince, snapshot.releasedSince = 0, 0
	switch {
	case c.releasedSince == Never:
		snapshot.releasedSince = Never
	case c.spec.AutoOff != Never && c.state == StateStandby:
		snapshot.standbySince = max(c.standbySince, c.releasedSince)
		snapshot.releasedSince = snapshot.standbySince
	}
	snapshot.waiting.n = 0
	return snapshot
}

// Resume returns a camera that goes on from a [Camera.Snapshot] with the given
// spec and thresholds and writes what happens to record. A running take gets
// the start 0.
func (c *Camera) Resume(spec CameraSpec, window Window, record *Record) Camera {
	resumed := *c
	resumed.spec, resumed.window, resumed.record = spec, window, record
	return resumed
}

// Overruled reports whether evidence gave a press another verdict than its edges
// (M11).
func (w Window) Overruled(p Press) bool { return !p.Open() && w.HoldAs(p) != p.Hold() }

// HoldAs returns the hold of a press that is over or, if evidence overruled its
// edges, the nearest hold with its verdict.
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
