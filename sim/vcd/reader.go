package vcd

import (
	"io"
	"slices"
	"strings"

	"flicktally/sim"
)

// Options says what to read.
type Options struct {
	// Wire is the name of the wire with all scopes, "top.camera.SHUTTER", or
	// its last part, ignoring case and spaces; "" means the only wire.
	Wire string
	// Unit is the unit of time for a capture that names none: "us", "10ms". A
	// text that is no unit is ignored.
	Unit string
}

// Reader yields the level of one wire.
type Reader struct {
	scan    *scanner
	opts    Options
	code    string
	scale   timescale
	tick    sim.Micros // between moments that the capture can distinguish
	started bool
	done    bool

	// origin is the first time of the dump: samples count from it.
	origin  instant
	hasTime bool
	raw     instant    // the latest time of the dump
	now     sim.Micros // the same since origin

	level   sim.PulseWidth // at now; NaN = no signal
	emitted sim.PulseWidth // of the last sample; NaN before the first
	sampled sim.Micros     // time of the last sample
	within  int            // changes within the current microsecond
	off     bool           // within the values of $dumpoff
	ends    bool           // the signal ends after this microsecond: $dumpoff followed a change

	block   []sim.Sample
	summary summary
}

// summary describes what was read.
type summary struct {
	Wire    string // whole name of the wire
	Bytes   int64
	Step    sim.Micros // between moments that the capture can distinguish, at least 1 µs
	Changes int        // of the level, including to and from no signal
	Merged  int        // changes undone or replaced within the same microsecond
	Torn    bool       // the capture ended within its last word, which was left out
}

// NewReader returns a reader of one wire. name is for errors.
func NewReader(r io.Reader, name string, opts Options) *Reader {
	return &Reader{scan: newScanner(r, name), opts: opts, level: sim.Absent, emitted: sim.Absent, block: make([]sim.Sample, 0, blockSize)}
}

const blockSize = 4096

// Summary returns the counts so far.
func (r *Reader) Summary() summary {
	r.summary.Bytes = r.scan.offset
	return r.summary
}

// Next returns the next samples, valid until the next call: one at time 0, one
// at each change of the level ([sim.LevelLow], [sim.LevelHigh], absent without
// a signal) and one at the last time of the dump. A change is preceded by a
// sample of the old level one time step earlier: the change lies between the
// two. It returns io.EOF at the end, and a [*excerpt.SyntaxError] or a [*WireError] if
// it cannot read the capture.
func (r *Reader) Next() ([]sim.Sample, error) {
	if r.done {
		return nil, io.EOF
	}
	r.block = r.block[:0]
	if !r.started {
		if err := r.start(); err != nil {
			return nil, err
		}
	}
	for len(r.block) < blockSize {
		err := r.step()
		if err == io.EOF {
			r.done = true
			return r.finish()
		}
		if err != nil {
			return nil, err
		}
	}
	return r.block, nil
}

func (r *Reader) start() error {
	h, err := readHeader(r.scan, fallbackScale(r.opts.Unit))
	if err != nil {
		return err
	}
	w, err := h.find(r.scan.name, r.opts.Wire)
	if err != nil {
		return err
	}
	r.started, r.code, r.scale, r.tick = true, w.code, h.scale, h.scale.step()
	r.summary.Wire, r.summary.Step = w.name, r.tick
	return nil
}

// step reads one simulation command (§18.2.1).
func (r *Reader) step() error {
	s := r.scan
	if err := s.next(); err != nil {
		return err
	}
	switch s.token[0] {
	case '#':
		return r.time()
	case 'b', 'B', 'r', 'R', 's', 'S':
		return r.vector()
	case '$':
		return r.keyword()
	}
	level := levels[s.token[0]]
	if level == 0 || len(s.token) < 2 {
		if s.torn {
			return r.tear()
		}
		return s.wrong(s.shown(), "a time such as #120, a value such as 1!, or a keyword")
	}
	if string(s.token[1:]) == r.code {
		r.change(level)
	}
	return nil
}

// levels are the values of a bit (§18.2.1), and those that VHDL dumps add: weak
// low and high, and more forms of "unknown". 0 means not a level.
var levels = [256]sim.PulseWidth{
	'0': sim.LevelLow, 'l': sim.LevelLow, 'L': sim.LevelLow,
	'1': sim.LevelHigh, 'h': sim.LevelHigh, 'H': sim.LevelHigh,
	'x': sim.Absent, 'X': sim.Absent, 'z': sim.Absent, 'Z': sim.Absent,
	'u': sim.Absent, 'U': sim.Absent, 'w': sim.Absent, 'W': sim.Absent, '-': sim.Absent,
}

// time reads a time of the dump and moves to it.
func (r *Reader) time() error {
	s := r.scan
	raw, err := parseInstant(string(s.token[1:]))
	if s.torn && (err != nil || r.hasTime && raw.isBefore(r.raw)) {
		return r.tear()
	}
	if err != nil {
		return s.wrong(s.shown(), "a time such as #120")
	}
	if !r.hasTime {
		r.hasTime, r.origin, r.raw = true, raw, raw
		return nil
	}
	if raw.isBefore(r.raw) {
		return s.wrong(raw.String()+" after "+r.raw.String(), "times in order")
	}
	units, fits := raw.since(r.origin)
	at, ok := r.scale.micros(units)
	if !fits || !ok {
		return s.wrong(s.shown(), "a capture of at most 1000 hours")
	}
	if at > r.now {
		r.settle(at)
	}
	r.raw, r.now = raw, at
	return nil
}

// tear drops a word that the end of the stream cut off.
func (r *Reader) tear() error {
	r.summary.Torn = true
	return io.EOF
}

// vector skips "b0101 #", but takes a single bit written that way.
func (r *Reader) vector() error {
	s := r.scan
	single := len(s.token) == 2 && (s.token[0] == 'b' || s.token[0] == 'B')
	value := s.token[len(s.token)-1]
	if err := s.next(); err != nil {
		if err == io.EOF {
			return r.tear()
		}
		return err
	}
	if level := levels[value]; single && level != 0 && string(s.token) == r.code {
		r.change(level)
	}
	return nil
}

// framing lists the keywords that start with $dump and enclose values. Only
// $dumpoff matters, as the values say the rest.
var framing = []string{"vars", "all", "on", "off"}

// extra lists keywords among the values whose content, up to $end, changes no
// level. Some are not in the standard.
var extra = []string{"$comment", "$attrbegin", "$attrend", "$timezero"}

// keyword reads a keyword, and skips it if it is one of extra.
func (r *Reader) keyword() error {
	s := r.scan
	token := string(s.token)
	what, isDump := strings.CutPrefix(token, "$dump")
	switch {
	case token == "$end", isDump && slices.Contains(framing, what):
		r.off = token == "$dumpoff"
		return nil
	case slices.Contains(extra, token):
		for string(s.token) != "$end" {
			if err := s.next(); err != nil {
				return err
			}
		}
		return nil
	case s.torn:
		return r.tear()
	}
	return s.wrong(s.shown(), "$dumpvars or another of the keywords that frame values, $comment or $end")
}

// change sets the level of the wire.
func (r *Reader) change(level sim.PulseWidth) {
	if same(level, r.level) {
		return
	}
	if r.off && level != level && r.within > 0 {
		r.ends = true // the level of this instant was captured before the dump was turned off
		return
	}
	r.level, r.ends = level, false
	r.within++
}

// same compares two levels; two missing signals are equal.
func same(a, b sim.PulseWidth) bool { return a == b || a != a && b != b }

// settle emits the final level of the current microsecond if it is new or the
// first. The next one is at a later time.
func (r *Reader) settle(next sim.Micros) {
	changed := !same(r.level, r.emitted)
	if known := r.now - r.tick; changed && r.emitted == r.emitted && known > r.sampled {
		r.emit(known, r.emitted)
	}
	if changed || r.now == 0 {
		r.emit(r.now, r.level)
	}
	if changed {
		r.within--
		if r.now > 0 {
			r.summary.Changes++
		}
	}
	r.summary.Merged += r.within
	r.within = 0
	if r.ends {
		r.endSignal(next)
	}
}

// endSignal emits the end of the signal just after the current microsecond,
// unless something else comes there.
func (r *Reader) endSignal(next sim.Micros) {
	r.level, r.ends = sim.Absent, false
	if r.now+1 < next {
		r.emit(r.now+1, r.level)
		r.summary.Changes++
	}
}

func (r *Reader) emit(at sim.Micros, level sim.PulseWidth) {
	r.block = append(r.block, sim.Sample{At: at, Channel: level, Armed: sim.Absent})
	r.emitted, r.sampled = level, at
}

// finish emits the sample at the end of the capture.
func (r *Reader) finish() ([]sim.Sample, error) {
	if !r.hasTime {
		return nil, r.scan.wrongAt(r.scan.here(), "the end of the file and no time", "a capture with times such as #120 after the declarations")
	}
	r.settle(r.now)
	if r.now > r.sampled {
		r.emit(r.now, r.level)
	}
	return r.block, nil
}
