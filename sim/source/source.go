// Package source opens a log of any kind that flicktally reads. It detects the kind
// from the content, never from the name:
//
//   - CSV channel logs (package chanlog), including records of a [Recorder],
//   - value change dumps of the camera's wire (package vcd),
//   - MAVLink recordings and streams (package mavlink),
//
// each plain or compressed with gzip. All yield samples in segments; they differ in
// where their samples enter the chain. Typical use:
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
	// Spec is for CSV. Its channel is for MAVLink too, as [mavlink.ParseLine] reads
	// it.
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
	// stream; see [mavlink.Survey.Step].
	Step sim.Micros
	// Again opens the log once more, to survey all of it: which system sends
	// most, and how often (MAVLink). It is nil for a stream, which can be read
	// only once.
	Again func() (io.ReadCloser, error)
}

// Source is an open log.
type Source struct {
	reader
	loss *loss
}

// loss says after how long the signal of a log counts as lost, if it is not as the
// rig says (M2).
type loss struct {
	Step  sim.Micros // median time between values
	Rig   sim.Micros // by the rig
	After sim.Micros // for this log
}

// leastSteps is how many steps without a value it takes for the signal of telemetry
// to count as lost (M2).
const leastSteps = 3

// headSize is the most bytes that are examined to recognise a log.
const headSize = 64 << 10

// Open recognises a log by its first bytes and returns its source. What is of no
// other kind is read as CSV, whose reader reports what is wrong. name is for errors.
// The error is a [mavlink.LineError] or an error of the stream. A source takes less
// than 1 MiB in addition to its reader.
func Open(r io.Reader, name string, opts Options) (*Source, error) {
	head := bufio.NewReaderSize(r, headSize)
	found, err := recognise(head, opts.Kind)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", excerpt.Printable(name), err)
	}
	r = head
	if found.gzip && found.kind != CSV {
		unzip, err := gzip.NewReader(head)
		if err != nil {
			return nil, fmt.Errorf("%s: the compressed log is damaged: %w", excerpt.Printable(name), err)
		}
		r = unzipped{unzip}
	}
	s := &Source{}
	switch found.kind {
	case VCD:
		s.reader = vcdLog{Reader: vcd.NewReader(r, name, vcd.Options{Wire: opts.Wire, Unit: string(opts.Spec.Unit)})}
	case MAVLink:
		if s.reader, err = openMAVLink(r, name, found.gzip, opts); err != nil {
			return nil, err
		}
	default:
		s.reader = openCSV(r, name, found.record, opts)
	}
	return s, nil
}

// unzipped turns the early end of a compressed log into a clear error.
type unzipped struct{ r io.Reader }

func (u unzipped) Read(p []byte) (int, error) {
	n, err := u.r.Read(p)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the compressed log breaks off")
	}
	return n, err
}

// Rig returns the rig completed by the log: MAVLink and a record define their armed
// values, and MAVLink after how long its signal counts as lost.
func (s *Source) Rig(rig sim.Rig) sim.Rig {
	after := s.complete(&rig)
	s.loss = nil
	if s.Tap() == sim.TapChannel && after > rig.SignalLoss.StaleAfter {
		s.loss = &loss{after / leastSteps, rig.SignalLoss.StaleAfter, after}
		rig.SignalLoss.StaleAfter = after
	}
	return rig
}

// LostAfter returns after how long the signal counts as lost, if the log decided
// that in the last call of [Source.Rig]; else 0.
func (s *Source) LostAfter() sim.Micros {
	if s.loss == nil {
		return 0
	}
	return s.loss.After
}

// recognise examines more and more of the start until it can decide. A known kind
// other than CSV needs no bytes.
func recognise(head *bufio.Reader, known Kind) (nature, error) {
	if known != "" && known != CSV {
		return nature{kind: known}, nil
	}
	decide := sniff
	if known == CSV {
		decide = sniffCSV
	}
	for n := 1; ; n = head.Buffered() + 1 {
		_, err := head.Peek(min(n, headSize))
		if err != nil && err != io.EOF {
			return nature{}, err
		}
		data, _ := head.Peek(head.Buffered())
		final := err != nil || len(data) == headSize
		if found, ok := decide(data, final); ok {
			return found, nil
		}
		if final {
			panic("internal error: the start of a log was not recognised")
		}
	}
}

// reader reads a log of one kind.
type reader interface {
	// Next returns the next samples. The error is io.EOF at the end of the log, else
	// one of the kind's reader or of the stream.
	Next() (sim.Block, error)
	// Tap returns where the samples enter the chain.
	Tap() sim.Tap
	// Summary describes how the log was read so far: a [chanlog.Summary], a
	// [mavlink.Summary] or a summary of package vcd.
	Summary() any
	// Skipped returns how many lines of CSV were left out so far. It is faster than
	// Summary.
	Skipped() int64
	// Close ends the reading ahead ([Options.Ahead]). It does not close the stream.
	// The source must not be used afterwards.
	Close()

	// reading describes for the user how the log was read.
	reading() sim.Reading
	// complete completes a rig from the log. after is the time after which the signal
	// counts as lost; 0 if the log does not define it.
	complete(rig *sim.Rig) (after sim.Micros)
}

// unlined has the methods of readers without lines and reading ahead.
type unlined struct{}

func (unlined) Skipped() int64 { return 0 }
func (unlined) Close()         {}

// csvLog is a channel log.
type csvLog struct{ *chanlog.Reader }

// recordLog is a record of a [Recorder].
type recordLog struct {
	csvLog
	origin
}

func openCSV(r io.Reader, name string, record *origin, opts Options) reader {
	if record != nil {
		opts.Spec, opts.Delimiter, opts.Valid = record.spec(), chanlog.DelimiterComma, sim.PulseRange{}
		if record.tap != sim.TapChannel {
			opts.Thin = sim.Thinning{} // it is for values of the channel
		}
	}
	log := csvLog{chanlog.NewReader(r, name, chanlog.Options{
		Spec: opts.Spec, Delimiter: opts.Delimiter, Lenient: opts.Lenient, Thin: opts.Thin, Ahead: opts.Ahead,
		Live: opts.Live, Valid: opts.Valid, Tick: opts.Tick,
		Record: record != nil,
	})}
	if record != nil {
		return recordLog{log, *record}
	}
	return log
}

func (csvLog) Tap() sim.Tap                 { return sim.TapChannel }
func (l csvLog) Summary() any               { return l.Reader.Summary() }
func (csvLog) complete(*sim.Rig) sim.Micros { return 0 }

func (l recordLog) Tap() sim.Tap { return l.tap }

func (l recordLog) complete(rig *sim.Rig) (after sim.Micros) {
	rig.Log = l.spec()
	return l.lost
}

// vcdLog is a value change dump.
type vcdLog struct {
	*vcd.Reader
	unlined
}

func (l vcdLog) Next() (sim.Block, error) {
	samples, err := l.Reader.Next()
	return sim.Block{Segment: 1, Samples: samples}, err
}

func (vcdLog) Tap() sim.Tap   { return sim.TapWire }
func (l vcdLog) Summary() any { return l.Reader.Summary() }

func (vcdLog) complete(rig *sim.Rig) (after sim.Micros) {
	rig.Log.Armed = ""
	return 0
}

// mavlinkLog is telemetry.
type mavlinkLog struct {
	*mavlink.Reader
	unlined
	tap  sim.Tap
	step sim.Micros // the median time between values, 0 if not known
}

// surveySize is how many bytes are surveyed of a log that can be read only once.
const surveySize = 256 << 10

// openMAVLink opens telemetry. It first surveys all of it, or only the start if it
// can be read only once. The caller has surveyed a live stream (opts.Step).
func openMAVLink(r io.Reader, name string, zipped bool, opts Options) (reader, error) {
	line, err := mavlink.ParseLine(opts.Spec.Channel)
	if err != nil {
		return nil, fmt.Errorf("%s: this is MAVLink: %w", excerpt.Printable(name), err)
	}
	l := mavlinkLog{tap: sim.TapChannel, step: opts.Step}
	if line.Output {
		l.tap = sim.TapOutput
	}
	if opts.Again != nil || !opts.Live {
		var survey mavlink.Survey
		if opts.Again != nil {
			if survey, err = surveyAgain(opts.Again, zipped, line); err != nil {
				return nil, fmt.Errorf("%s: %w", excerpt.Printable(name), err)
			}
		} else {
			begin := bufio.NewReaderSize(r, surveySize)
			piece, _ := begin.Peek(surveySize) // the reader reports an error
			survey, r = mavlink.NewSurvey(bytes.NewReader(piece), line), begin
		}
		if opts.System == 0 {
			opts.System = survey.Most()
		}
		l.step = survey.Step(opts.System)
	}
	l.Reader = mavlink.NewReader(r, name, mavlink.Options{Line: line, System: opts.System})
	return l, nil
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

func (l mavlinkLog) Tap() sim.Tap { return l.tap }
func (l mavlinkLog) Summary() any { return l.Reader.Summary() }

func (l mavlinkLog) complete(rig *sim.Rig) (after sim.Micros) {
	rig.Log.Armed = "HEARTBEAT"
	rig.Log.ArmedRange = []sim.PulseRange{mavlink.ArmedRange}
	return leastSteps * l.step
}
