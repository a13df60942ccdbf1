package chanlog

import (
	"fmt"
	"strconv"
	"strings"

	"flicktally/sim"
)

// Reading describes how the log was read, for the user.
func (s *Summary) Reading() sim.Reading {
	began := make([]sim.Micros, len(s.Segments))
	for i, segment := range s.Segments {
		began[i] = segment.Began
	}
	return sim.Reading{
		Facts: []string{s.interpretation(), s.accounting()}, Odd: s.warnings(),
		SkippedLines: s.Skipped.Lines, TornLines: s.Torn.Lines, Began: began,
	}
}

// interpretation says how the log was interpreted, and which option overrides what
// the reader decided itself; "" before the first row.
func (s *Summary) interpretation() string {
	if s.Columns == 0 {
		return ""
	}
	time, values := s.Time.String(), ""
	if s.Date.Number > 0 {
		time = s.Date.String() + " + " + time
	}
	if s.TwoValued {
		values = "two-valued words"
	}
	unit, unitHow, unitOption := s.Unit, s.UnitHow, "unit"
	if unit == "" {
		unit, unitHow, unitOption = s.Form, howContent, "time"
	}
	var parts []string
	for _, d := range []struct {
		what, found string
		how         How
		option      string
	}{
		{"delimiter", s.Delimiter.String(), s.DelimiterHow, "delimiter"},
		{"time", time, s.Time.How, "time"},
		{"unit", unit, unitHow, unitOption},
		{"channel", s.Channel.String(), s.Channel.How, "channel"},
		{"values", values, howContent, "words"},
		{"armed", s.Armed.String(), s.Armed.How, "armed"},
		{"failsafe", s.Failsafe.String(), s.Failsafe.How, "failsafe"},
	} {
		how := string(d.how)
		if d.how != howGiven && d.how != howName && d.how != howNumber {
			how += "; --" + d.option
		}
		if d.found != "" {
			parts = append(parts, fmt.Sprintf("%s %s (%s)", d.what, d.found, how))
		}
	}
	return strings.Join(parts, ", ")
}

// String names the column: `#7 "aux2"`, or "#7" without a header; "" for none.
func (c Column) String() string {
	if c.Number == 0 {
		return ""
	}
	text := "#" + strconv.Itoa(c.Number)
	if c.Name != "" {
		text += ` "` + c.Name + `"`
	}
	return text
}

// warnings lists what was odd or assumed, most important first.
func (s *Summary) warnings() []string {
	var out []string
	warn := func(when bool, format string, args ...any) {
		if when {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	warn(s.Damage != "", "the compressed log breaks off or is damaged (%s): what comes before was read", s.Damage)
	warn(s.Skipped.Lines > 0, "%s that could not be read left out, %s", plural(s.Skipped.Lines, "line"), plural(s.Skipped.Bytes, "byte")+s.firstSkip())
	warn(s.Torn.Lines > 0, "the last line is cut off and was left out, %s", plural(s.Torn.Bytes, "byte"))
	warn(s.Unended, "the last line has no line end; it is complete and counts")
	warn(s.SegmentCount > 1, "time runs backwards %s: %s, each replayed separately", times(s.SegmentCount-1), plural(s.SegmentCount, "segment"))
	warn(s.Late.Lines > 0, "%s came late, earlier than the one before by less than a second, and left out", plural(s.Late.Lines, "row"))
	warn(s.Broken.Lines > 0, "%s left out whose time is more than 10 s ahead of the rows around it", plural(s.Broken.Lines, "row"))
	warn(s.Spread > 0, "most rows share their time with others, as the clock has steps of %s: they were spread evenly over it", s.Spread)
	warn(s.OpenDates, "day and month of the dates are ambiguous: only the clock was read, across midnight")
	warn(s.UnitHow == howAssumed, "nothing shows the unit of the time: µs assumed; unit = \"ms\" or \"s\" under [log] overrides that")
	warn(s.UnitHow == howSteps, "the unit of the time is not named: %s assumed, from the time between rows; unit = \"NAME\" under [log] overrides that", s.Unit)
	warn(s.Time.How == howReading, "no column is named %q: column %s used, as it reads as a time; time = \"NAME\" under [log] overrides that", defaultTime, s.Time)
	warn(s.Time.How == howPosition && s.HasHeader, "no column is named %q: column %s used as the time, the first of two; time = \"NAME\" under [log] overrides that", defaultTime, s.Time)
	warn(s.Wraps > 0, "%s %s; the time continues", s.Wrapped, times(s.Wraps))
	warn(s.DecimalComma, "commas were read as decimal marks")
	warn(s.HeaderRepeats > 0, "the header is repeated %s", times(s.HeaderRepeats))
	return out
}

// firstSkip says where the first skipped line is, and why it was skipped.
func (s *Summary) firstSkip() string {
	if s.FirstSkip == nil {
		return ""
	}
	return fmt.Sprintf("; the first is line %d: found %s, want %s", s.FirstSkip.Line, s.FirstSkip.Found, s.FirstSkip.Want)
}

// accounting says how every byte counts: "1200 bytes: data 11 lines (1100
// bytes), header 1 line (100 bytes)". Kinds that do not occur are left out.
func (s *Summary) accounting() string {
	var parts []string
	for _, t := range s.tallies() {
		if t.Bytes > 0 {
			parts = append(parts, fmt.Sprintf("%s %s (%s)", t.name, plural(t.Lines, "line"), plural(t.Bytes, "byte")))
		}
	}
	all := plural(s.total().Bytes, "byte")
	if s.UTF16 {
		all = "UTF-16, as UTF-8 " + all
	}
	return all + ": " + strings.Join(parts, ", ")
}

func plural(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

func times(n int64) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
