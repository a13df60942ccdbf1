package chanlog

import "flicktally/sim"

// How says where a decision of the reader comes from.
type How string

// The ways in which a column or a unit is found.
const (
	HowGiven    How = "given"    // the caller said so
	HowName     How = "name"     // by the header's name
	HowNumber   How = "number"   // by the column's number
	howPosition How = "position" // by the place in the row, for lack of anything else
	howReading  How = "reading"  // the header reads as a time with a unit
	howHeader   How = "header"   // the header names the unit
	howContent  How = "content"  // from the log's content
	howSteps    How = "steps"    // from the steps between rows
	howAssumed  How = "assumed"  // assumed for lack of evidence
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
	Name   string // from the header, printable; "" without a header
	How    How
}

// Segment is a stretch of the log in which time does not run backwards.
type Segment struct {
	Line int64 // of its first row
	// Back is how far the time went back to begin it; 0 for the first.
	Back sim.Micros
	// Began is when its first row was, in µs since 1970; 0 if the log's times
	// have no date.
	Began sim.Micros
}

// Times with a date lie between these, in µs since 1970: the years 2000 and
// 2100. No clock that counts from power-on comes near.
const (
	dated     = 946_684_800_000_000
	datedUpTo = 4_102_444_800_000_000
)

// maxSegmentsListed bounds the segments in a [Summary]: more are only counted.
const maxSegmentsListed = 1000

// Summary says what became of every byte read, and how the log was interpreted,
// for what [Reader.Next] has returned so far.
type Summary struct {
	File string

	// Every byte of the log, after decompression and in UTF-8, counts in one of
	// these. A byte order mark of UTF-8 counts as preamble, without a line.
	Data     Tally // rows that were read
	Header   Tally // the header, and its repetitions
	Preamble Tally // lines before the header or the first row
	Blank    Tally // lines of nothing but spaces
	Comments Tally // between the rows; see [Options.Record]
	Skipped  Tally // lines that a lenient reader could not read
	Torn     Tally // a truncated last line
	Late     Tally // rows that are earlier than those before them, by less than a second
	Broken   Tally // rows whose time is far ahead of those around them

	Rows          int64 // samples
	HeaderRepeats int64
	Wraps         int64  // of a time that begins anew: a 32-bit counter of µs, or a clock
	Wrapped       string // what such a time is called, and that it began anew
	SegmentCount  int64
	Segments      []Segment    // the first of them
	FirstSkip     *SyntaxError // why the first of the skipped lines could not be read
	Unended       bool         // the last row has no line end; it was complete
	Gzip          bool         // the log was compressed
	UTF16         bool         // it was UTF-16
	Damage        string       // fault of the compression; a lenient reader goes on
	Delimiter     Delimiter
	DelimiterHow  How
	HasHeader     bool
	DecimalComma  bool // some number has one
	TwoValued     bool // some value of the channel is a word such as on, without configuration
	Columns       int
	Time          Column
	Channel       Column
	Date          Column // of the time; like Armed and Failsafe, the zero Column if there is none
	Armed         Column
	Failsafe      Column
	Unit          string // of a time in numbers, with its multiple: "10 ms"
	UnitHow       How
	Form          string // of the time: numbers, a clock, a date with a clock
	// Spread is the step of a clock coarser than the rows, over which they were
	// spread evenly; 0 for other clocks.
	Spread sim.Micros
	// OpenDates says that day and month of the dates are ambiguous, so the
	// dates do not count.
	OpenDates bool
}

// Bytes returns how many bytes have been accounted for.
func (s *Summary) Bytes() int64 {
	return s.all().Bytes
}

// Lines returns how many lines have been accounted for.
func (s *Summary) Lines() int64 {
	return s.all().Lines
}

func (s *Summary) all() (sum Tally) {
	for _, t := range []Tally{s.Data, s.Header, s.Preamble, s.Blank, s.Comments, s.Skipped, s.Torn, s.Late, s.Broken} {
		sum.add(t.Lines, t.Bytes)
	}
	return sum
}

// settle takes over how the log is interpreted.
func (s *Summary) settle(found *resolved, opts Options) {
	s.Delimiter, s.DelimiterHow = Delimiter(found.delim), howContent
	if opts.Delimiter != delimiterAuto {
		s.DelimiterHow = HowGiven
	}
	s.HasHeader = found.names != nil
	s.Columns = found.columns
	s.Time = found.column(found.time, found.timeHow)
	s.Channel = found.column(found.channel, found.channelHow)
	for _, c := range []struct {
		column int
		how    How
		to     *Column
	}{{found.date, found.timeHow, &s.Date}, {found.armed, found.armedHow, &s.Armed}, {found.failsafe, found.failsafeHow, &s.Failsafe}} {
		if c.column >= 0 {
			*c.to = found.column(c.column, c.how)
		}
	}
	s.Form, s.OpenDates = found.form.kind.String(), found.form.order == orderOpen
	if found.form.kind == timeNumber {
		s.Unit, s.UnitHow = found.unit, found.unitHow
	}
}
