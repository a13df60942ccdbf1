package mavlink

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/tell"
)

// groundSystem is the usual number of a ground station (common practice). A
// ground station that sends a channel without a value is not taken for the
// flight controller.
const groundSystem = 255

// take reads a frame with the right check sum. It returns false if its sample
// starts a segment and the block has samples; the frame must then be read again.
func (d *Reader) take(f frame) bool {
	if !f.understood {
		d.follow(f)
		d.summary.Unsupported++
		return true
	}
	p := fullPayload(f)
	v, carried := p.value(f.message, d.opts.Line)
	sends := carried && (v == v || f.system != groundSystem)
	if sends && d.system == 0 {
		d.system = f.system
	}
	at := p.clock(f.message)
	var s sim.Sample
	wanted := carried && f.system == d.system
	if wanted {
		s = sim.Sample{At: d.clock.time(at, f.stamp, f.message == msgServoOutputRaw), Channel: v, Armed: d.armed[f.system]}
		if len(d.block) > 0 && d.clock.startsSegment(s.At) {
			return false
		}
	}
	d.follow(f)
	d.summary.Frames++
	switch {
	case f.message == msgHeartbeat:
		d.heartbeat(f.system, p)
	case sends && v == v:
		d.sent[f.system]++
		if d.valued != nil {
			d.valued(f.system, cmp.Or(at, f.stamp))
		}
	case sends:
		d.empty[f.system]++
	}
	if wanted {
		d.emit(s)
	}
	return true
}

// heartbeat records whether a flight controller is armed.
func (d *Reader) heartbeat(system uint8, p payload) {
	armed, flies := p.heartbeat()
	switch {
	case !flies:
	case armed:
		d.armed[system] = armedValue
	default:
		d.armed[system] = disarmed
	}
}

// emit adds a sample as soon as its place in time is known.
func (d *Reader) emit(s sim.Sample) {
	if d.clock.waiting && s.At == d.waiting.At {
		d.waiting = s // another message repeats the value
		return
	}
	waited, this := d.clock.next(s.At)
	d.place(d.waiting, waited)
	d.place(s, this)
}

// place adds a sample that is in place, holds one that waits, and counts any
// other.
func (d *Reader) place(s sim.Sample, place sim.Decision) {
	switch place {
	case sim.NoStamp:
	case sim.Held:
		d.waiting = s
	case sim.DroppedLate:
		d.summary.Late++
	case sim.DroppedBroken:
		d.summary.Misplaced++
	default:
		s.At = d.clock.advance(s.At, place == sim.Restarted)
		d.add(s)
	}
}

// add adds a sample unless another message gave the same values for its
// instant.
func (d *Reader) add(s sim.Sample) {
	if d.summary.Samples > 0 && d.clock.repeats && sameValues(s, d.before) {
		d.summary.Repeated++
		return
	}
	d.before = s
	d.block = append(d.block, s)
	d.summary.Samples++
}

// sameValues compares two samples; two missing values are equal.
func sameValues(a, b sim.Sample) bool {
	same := func(v, w sim.PulseWidth) bool { return v == w || v != v && w != w }
	return same(a.Channel, b.Channel) && same(a.Armed, b.Armed)
}

// clock turns times of the stream into times of a segment.
type clock struct {
	started  bool
	recorded bool       // uses the times before the frames, not the sender's
	last     sim.Micros // latest time
	repeats  bool       // the time before it was the same
	origin   sim.Micros // of the segment
	segment  int        // from 1; 0 before the first
	wraps    sim.Micros // added to the sender's counter
	order    sim.Order
	waiting  bool // a sample is waiting for the next one
}

// A sender's counter has 32 bits. It has wrapped if it goes from within
// nearWrap of its end to within nearWrap of its start.
const nearWrap = sim.Minute

// time chooses the sender's time or the one before the frame, once for the
// whole stream, and unwraps the sender's.
func (c *clock) time(sent, recorded sim.Micros, inMicros bool) sim.Micros {
	if !c.started {
		c.started = true
		c.recorded = sent == 0 && recorded != 0
	}
	if c.recorded {
		return recorded
	}
	circle := sim.Micros(1) << 32
	if !inMicros {
		circle *= sim.Millisecond
	}
	switch last := c.last - c.wraps; {
	case c.segment > 0 && last > circle-nearWrap && sent < nearWrap:
		c.wraps += circle
	case c.wraps > 0 && last < nearWrap && sent > circle-nearWrap: // late
		return sent + c.wraps - circle
	}
	return sent + c.wraps
}

// startsSegment reports whether the next sample in place starts a segment, given
// the time of the next frame.
func (c *clock) startsSegment(at sim.Micros) bool {
	order := c.order
	waited, this := order.Next(at)
	return waited == sim.Restarted || this == sim.Restarted || this == sim.Accepted && at-c.origin > sim.MaxDuration
}

// next places the frame that waits and the next one, given the time of the next.
func (c *clock) next(at sim.Micros) (waited, this sim.Decision) {
	waited, this = c.order.Next(at)
	c.waiting = this == sim.Held
	return waited, this
}

// advance moves to a time and returns it as a time of the segment. A segment that
// is longer than any flight ends too.
func (c *clock) advance(at sim.Micros, restarted bool) sim.Micros {
	starts := restarted || at-c.origin > sim.MaxDuration
	if starts {
		c.segment++
		c.origin = at
	}
	c.repeats = at == c.last && !starts
	c.last = at
	return at - c.origin
}

// failure returns the error that ended reading.
func (d *Reader) failure() error {
	s := d.Summary()
	switch {
	case d.err != io.EOF:
		return fmt.Errorf("%s: after byte %d: %w", excerpt.Printable(d.name), s.Bytes, d.err)
	case s.Samples > 0:
		return io.EOF
	case s.Frames+s.Foreign == 0:
		return fmt.Errorf("%s: found no MAVLink frame in %d bytes, want a recording of version 1 or 2", excerpt.Printable(d.name), s.Bytes)
	default:
		return fmt.Errorf("%s: found no message with %s%s in %d frames, want %s",
			excerpt.Printable(d.name), d.opts.Line, d.asked(), s.Frames+s.Foreign, d.wanted(s.Systems))
	}
}

// asked names the requested system.
func (d *Reader) asked() string {
	if d.opts.System == 0 {
		return ""
	}
	return fmt.Sprintf(" from system %d", d.opts.System)
}

// wanted says what could have been read.
func (d *Reader) wanted(systems []SystemFrames) string {
	if len(systems) == 0 {
		return d.opts.Line.carriers()
	}
	var there []string
	for _, s := range systems {
		there = append(there, fmt.Sprintf("system %d (%s)", s.System, tell.Counted(s.Frames, "frame", "frames")))
	}
	return strings.Join(there, " or ")
}
