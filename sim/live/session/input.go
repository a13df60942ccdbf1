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
	Name string // for messages
	// read delivers samples to the session until the input ends, and reports the
	// end.
	read func(*Session)
}

// firstSeconds is how long to listen to a link before its format is decided: long
// enough for several frames of slow telemetry.
const firstSeconds = 2 * sim.Second

// input returns an input that reads a link. The data of the time settling decides
// the format; with 0 the first data does.
func (o Options) input(name string, settling sim.Micros, open func(*Session) (link, error)) Input {
	return Input{name, func(s *Session) {
		r := newReceiver(s, name, settling, o)
		defer r.stop()
		s.end(s.pump(open, r))
	}}
}

// receiver turns the bytes of a link, which may be anything, into samples. It has
// no clock: the caller passes the time.
type receiver struct {
	s    *Session
	name string
	opts Options

	began    sim.Micros
	settling *settling // nil once the format is decided
	sender   sender    // the one that is read
	rows     *rows     // of CSV; nil for other formats
	decoder  *decoder  // of other formats; nil until one is decided
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

// arrive takes data as it arrives. An error ends the input.
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

// tick is called regularly, whether data arrives or not.
func (r *receiver) tick(now sim.Micros) error {
	r.remind(now)
	if r.settling != nil {
		return r.settle(now, false)
	}
	return nil
}

// finish handles the end of the link, which is io.EOF for a normal one, and
// returns why the input broke off; nil if it did not.
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

// settle decides on the format and the sender as soon as it can, and takes the
// data received so far. final forces a decision.
func (r *receiver) settle(now sim.Micros, final bool) error {
	heard, ok := r.settling.decide(now, final)
	if !ok {
		return nil
	}
	first, others := r.settling.of(heard), r.settling.others(heard)
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

// take takes data of the sender.
func (r *receiver) take(now sim.Micros, a arrival) error {
	if r.rows != nil {
		r.rows.take(now, a)
		return nil
	}
	err := r.decoder.push(a.data, func(b sim.Block) { r.block(now, r.decoder, b) })
	r.countFrames()
	return err
}

// drain takes the rest of the data at the end.
func (r *receiver) drain() error {
	now := r.s.clock()
	if r.rows != nil {
		return r.rows.end(now)
	}
	return r.decoder.end(func(b sim.Block) { r.block(now, r.decoder, b) })
}

// countFrames counts the telemetry that was left out.
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

// block takes samples. They wait until all data of one arrival is read, to be
// recorded and counted together.
func (r *receiver) block(now sim.Micros, from *decoder, b sim.Block) {
	if r.samples == 0 {
		rig := from.src.Rig(r.s.rig)
		r.s.begin(from.src.Tap(), rig, from.src.LostAfter())
		r.s.setHelp("")
	}
	r.samples += int64(len(b.Samples))
	place, jump := r.time.place(now, from, b.Segment, b.Samples[0].At)
	if jump != "" {
		r.flush(now)
		r.s.noteClock(jump)
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

// mostAtOnce is the most samples that are recorded at once, and so the most that a
// full disk loses.
const mostAtOnce = 2048

// flush passes the waiting samples to the session.
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
