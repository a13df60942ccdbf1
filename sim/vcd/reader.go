package vcd

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"flicktally/sim"
)

// Reader yields the level of one wire.
type Reader struct {
	scan    scanner
	wire    string // name asked for
	code    string
	scale   timescale
	started bool
	done    bool

	// origin is the first time of the dump: samples count from it.
	origin  uint64
	hasTime bool
	raw     uint64     // the latest time of the dump
	now     sim.Micros // the same since origin

	level   sim.PulseWidth // at now; NaN = no signal
	emitted sim.PulseWidth // of the last sample, NaN before it
	within  int            // changes within the present microsecond

	block   []sim.Sample
	summary Summary
}

// Summary says what was read.
type Summary struct {
	Wire    string // whole name of the wire
	Bytes   int64
	Changes int // of the level, to or from no signal included
	// Merged counts the changes that another one within the same microsecond
	// has undone or replaced.
	Merged int
	// Torn is set where the capture breaks off within its last word, which was
	// then left out.
	Torn bool
}

// NewReader returns a reader of the wire with the given name: its name with all
// scopes, "top.camera.SHUTTER", or the last part of it, case ignored; "" is the
// only wire. The name of the stream is for errors.
func NewReader(r io.Reader, name, wire string) *Reader {
	return &Reader{scan: newScanner(r, name), wire: wire, level: sim.Absent, emitted: sim.Absent, block: make([]sim.Sample, 0, blockSize)}
}

const blockSize = 4096

// Summary returns what was read so far.
func (r *Reader) Summary() Summary {
	r.summary.Bytes = r.scan.bytes()
	return r.summary
}

// Next returns the next samples, valid until the next call: one at time 0, one
// at each change of the level ([sim.LevelLow], [sim.LevelHigh], absent where
// there is no signal) and one at the last time of the dump. It returns io.EOF
// at the end, a [*SyntaxError] or [*WireError] for what cannot be read.
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
	h, err := readHeader(&r.scan)
	if err != nil {
		return err
	}
	w, err := h.find(r.scan.name, r.wire)
	if err != nil {
		return err
	}
	r.started, r.code, r.scale, r.summary.Wire = true, w.code, h.scale, w.name
	return nil
}

// step reads one simulation command (§18.2.1).
func (r *Reader) step() error {
	s := &r.scan
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

// levels are the values of a bit (§18.2.1), and those which dumps of VHDL add:
// weak low and high, and more ways to say "not known". 0 is no value.
var levels = [256]sim.PulseWidth{
	'0': sim.LevelLow, 'l': sim.LevelLow, 'L': sim.LevelLow,
	'1': sim.LevelHigh, 'h': sim.LevelHigh, 'H': sim.LevelHigh,
	'x': sim.Absent, 'X': sim.Absent, 'z': sim.Absent, 'Z': sim.Absent,
	'u': sim.Absent, 'U': sim.Absent, 'w': sim.Absent, 'W': sim.Absent, '-': sim.Absent,
}

// time moves to a time of the dump.
func (r *Reader) time() error {
	s := &r.scan
	raw, err := strconv.ParseUint(string(s.token[1:]), 10, 64)
	if s.torn && (err != nil || r.hasTime && raw < r.raw) {
		return r.tear()
	}
	if err != nil {
		return s.wrong(s.shown(), "a time such as #120")
	}
	if !r.hasTime {
		r.hasTime, r.origin, r.raw = true, raw, raw
		return nil
	}
	if raw < r.raw {
		return s.wrong("#"+strconv.FormatUint(raw, 10)+" after #"+strconv.FormatUint(r.raw, 10), "times in order")
	}
	at, ok := r.scale.micros(raw - r.origin)
	if !ok {
		return s.wrong(s.shown(), "a capture of at most 1000 hours")
	}
	if at > r.now {
		r.settle()
	}
	r.raw, r.now = raw, at
	return nil
}

// tear leaves out a word that the end of the stream has cut.
func (r *Reader) tear() error {
	r.summary.Torn = true
	return io.EOF
}

// vector passes over "b0101 #", but takes a bit that is written that way.
func (r *Reader) vector() error {
	s := &r.scan
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

// framing ends the keywords that begin with $dump. They frame values and need
// nothing: the values tell.
var framing = []string{"vars", "all", "on", "off"}

// keyword passes over a comment, and over keywords that frame values.
func (r *Reader) keyword() error {
	s := &r.scan
	if what, ok := strings.CutPrefix(string(s.token), "$dump"); ok && slices.Contains(framing, what) {
		return nil
	}
	switch string(s.token) {
	case "$end":
		return nil
	case "$comment":
		for string(s.token) != "$end" {
			if err := s.next(); err != nil {
				return err
			}
		}
		return nil
	}
	if s.torn {
		return r.tear()
	}
	return s.wrong(s.shown(), "$dumpvars or another of the keywords that frame values, $comment or $end")
}

func (r *Reader) change(level sim.PulseWidth) {
	if same(level, r.level) {
		return
	}
	r.level = level
	r.within++
}

// same compares two levels; no signal is the same as no signal.
func same(a, b sim.PulseWidth) bool { return a == b || a != a && b != b }

// settle emits the level that the present microsecond ended with, if it is new
// or the first.
func (r *Reader) settle() {
	changed := !same(r.level, r.emitted)
	if changed || r.now == 0 {
		r.block = append(r.block, sim.Sample{At: r.now, Channel: r.level, Armed: sim.Absent})
		r.emitted = r.level
	}
	if changed {
		r.within--
		if r.now > 0 {
			r.summary.Changes++
		}
	}
	r.summary.Merged += r.within
	r.within = 0
}

// finish emits the end of the capture.
func (r *Reader) finish() ([]sim.Sample, error) {
	if !r.hasTime {
		return nil, r.scan.wrongAt(r.scan.here(), "the end of the file and no time", "a capture with times such as #120 after the declarations")
	}
	r.settle()
	if n := len(r.block); r.now > 0 && (n == 0 || r.block[n-1].At < r.now) {
		r.block = append(r.block, sim.Sample{At: r.now, Channel: r.level, Armed: sim.Absent})
	}
	return r.block, nil
}
