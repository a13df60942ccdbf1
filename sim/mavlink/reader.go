package mavlink

import (
	"bufio"
	"io"

	"flicktally/sim"
)

// armedValue is the armed value of samples while armed, disarmed that while not.
// ArmedRange separates them.
const (
	armedValue = sim.LevelHigh
	disarmed   = sim.LevelLow
)

// ArmedRange contains armedValue and not disarmed.
var ArmedRange = sim.PulseRange{Low: (disarmed + armedValue) / 2, High: armedValue + 1}

// Options says what to read.
type Options struct {
	Line   Line
	System uint8 // of the flight controller; 0 = the first that sends the line (see [NewSurvey])
}

// Reader yields the samples of one line.
type Reader struct {
	r     *bufio.Reader
	name  string
	opts  Options
	err   error // why reading ended
	block []sim.Sample

	lost    bool                // the previous byte belongs to no frame
	stamps  bool                // the latest frame was preceded by a time
	system  uint8               // listened to; 0 = not found yet
	armed   [256]sim.PulseWidth // of every system; NaN = unknown
	last    map[sender]byte     // sequence number of every sender's last frame
	sent    [256]int            // frames with a value of the line, of every system
	empty   [256]int            // frames with the line but no value, of every system
	before  sim.Sample          // the latest emitted
	waiting sim.Sample          // out of place in time; the next sample decides
	clock   clock
	summary Summary
	// valued is called with the sender and the time of each value; may be nil.
	valued func(system uint8, at sim.Micros)
}

type sender struct{ system, component byte }

// Summary counts what was read. Bytes = FrameBytes + Damaged at the end.
type Summary struct {
	Bytes, FrameBytes int64
	Damaged           int64 // bytes that belong to no frame
	Frames            int   // of the four messages
	Foreign           int   // of other messages
	Unsupported       int   // with an unknown flag; left out
	Missing           int   // according to the sequence numbers
	Late              int   // overtaken on their way; left out
	Misplaced         int   // with a time far from those before and after; left out
	Repeated          int   // repeat the value of another message at the same instant; left out
	Stamped           int   // preceded by a time
	RecordedTime      bool  // samples have the times before the frames
	System            uint8 // listened to; 0 = none found
	Systems           []SystemFrames
	Empty             bool // no system sent a value: Systems counts frames without one
	Segments          int
	Samples           int
}

// SystemFrames is the number of frames with a value of the wanted line that a
// system sent; see [Summary.Empty].
type SystemFrames struct {
	System uint8
	Frames int
}

const bufferSize = 64 << 10

// NewReader returns a reader of a recording or stream. name is for errors. The
// reader uses less than 8 MiB whatever its input: a buffer of 64 KiB, the samples
// in it, and a number for each of the 65 536 possible senders.
func NewReader(r io.Reader, name string, opts Options) *Reader {
	d := &Reader{r: bufio.NewReaderSize(r, bufferSize), name: name, opts: opts, system: opts.System, last: map[sender]byte{}}
	for i := range d.armed {
		d.armed[i] = sim.Absent
	}
	return d
}

// Summary returns the counts so far.
func (d *Reader) Summary() Summary {
	s := d.summary
	s.System, s.RecordedTime, s.Segments = d.system, d.clock.recorded, d.clock.segment
	if s.Systems = ranked(&d.sent); s.Systems == nil {
		s.Systems, s.Empty = ranked(&d.empty), true
	}
	return s
}

// Next returns the next samples as soon as there are some, so that it does not
// delay a live stream. At the end it returns io.EOF, or an error if the stream
// had no sample.
func (d *Reader) Next() (sim.Block, error) {
	d.block = d.block[:0]
	for {
		d.decode()
		if len(d.block) > 0 {
			return sim.Block{Segment: d.clock.segment, Samples: d.block}, nil
		}
		if d.err != nil && d.clock.waiting {
			d.clock.waiting = false
			d.place(d.waiting, d.clock.order.End())
			continue
		}
		if d.err != nil {
			return sim.Block{}, d.failure()
		}
		d.fill()
	}
}

// decode reads frames from the buffer until it needs more data or the next
// sample belongs to another segment.
func (d *Reader) decode() {
	for d.r.Buffered() > 0 {
		data, _ := d.r.Peek(d.r.Buffered())
		f, what := d.parse(data)
		switch what {
		case incomplete:
			return
		case damaged:
			d.lost = true
			d.summary.Damaged++
			d.r.Discard(1)
			continue
		case valid:
			if !d.take(f) {
				return
			}
		case foreign:
			d.summary.Foreign++
			d.follow(f)
		}
		d.summary.FrameBytes += int64(f.length)
		d.r.Discard(f.length)
	}
}

// parse looks for a frame. After damage, it accepts a time before a frame only
// if earlier frames had one.
func (d *Reader) parse(data []byte) (frame, outcome) {
	if d.lost && !d.stamps {
		return parseBare(data, d.err != nil)
	}
	return parse(data, d.err != nil)
}

// fill reads more data.
func (d *Reader) fill() {
	before := d.r.Buffered()
	_, d.err = d.r.Peek(before + 1)
	d.summary.Bytes += int64(d.r.Buffered() - before)
}

// follow records a frame's sequence number. A step of more than half the range
// means that the frame was overtaken.
func (d *Reader) follow(f frame) {
	if f.stamped {
		d.summary.Stamped++
	}
	d.stamps, d.lost = f.stamped, false
	from := sender{f.system, f.component}
	if last, ok := d.last[from]; ok {
		if gap := f.sequence - last - 1; gap < 128 {
			d.summary.Missing += int(gap)
		}
	}
	d.last[from] = f.sequence
}
