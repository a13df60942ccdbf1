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

// A record is live input written so that it replays to the same result with the
// same rig. It is a channel log after a line that says where it was recorded
// and what the armed column means, so that nothing else needs to be given. Its
// values are µs whatever scale the live source had, and its armed column is 1
// or 0 whatever range applied. If the signal counts as lost later than the rig
// says, since telemetry is slow (M2), the line says so: ", lost after 1.2s".
//
//	# flicktally record: channel and armed
//	time_us,channel,armed
//	0,1000,0
//	# 1 row left out: "0,1x00,0"
//	20000,1000,0
//
// Between its rows a record has comments: lines that begin with a number sign.
// "# another flight" precedes the first row of every segment but the first, "#
// the camera records" that of a segment in which a take runs from the start.

const (
	recordMark     = "# flicktally record: "
	recordArmed    = " and armed"
	recordFailsafe = " and failsafe"
	recordLost     = ", lost after "
)

// segmentStep is how far time steps back with a segment: more than a late row.
const segmentStep = 2 * sim.Second

// recordTaps name the places where a record can come from.
var recordTaps = map[sim.Tap]string{sim.TapChannel: "channel", sim.TapOutput: "output", sim.TapWire: "wire"}

// origin is what a record says about itself.
type origin struct {
	tap   sim.Tap
	extra chanlog.Extra
	lost  sim.Micros // the signal counts as lost after this long; 0 = as the rig says
}

// line is the first line of the record, without its end.
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

// spec says where the record has its numbers.
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

// recogniseRecord reads the first line of a record; nil if it is not one. sure
// is false if more bytes could change the answer.
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

// readLost reads the end of the line, and reports whether it is one.
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
	w      io.Writer
	rows   bytes.Buffer // of the current block
	log    *chanlog.Writer
	ranges []sim.PulseRange
	// segment is that of the latest row; 0 before the first.
	segment int
}

// NewRecorder returns a recorder of the samples of a source: tap is that of the
// source, rig the one for its replay ([Source.Rig]). lost is after how long the
// signal counts as lost, 0 if as the rig says ([Source.LostAfter]).
func NewRecorder(w io.Writer, tap sim.Tap, rig sim.Rig, lost sim.Micros) *Recorder {
	o := origin{tap, chanlog.Extra{Armed: rig.Log.Armed != "", Failsafe: rig.Log.Failsafe != ""}, lost}
	r := &Recorder{w: w, ranges: rig.Log.ArmedRange}
	r.rows.WriteString(o.line() + "\n")
	r.log = chanlog.NewWriter(&r.rows, o.extra)
	return r
}

// Write writes the samples of a block in one piece, so that the output is a
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
		// A segment begins well before every moment of the previous one, so
		// that it is not taken for a late row or a wrapped counter.
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

// armedFlag turns an armed value into 1 or 0; absent if it has no meaning.
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
