package session

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/mavlink"
	"flicktally/sim/source"
)

// Options says how to read the bytes of an input.
type Options struct {
	Source source.Options
	// From is the sender to listen to, if there can be several: an address, or
	// an address and a port; "" means the one heard most in the first seconds.
	From string

	// midway says that the first row may be incomplete.
	midway bool
}

// Input is a source of samples.
type Input struct {
	Name string // for people
	// read delivers what comes to the session, and reports the end.
	read func(*Session)
}

// firstSeconds is how long to listen to a link before deciding what it is: long
// enough to hear slow telemetry several times.
const firstSeconds = 2 * sim.Second

// input returns an input that reads a link. It decides on the format by what it
// hears during settling; with 0 it takes the first thing it hears.
func (o Options) input(name string, settling sim.Micros, open func(*Session) (link, error)) Input {
	return Input{name, func(s *Session) {
		r := newReceiver(s, name, settling, o)
		defer r.stop()
		s.end(s.pump(open, r))
	}}
}

// receiver turns the bytes of a link, whatever they are, into samples. It has
// no clock: its caller passes the time.
type receiver struct {
	s    *Session
	name string
	opts Options

	began    sim.Micros
	settling *settling // nil once settled
	sender   sender    // listened to
	rows     *rows     // of CSV; nil for other formats
	decoder  *decoder  // nil until settled
	time     timeline

	bytes   int64 // received
	samples int64
	damaged int64 // bytes of telemetry that belong to no frame
	batch   sim.Block
}

func newReceiver(s *Session, name string, settle sim.Micros, opts Options) *receiver {
	return &receiver{
		s: s, name: name, opts: opts, began: s.clock(),
		settling: &settling{lasts: settle, opts: opts.Source},
	}
}

func (r *receiver) stop() {
	if r.decoder != nil {
		r.decoder.stop()
	}
	if r.rows != nil {
		r.rows.stop()
	}
}

// arrive takes what comes. An error ends the input.
func (r *receiver) arrive(now sim.Micros, a arrival) error {
	r.bytes += int64(len(a.data))
	if !r.from(a) {
		r.s.count(func(c *counts) { c.strangers.add(a) })
		return nil
	}
	if r.settling != nil {
		r.settling.add(now, a)
		return r.settle(now, false)
	}
	if !r.sender.sends(now, a) {
		r.s.count(func(c *counts) { c.strangers.add(a) })
		return nil
	}
	err := r.take(now, a)
	r.flush(now)
	return err
}

// from reports whether data comes from the requested sender.
func (r *receiver) from(a arrival) bool {
	return r.opts.From == "" || a.from == r.opts.From || hostOf(a.from) == r.opts.From
}

// tick is called regularly, whatever comes.
func (r *receiver) tick(now sim.Micros) error {
	r.ask(now)
	if r.settling != nil {
		return r.settle(now, false)
	}
	return nil
}

// finish handles the end of the link, io.EOF for a normal one, and returns why
// the input broke off, nil if it did not.
func (r *receiver) finish(now sim.Micros, end error) error {
	if r.settling != nil {
		if err := r.settle(now, true); err != nil {
			return err
		}
	}
	err := r.drain()
	r.flush(now)
	if end != io.EOF {
		return end
	}
	return err
}

// settle decides what the link carries and whom to listen to, once there is
// enough to decide, and takes the data received so far. At the end it has to
// decide.
func (r *receiver) settle(now sim.Micros, final bool) error {
	heard, ok := r.settling.decide(now, final)
	if !ok {
		return nil
	}
	others, first := r.settling.others(heard), r.settling.of(heard)
	r.settling = nil
	r.sender = sender{address: heard.from, kind: heard.what.Kind, opts: r.opts.Source, last: now}
	opts := r.opts.Source
	opts.Kind = heard.what.Kind
	if opts.System == 0 {
		opts.System = heard.what.Survey.Most()
	}
	opts.Step = heard.what.Survey.Step(opts.System)
	if heard.what.Whole {
		opts.Kind = "" // by its first bytes
	}
	if opts.Kind == source.CSV {
		r.rows = newRows(r, opts)
	} else {
		r.decoder = newDecoder(r.name, opts)
	}
	r.s.count(func(c *counts) {
		c.settled = heard.text(opts.System)
		for _, a := range others {
			c.strangers.add(a)
		}
	})
	for _, a := range first {
		if err := r.take(now, a); err != nil {
			return err
		}
	}
	r.flush(now)
	return nil
}

// take takes what the sender sent.
func (r *receiver) take(now sim.Micros, a arrival) error {
	if r.rows != nil {
		r.rows.take(now, a)
		return nil
	}
	err := r.decoder.push(a.data, func(b sim.Block) { r.block(now, r.decoder, b) })
	r.countFrames()
	return err
}

// drain takes what is left at the end.
func (r *receiver) drain() error {
	now := r.s.clock()
	if r.rows != nil {
		return r.rows.end(now)
	}
	return r.decoder.end(func(b sim.Block) { r.block(now, r.decoder, b) })
}

// countFrames reports telemetry that is not what was wanted.
func (r *receiver) countFrames() {
	sum, is := r.decoder.summary().(mavlink.Summary)
	if !is {
		return
	}
	if n := sum.Damaged - r.damaged; n > 0 {
		r.damaged = sum.Damaged
		r.s.leaveOutBytes(n)
	}
	r.s.count(func(c *counts) {
		c.late, c.misplaced, c.systems, c.system = int64(sum.Late), int64(sum.Misplaced), sum.Systems, sum.System
	})
}

// block takes samples. They are kept until all data of one arrival is read, to
// be recorded and counted together.
func (r *receiver) block(now sim.Micros, from *decoder, b sim.Block) {
	if r.samples == 0 {
		rig := from.src.Rig(r.s.rig)
		r.s.begin(from.src.Tap(), rig, from.src.LostAfter())
		r.s.setHelp("")
	}
	r.samples += int64(len(b.Samples))
	place, turned := r.time.place(now, from, b.Segment, b.Samples[0].At)
	if turned != "" {
		r.flush(now)
		r.s.turn(turned)
	}
	r.time.read += len(b.Samples)
	r.time.at = b.Samples[len(b.Samples)-1].At
	r.batch.Segment = place.segment
	for _, sample := range b.Samples {
		sample.At += place.shift
		r.batch.Samples = append(r.batch.Samples, sample)
	}
	r.time.last = r.batch.Samples[len(r.batch.Samples)-1].At
	if len(r.batch.Samples) >= mostAtOnce {
		r.flush(now)
	}
}

// mostAtOnce is how many samples are recorded at once, which is the most that a
// full disk can lose.
const mostAtOnce = 2048

// flush passes on the waiting samples.
func (r *receiver) flush(now sim.Micros) {
	if len(r.batch.Samples) == 0 {
		return
	}
	reader := r.decoder
	if r.rows != nil {
		reader = r.rows.decoder
		r.rows.countMisplaced()
	}
	r.s.take(now, r.batch, reader.reading())
	r.batch.Samples = r.batch.Samples[:0]
}
