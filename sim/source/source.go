// Package source opens a log of any kind that flicktally reads. It detects the
// kind from the content, never from a name:
//
//   - CSV channel logs (package chanlog), and among them what a [Recorder] wrote,
//   - value change dumps of the camera's wire (package vcd),
//   - MAVLink recordings and streams (package mavlink),
//
// each plain or compressed with gzip. All yield samples in segments; they
// differ in where they enter the chain. Typical use:
//
//	src, err := source.Open(r, name, source.Options{Spec: rig.Log})
//	rig = src.Rig(rig)
//	chain := sim.NewChain(src.Tap(), rig) // one a segment
//	for {
//		block, err := src.Next() // io.EOF at the end
//		…
//		chain.FeedBlock(block)
//	}
//	replay := chain.Finish()
//	notes := src.Reading()
package source

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/klauspost/compress/gzip"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/mavlink"
	"flicktally/sim/vcd"
)

// Kind is a kind of log.
type Kind string

// The kinds.
const (
	CSV     Kind = "csv"
	VCD     Kind = "vcd"
	MAVLink Kind = "mavlink"
)

// Options says what to read. Options for other kinds of log are ignored.
type Options struct {
	// Kind is the kind of log; "" detects it from the content. A record is
	// recognised even if Kind is CSV.
	Kind Kind
	// Spec is for CSV. Its channel is for MAVLink too, with a name for
	// [mavlink.ParseLine].
	Spec      sim.LogSpec
	Delimiter chanlog.Delimiter // CSV
	Lenient   bool              // CSV
	Thin      sim.Thinning      // CSV; see [chanlog.Options]
	Ahead     bool              // CSV; see [chanlog.Options]
	Live      bool              // CSV; see [chanlog.Options]
	Valid     sim.PulseRange    // CSV; see [chanlog.Options]
	Tick      func(bytes int64) // CSV; see [chanlog.Options]
	Wire      string            // VCD: the camera's wire; "" = the only one
	System    uint8             // MAVLink: the flight controller; 0 = the one with most frames, of a stream the first
	// Step is the median time between two values, if known for a MAVLink
	// stream; see [Heard.Step].
	Step sim.Micros
	// Again opens the log once more, to survey all of it: which system sends
	// most, and how often (MAVLink). It is nil for a stream, which can be read
	// only once.
	Again func() (io.ReadCloser, error)
}

// Source is an open log.
type Source struct {
	nature
	tap sim.Tap
	csv *chanlog.Reader
	vcd *vcd.Reader
	mav *mavlink.Reader
	// step is the median time between values of a telemetry log that was
	// surveyed, 0 for any other; loss is derived from it.
	step sim.Micros
	loss *loss
}

// loss says when the signal of a log counts as lost, if not as the rig says
// (M2).
type loss struct {
	Step  sim.Micros // median time between values
	Rig   sim.Micros // lost after this long, by the rig
	After sim.Micros // and for this log
}

// leastSteps is how many steps must be missing before the signal of telemetry
// counts as lost (M2).
const leastSteps = 3

// headSize is the most that is examined to recognise a log.
const headSize = 64 << 10

// Open examines as much of a log as it takes to recognise it, and returns its
// source. A log of no other kind is read as CSV, whose reader says what is
// wrong with it. name is for errors; the error is a [mavlink.LineError] or that
// of the stream. A source takes less than 1 MiB in addition to its reader.
func Open(r io.Reader, name string, opts Options) (*Source, error) {
	head := bufio.NewReaderSize(r, headSize)
	found, err := recognise(head, opts.Kind)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", excerpt.Printable(name), err)
	}
	s := &Source{nature: found}
	r = head
	if found.gzip && found.kind != CSV {
		unzip, err := gzip.NewReader(head)
		if err != nil {
			return nil, fmt.Errorf("%s: the compressed log is damaged: %w", excerpt.Printable(name), err)
		}
		r = unzipped{unzip}
	}
	switch found.kind {
	case VCD:
		s.vcd, s.tap = vcd.NewReader(r, name, vcd.Options{Wire: opts.Wire, Unit: string(opts.Spec.Unit)}), sim.TapWire
	case MAVLink:
		if err := s.openMAVLink(r, name, opts); err != nil {
			return nil, err
		}
	default:
		if found.record != nil {
			opts.Spec, opts.Delimiter, s.tap = found.record.spec(), chanlog.DelimiterComma, found.record.tap
			opts.Valid = sim.PulseRange{}
			if s.tap != sim.TapChannel {
				opts.Thin = sim.Thinning{} // it applies to values of the channel
			}
		}
		s.csv = chanlog.NewReader(r, name, chanlog.Options{
			Spec: opts.Spec, Delimiter: opts.Delimiter, Lenient: opts.Lenient, Thin: opts.Thin, Ahead: opts.Ahead,
			Live: opts.Live, Valid: opts.Valid, Tick: opts.Tick,
			Record: found.record != nil,
		})
	}
	return s, nil
}

// surveySize is how much is surveyed of a log that can be read only once.
const surveySize = 256 << 10

// openMAVLink opens telemetry after a survey: of all of it if it can be read
// twice, else of its start. A live stream was surveyed before (opts.Step).
func (s *Source) openMAVLink(r io.Reader, name string, opts Options) error {
	line, err := mavlink.ParseLine(opts.Spec.Channel)
	if err != nil {
		return fmt.Errorf("%s: this is MAVLink: %w", excerpt.Printable(name), err)
	}
	if line.Output {
		s.tap = sim.TapOutput
	}
	system := opts.System
	s.step = opts.Step
	if opts.Again != nil || !opts.Live {
		var survey mavlink.Survey
		if opts.Again != nil {
			if survey, err = surveyAgain(opts.Again, s.gzip, line); err != nil {
				return fmt.Errorf("%s: %w", excerpt.Printable(name), err)
			}
		} else {
			begin := bufio.NewReaderSize(r, surveySize)
			piece, _ := begin.Peek(surveySize) // the reader will say what is wrong
			survey, r = mavlink.NewSurvey(bytes.NewReader(piece), line), begin
		}
		if system == 0 {
			system = survey.Most()
		}
		s.step = survey.Step(system)
	}
	s.mav = mavlink.NewReader(r, name, mavlink.Options{Line: line, System: system})
	return nil
}

func surveyAgain(open func() (io.ReadCloser, error), zipped bool, line mavlink.Line) (mavlink.Survey, error) {
	file, err := open()
	if err != nil {
		return mavlink.Survey{}, err
	}
	defer file.Close()
	r := io.Reader(file)
	if zipped {
		if r, err = gzip.NewReader(file); err != nil {
			return mavlink.Survey{}, err
		}
	}
	return mavlink.NewSurvey(r, line), nil
}

// unzipped turns an early end of a compressed log into a clear error.
type unzipped struct{ r io.Reader }

func (u unzipped) Read(p []byte) (int, error) {
	n, err := u.r.Read(p)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the compressed log breaks off")
	}
	return n, err
}

// Close ends the reading ahead ([Options.Ahead]). It does not close the stream.
// The source must not be used after it.
func (s *Source) Close() {
	if s.csv != nil {
		s.csv.Close()
	}
}

// Tap returns where the samples enter the chain.
func (s *Source) Tap() sim.Tap { return s.tap }

// Rig returns the rig completed by the log: a MAVLink recording and a record
// define their armed values, and a recording how long its signal may be silent.
func (s *Source) Rig(rig sim.Rig) sim.Rig {
	after := sim.Micros(0)
	switch {
	case s.record != nil:
		rig.Log, after = s.record.spec(), s.record.lost
	case s.kind == MAVLink:
		rig.Log.Armed = "HEARTBEAT"
		rig.Log.ArmedRange = []sim.PulseRange{mavlink.ArmedRange}
		after = leastSteps * s.step
	case s.kind == VCD:
		rig.Log.Armed = ""
	}
	s.loss = nil
	if s.tap == sim.TapChannel && after > rig.SignalLoss.StaleAfter {
		s.loss = &loss{after / leastSteps, rig.SignalLoss.StaleAfter, after}
		rig.SignalLoss.StaleAfter = after
	}
	return rig
}

// LostAfter returns after how long the signal counts as lost if the log decides
// that, and not the rig last passed to [Source.Rig]; else 0.
func (s *Source) LostAfter() sim.Micros {
	if s.loss == nil {
		return 0
	}
	return s.loss.After
}

// Next returns the next samples. At the end of the log it returns io.EOF, else
// the error of the kind's reader or of the stream.
func (s *Source) Next() (sim.Block, error) {
	switch s.kind {
	case VCD:
		samples, err := s.vcd.Next()
		return sim.Block{Segment: 1, Samples: samples}, err
	case MAVLink:
		return s.mav.Next()
	default:
		return s.csv.Next()
	}
}

// Summary says how the log was read. Exactly one of the kinds is set.
type Summary struct {
	Kind    Kind
	Gzip    bool
	CSV     *chanlog.Summary
	VCD     *vcd.Summary
	MAVLink *mavlink.Summary
	Loss    *loss // nil if the rig decides when the signal counts as lost
}

// Summary returns the summary so far.
func (s *Source) Summary() Summary {
	sum := Summary{Kind: s.kind, Gzip: s.gzip, Loss: s.loss}
	switch s.kind {
	case VCD:
		v := s.vcd.Summary()
		sum.VCD = &v
	case MAVLink:
		m := s.mav.Summary()
		sum.MAVLink = &m
	default:
		c := s.csv.Summary()
		sum.CSV = &c
	}
	return sum
}

// Skipped returns how many lines of CSV were left out so far; it is quicker than
// [Source.Summary].
func (s *Source) Skipped() int64 {
	if s.csv == nil {
		return 0
	}
	return s.csv.Skipped()
}

// recognise examines more and more of the start until it can decide, unless the
// kind is already known.
func recognise(head *bufio.Reader, known Kind) (nature, error) {
	if known != "" && known != CSV {
		return nature{kind: known}, nil
	}
	tell := sniff
	if known == CSV {
		tell = sniffCSV
	}
	for n := 1; ; n = head.Buffered() + 1 {
		_, err := head.Peek(min(n, headSize))
		if err != nil && err != io.EOF {
			return nature{}, err
		}
		data, _ := head.Peek(head.Buffered())
		final := err != nil || len(data) == headSize
		if found, ok := tell(data, final); ok {
			return found, nil
		}
		if final {
			panic("internal error: the whole beginning of a log was not judged")
		}
	}
}
