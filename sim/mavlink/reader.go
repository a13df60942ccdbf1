package mavlink

import (
	"io"

	"flicktally/sim"
)

// Armed and Disarmed are the armed values of the samples; ArmedRange tells them
// apart.
const (
	Armed    = sim.LevelHigh
	disarmed = sim.LevelLow
)

// ArmedRange holds Armed and not Disarmed.
var ArmedRange = sim.PulseRange{Low: (disarmed + Armed) / 2, High: Armed + 1}

// Options say what to read.
type Options struct {
	Line   Line
	System uint8 // of the flight controller; 0 = the first that sends the line (see [NewSurvey])
}

// Reader yields the samples of one line.
type Reader struct {
	r     io.Reader
	name  string
	opts  Options
	buf   []byte
	pos   int
	end   int
	err   error // why no more comes
	block []sim.Sample

	lost    bool                // the byte before belongs to no frame
	stamps  bool                // the latest frame had a time before it
	system  uint8               // listened to; 0 = not found yet
	armed   [256]sim.PulseWidth // of every system; NaN = not told
	last    map[sender]byte     // sequence number of every sender's last frame
	sent    [256]int            // frames with a value of the line, of every system
	before  sim.Sample          // the latest that was emitted
	waiting sim.Sample          // is out of place until the next one tells
	clock   clock
	summary Summary
	each    func(frame) // is shown every frame with the right check sum; may be nil
}

type sender struct{ system, component byte }

// Summary counts what was read. Bytes = FrameBytes + Damaged at the end.
type Summary struct {
	Bytes, FrameBytes int64
	Damaged           int64 // bytes that belong to no frame
	Frames            int   // of the four messages
	Foreign           int   // of other messages
	Unsupported       int   // with a flag that this reader does not know; left out
	Missing           int   // frames that the sequence numbers say are missing
	Late              int   // overtaken on their way; left out
	Misplaced         int   // with a time far from those before and after; left out
	Repeated          int   // say again what another message said of the same instant; left out
	Stamped           int   // with a time before them
	RecordedTime      bool  // samples carry the times before the frames
	System            uint8 // listened to; 0 = none found
	Systems           []SystemFrames
	Segments          int
	Samples           int
}

// SystemFrames says how many frames with a value of the wanted line a system
// sent.
type SystemFrames struct {
	System uint8
	Frames int
}

const bufferSize = 64 << 10

// NewReader returns a reader of a recording or stream. The name is for errors.
// The reader takes less than 8 MiB whatever the recording is: a buffer of 64 KiB,
// the samples in it, and a number for each of the 65 536 senders that there can be.
func NewReader(r io.Reader, name string, opts Options) *Reader {
	d := &Reader{r: r, name: name, opts: opts, buf: make([]byte, bufferSize), system: opts.System, last: map[sender]byte{}}
	for i := range d.armed {
		d.armed[i] = sim.Absent
	}
	return d
}

// Summary returns what was read so far.
func (d *Reader) Summary() Summary {
	s := d.summary
	s.System, s.RecordedTime, s.Segments = d.system, d.clock.recorded, d.clock.segment
	s.Systems = ranked(&d.sent)
	return s
}

// Next returns the next samples as soon as there are some, so that a live
// stream is not waited for longer than needed. At the end it returns io.EOF, or
// what is wrong with a stream that has not a single sample.
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

// decode takes frames from the buffer until it has to be filled, or the next
// sample belongs to another segment than those of the block.
func (d *Reader) decode() {
	for d.pos < d.end {
		f, what := d.parse(d.buf[d.pos:d.end])
		switch what {
		case incomplete:
			return
		case damaged:
			d.lost = true
			d.summary.Damaged++
			d.pos++
			continue
		case valid:
			s, wanted := d.sample(f)
			if wanted && len(d.block) > 0 && d.clock.startsSegment(s.At) {
				return
			}
			d.count(f)
			if d.each != nil && f.understood {
				d.each(f)
			}
			if wanted {
				d.emit(s)
			}
		case foreign:
			d.summary.Foreign++
			d.follow(f)
		}
		d.summary.FrameBytes += int64(f.length)
		d.pos += f.length
	}
}

// parse looks for a frame. Behind damage, bytes are taken for a time before a
// frame only where the frames before had one.
func (d *Reader) parse(data []byte) (frame, outcome) {
	if d.lost && !d.stamps {
		return parseBare(data, d.err != nil)
	}
	return parse(data, d.err != nil)
}

// fill reads once.
func (d *Reader) fill() {
	d.end = copy(d.buf, d.buf[d.pos:d.end])
	d.pos = 0
	var n int
	for tries := 0; n == 0 && d.err == nil; tries++ {
		n, d.err = d.r.Read(d.buf[d.end:])
		if tries == 100 {
			d.err = io.ErrNoProgress
		}
	}
	d.end += n
	d.summary.Bytes += int64(n)
}

// follow notes a frame's sequence number. A step of more than half the circle
// is a frame that was overtaken.
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
