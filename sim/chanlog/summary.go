package chanlog

import "flicktally/sim"

// How says how the reader decided something.
type How string

// The ways in which a column or a unit is found.
const (
	howGiven    How = "given"    // the caller gave it
	howName     How = "name"     // by the name in the header
	howNumber   How = "number"   // by the number of the column
	howPosition How = "position" // by its place in the row, as nothing else shows it
	howReading  How = "reading"  // the header reads as a time with a unit
	howHeader   How = "header"   // the header names the unit
	howContent  How = "content"  // from the content of the log
	howSteps    How = "steps"    // from the steps between rows
	howAssumed  How = "assumed"  // assumed, as nothing shows it
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

// Segment is a part of the log in which time does not run backwards.
type Segment struct {
	Line int64 // of its first row
	// Back is how far the time went back at its start; 0 for the first.
	Back sim.Micros
	// Began is the time of its first row, in µs since 1970; 0 if the times have
	// no date.
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

// Summary says what happened to every byte read, and how the log was
// interpreted, up to what [Reader.Next] has returned.
type Summary struct {
	File string

	// Every byte of the log, after decompression and in UTF-8, counts in one of
	// these. A byte order mark of UTF-8 counts as preamble, without a line.
	Data     Tally // rows that were read
	Header   Tally // the header and its repetitions
	Preamble Tally // lines before the header or the first row
	Blank    Tally // lines with only spaces
	Comments Tally // between the rows; see [Options.Record]
	Skipped  Tally // lines that a lenient reader could not read
	Torn     Tally // a truncated last line
	Late     Tally // rows earlier than those before them, by less than a second
	Broken   Tally // rows whose time is far ahead of those around them

	Rows          int64 // samples
	HeaderRepeats int64
	Wraps         int64  // of a 32-bit counter of µs, or of a clock
	Wrapped       string // says what wrapped
	SegmentCount  int64
	Segments      []Segment    // the first [maxSegmentsListed]
	FirstSkip     *SyntaxError // why the first of the skipped lines could not be read
	Unended       bool         // the last row has no line end, and is complete
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
	// OpenDates says that day and month of the dates are ambiguous, so that the
	// dates are not used.
	OpenDates bool
}

// namedTally is a tally and what it counts.
type namedTally struct {
	Tally
	name string
}

func (s *Summary) tallies() []namedTally {
	return []namedTally{
		{s.Data, "data"}, {s.Header, "header"}, {s.Preamble, "preamble"}, {s.Blank, "blank"}, {s.Comments, "comments"},
		{s.Skipped, "skipped"}, {s.Torn, "torn"}, {s.Late, "late"}, {s.Broken, "broken"},
	}
}

// total returns the sum of all tallies.
func (s *Summary) total() (sum Tally) {
	for _, t := range s.tallies() {
		sum.add(t.Lines, t.Bytes)
	}
	return sum
}

// settle records how the log is interpreted.
func (s *Summary) settle(found *resolved, opts Options) {
	s.Delimiter, s.DelimiterHow = Delimiter(found.delim), howContent
	if opts.Delimiter != delimiterAuto {
		s.DelimiterHow = howGiven
	}
	s.HasHeader = found.names != nil
	s.Columns = found.columns
	s.Time = found.describe(found.time, found.timeHow)
	s.Channel = found.describe(found.channel, found.channelHow)
	s.Date = found.describe(found.date, found.timeHow)
	s.Armed = found.describe(found.armed, found.armedHow)
	s.Failsafe = found.describe(found.failsafe, found.failsafeHow)
	s.Form, s.OpenDates = found.form.kind.String(), found.form.order == orderOpen
	if found.form.kind == timeNumber {
		s.Unit, s.UnitHow = found.unit, found.unitHow
	}
}
