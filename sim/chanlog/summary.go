package chanlog

import "flicktally/sim"

// How says where something that the reader settled on comes from.
type How string

// The ways in which a column or a unit is found.
const (
	HowGiven    How = "given"    // the caller said so
	HowName     How = "name"     // by the header's name
	HowNumber   How = "number"   // by the column's number
	HowPosition How = "position" // by the place in the row, as nothing else told
	HowReading  How = "reading"  // the header reads as a time with a unit
	HowHeader   How = "header"   // the header names the unit
	HowContent  How = "content"  // from what stands in the log
	HowAssumed  How = "assumed"  // nothing told
)

// Tally counts lines and their bytes, line ends included.
type Tally struct{ Lines, Bytes int64 }

func (t *Tally) add(lines, bytes int64) {
	t.Lines += lines
	t.Bytes += bytes
}

// Column is a column of the log that was read.
type Column struct {
	Number int    // from 1; 0 = none
	Name   string // as the header has it, safe to print; "" without a header
	How    How
}

// Segment is a stretch of the log in which time does not run backwards.
type Segment struct {
	Line int64 // of its first row
	// Back is how far the time went back to begin it; 0 for the first.
	Back sim.Micros
}

// Bounds of the lists in a [Summary]: what is beyond is counted only.
const (
	MaxSegmentsListed = 1000
	MaxSkipsListed    = 10
)

// Summary says what became of every byte that was read, and how the log was
// understood. It holds for what [Reader.Next] has returned so far.
type Summary struct {
	File string

	// Every byte of the log, after decompression, counts in one of these. A
	// byte order mark counts as preamble, without a line.
	Data     Tally // rows that were read
	Header   Tally // the header, and its repetitions
	Preamble Tally // what stands before the header, or before the first row
	Blank    Tally // lines of nothing but spaces
	Comments Tally // between the rows; see [Options.Comments]
	Skipped  Tally // lines that a lenient reader could not read
	Torn     Tally // a last line that breaks off

	Rows          int64 // samples
	HeaderRepeats int64
	Wraps         int64 // of a 32-bit counter of µs
	SegmentCount  int64
	Segments      []Segment // the first of them
	Skips         []*SyntaxError
	Unended       bool   // the last row has no line end; it was complete
	Gzip          bool   // the log was compressed
	Damage        string // what was wrong with the compression; a lenient reader goes on
	ByteOrderMark bool
	Delimiter     Delimiter
	DelimiterHow  How
	HasHeader     bool
	DecimalComma  bool // some number has one
	Columns       int
	Time          Column
	Channel       Column
	Armed         Column // the zero Column where the log does not tell
	Unit          sim.TimeUnit
	UnitHow       How
}

// Bytes returns how many bytes have been accounted for.
func (s *Summary) Bytes() int64 {
	return s.Data.Bytes + s.Header.Bytes + s.Preamble.Bytes + s.Blank.Bytes + s.Comments.Bytes + s.Skipped.Bytes + s.Torn.Bytes
}

// Lines returns how many lines have been accounted for.
func (s *Summary) Lines() int64 {
	return s.Data.Lines + s.Header.Lines + s.Preamble.Lines + s.Blank.Lines + s.Comments.Lines + s.Skipped.Lines + s.Torn.Lines
}

// settle takes over how the log is understood.
func (s *Summary) settle(found *resolved, opts Options) {
	s.Delimiter, s.DelimiterHow = Delimiter(found.delim), HowContent
	if opts.Delimiter != DelimiterAuto {
		s.DelimiterHow = HowGiven
	}
	s.HasHeader = found.names != nil
	s.Columns = found.columns
	s.Time = found.column(found.time, found.timeHow)
	s.Channel = found.column(found.channel, found.channelHow)
	if found.armed >= 0 {
		s.Armed = found.column(found.armed, found.armedHow)
	}
	s.Unit, s.UnitHow = found.timeUnit, found.unitHow
}
