package source

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
)

// A record is a log of live input that replays to the same result with the same
// rig. Its first line says where the input was recorded and which columns follow, so
// that no options are needed to read it. Its values are µs and its armed column is 1
// or 0, whatever scale and range the input had. If the signal counts as lost later
// than the rig says, as telemetry is slow (M2), the line says so: ", lost after
// 1.2s".
//
//	# flicktally record: channel and armed
//	time_us,channel,armed
//	0,1000,0
//	# 1 row left out: "0,1x00,0"
//	20000,1000,0
//
// Lines that begin with a number sign are comments. "# another flight" precedes the
// first row of every segment but the first, "# the camera records" the first row of a
// segment in which a take runs from the start.

const (
	recordMark     = "# flicktally record: "
	recordArmed    = " and armed"
	recordFailsafe = " and failsafe"
	recordLost     = ", lost after "
)

// segmentStep is how far the time goes back with each segment: more than for a late
// row.
const segmentStep = 2 * sim.Second

// recordTaps names where the input of a record was recorded.
var recordTaps = map[sim.Tap]string{sim.TapChannel: "channel", sim.TapOutput: "output", sim.TapWire: "wire"}

// origin is the contents of the first line of a record.
type origin struct {
	tap   sim.Tap
	extra chanlog.Extra
	lost  sim.Micros // after how long the signal counts as lost; 0 = as the rig says
}

// line returns the first line of the record, without its end.
func (o origin) line() string {
	line := recordMark + recordTaps[o.tap]
	if o.extra.Armed {
		line += recordArmed
	}
	if o.extra.Failsafe {
		line += recordFailsafe
	}
	if o.lost > 0 {
		line += recordLost + o.lost.String()
	}
	return line
}

// spec returns the columns of the record.
func (o origin) spec() sim.LogSpec {
	spec := sim.LogSpec{Time: "time_us", Unit: sim.UnitMicros, Channel: "channel", Scale: 1}
	if o.extra.Failsafe {
		spec.Failsafe = "failsafe"
	}
	if o.extra.Armed {
		spec.Armed, spec.ArmedRange = "armed", []sim.PulseRange{{Low: 0.5, High: 1.5}}
	}
	return spec
}

// recogniseRecord reads the first line of a record; o is nil if it is not one. sure
// is false if more bytes could change the result.
func recogniseRecord(head []byte) (o *origin, sure bool) {
	first, _, whole := strings.Cut(string(head[:min(len(head), 96)]), "\n")
	first = strings.TrimSuffix(first, "\r")
	sure = true
	for tap := range recordTaps {
		for _, extra := range []chanlog.Extra{{}, {Armed: true}, {Failsafe: true}, {Armed: true, Failsafe: true}} {
			o := origin{tap: tap, extra: extra}
			rest, is := strings.CutPrefix(first, o.line())
			if whole && is && o.readLost(rest) {
				return &o, true
			}
			sure = sure && (whole || !is && !strings.HasPrefix(o.line(), first))
		}
	}
	return nil, sure
}

// readLost reads the rest of the line, and reports whether it is valid.
func (o *origin) readLost(rest string) bool {
	if rest == "" {
		return true
	}
	text, is := strings.CutPrefix(rest, recordLost)
	lost, err := sim.ParseDuration(text)
	o.lost = lost
	return is && err == nil && lost > 0 && o.tap == sim.TapChannel
}

// Recorder writes samples as a record.
type Recorder struct {
	w       io.Writer
	rows    bytes.Buffer // of the current block
	log     *chanlog.Writer
	ranges  []sim.PulseRange
	segment int // of the latest row; 0 before the first
}

// NewRecorder returns a recorder for the samples of a source, given the tap of the
// source, the rig of its replay ([Source.Rig]), and after how long the signal counts
// as lost, 0 if as the rig says ([Source.LostAfter]).
func NewRecorder(w io.Writer, tap sim.Tap, rig sim.Rig, lost sim.Micros) *Recorder {
	o := origin{tap, chanlog.Extra{Armed: rig.Log.Armed != "", Failsafe: rig.Log.Failsafe != ""}, lost}
	r := &Recorder{w: w, ranges: rig.Log.ArmedRange}
	r.rows.WriteString(o.line() + "\n")
	r.log = chanlog.NewWriter(&r.rows, o.extra)
	return r
}

// Write writes the samples of a block in one piece, so that the output is a whole
// record at any moment. The error is that of the stream.
func (r *Recorder) Write(b sim.Block) error {
	if r.segment > 0 && b.Segment > r.segment {
		r.rows.WriteString(chanlog.SegmentMark + "\n")
	}
	if b.Segment > r.segment && b.Start == sim.StartRecording {
		if err := r.log.Begin(); err != nil {
			return err
		}
		r.rows.WriteString(chanlog.StartMark + "\n")
	}
	r.segment = b.Segment
	for _, s := range b.Samples {
		// Each segment is shifted to before the previous one, so that it does not
		// read as a late row or a wrapped counter.
		s.At -= segmentStep * sim.Micros(b.Segment-1)
		s.Armed = r.armedFlag(s.Armed)
		if err := r.log.Write(s); err != nil {
			return err
		}
	}
	_, err := r.rows.WriteTo(r.w)
	return err
}

// Comment writes a comment line. The error is that of the stream.
func (r *Recorder) Comment(text string) error {
	fmt.Fprintf(&r.rows, "# %s\n", excerpt.Printable(text))
	_, err := r.rows.WriteTo(r.w)
	return err
}

// armedFlag returns 1 or 0 for an armed value; absent if it is not a number.
func (r *Recorder) armedFlag(v sim.PulseWidth) sim.PulseWidth {
	if math.IsNaN(float64(v)) || math.IsInf(float64(v), 0) {
		return sim.Absent
	}
	for _, in := range r.ranges {
		if in.Contains(v) {
			return 1
		}
	}
	return 0
}
