package chanlog

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestAccountingNamesEveryKind(t *testing.T) {
	log := "\xef\xbb\xbfHeron\n\ntime_us,aux2\n0,1000\nx,1\ntime_us,aux2\n20,1500\n40,15\n60,"
	log = strings.TrimSuffix(log, "60,") + "60"
	out := read([]byte(log), Options{Spec: spec("", "", ""), Lenient: true}, plainWay)
	want := "65 bytes: data 3 lines (21 bytes), header 2 lines (26 bytes), preamble 1 line (9 bytes), blank 1 line (1 byte), skipped 1 line (4 bytes), torn 1 line (2 bytes)"
	want = strings.Replace(want, "65 bytes", fmt.Sprint(len(log), " bytes"), 1)
	if got := out.sum.accounting(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestWarningsSayWhatWasOddOrAssumed(t *testing.T) {
	tests := []struct {
		name, log string
		lenient   bool
		want      []string
	}{
		{"nothing odd", "time_us,aux2\n0,1000\n", false, nil},
		{"skipped", "time_us,aux2\n0,1000\nx,1\n", true, []string{
			`1 line that could not be read left out, 4 bytes; the first is line 3: found "x" in column "time_us", want a time`}},
		{"torn", "time_us,aux2\n0,1000\n20", false, []string{"the last line is cut off and was left out, 2 bytes"}},
		{"the last line goes back in time", "time_us,aux2\n900,1000\n1200,1000\n13", false, []string{"the last line is cut off and was left out, 2 bytes"}},
		{"the last time is cut", "aux2,time_us\n1000,900\n1000,1200\n1000,13", false, []string{"the last line is cut off and was left out, 7 bytes"}},
		{"no line end", "time_us,aux2\n0,1000", false, []string{"the last line has no line end; it is complete and counts"}},
		{"segments", "time_us,aux2\n9000000,1000\n5000000,1000\n0,1000\n", false, []string{"time runs backwards 2 times: 3 segments, each replayed separately"}},
		{"late", "time_us,aux2\n10,1000\n5,1000\n20,1000\n", false, []string{"1 row came late, earlier than the one before by less than a second, and left out"}},
		{"broken", "time_us,aux2\n10,1000\n50000000,1000\n20,1000\n", false, []string{"1 row left out whose time is more than 10 s ahead of the rows around it"}},
		{"a coarse clock", "time_s,aux2\n0,1000\n0,1000\n0,1000\n1,1000\n1,1000\n1,1000\n", false, []string{
			`most rows share their time with others, as the clock has steps of 1s: they were spread evenly over it`,
			`no column is named "time_us": column #1 "time_s" used, as it reads as a time; time = "NAME" under [log] overrides that`,
		}},
		{"a unit by its steps", "0,1000\n20,1000\n", false, []string{`the unit of the time is not named: ms assumed, from the time between rows; unit = "NAME" under [log] overrides that`}},
		{"dates that could be two", "Date,Time,aux2\n05/03/2026,11:03:56.470,1000\n", false, []string{
			"day and month of the dates are ambiguous: only the clock was read, across midnight",
			`no column is named "time_us": column #2 "Time" used, as it reads as a time; time = "NAME" under [log] overrides that`,
		}},
		{"no unit", "0,1000\n", false, []string{`nothing shows the unit of the time: µs assumed; unit = "ms" or "s" under [log] overrides that`}},
		{"a time of another name", "t [s],aux2\n0,1000\n", false, []string{`no column is named "time_us": column #1 "t [s]" used, as it reads as a time; time = "NAME" under [log] overrides that`}},
		{"the first of two columns", "when,aux2\n0,1000\n", false, []string{
			`nothing shows the unit of the time: µs assumed; unit = "ms" or "s" under [log] overrides that`,
			`no column is named "time_us": column #1 "when" used as the time, the first of two; time = "NAME" under [log] overrides that`,
		}},
		{"wrapped", "time_us,aux2\n4294967295,1000\n0,1000\n", false, []string{"a 32-bit counter of µs wrapped once; the time continues"}},
		{"decimal comma", "time_us;aux2\n0;1000,5\n", false, []string{"commas were read as decimal marks"}},
		{"header again", "time_us,aux2\n0,1000\ntime_us,aux2\n", false, []string{"the header is repeated once"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			out := read([]byte(test.log), Options{Spec: spec("", "", ""), Lenient: test.lenient}, plainWay)
			if got := out.sum.warnings(); out.err != nil || !slices.Equal(got, test.want) {
				t.Errorf("got %q, error %v, want %q", got, out.err, test.want)
			}
		})
	}
}

func TestReadingSaysWhatWasFoundAndHow(t *testing.T) {
	out := read([]byte("Time [ms];arm;Aux2\n0;1800;1000\n"), Options{Spec: spec("", "aux2", "#2")}, plainWay)
	want := `delimiter semicolon (content; --delimiter), time #1 "Time [ms]" (reading; --time), ` +
		`unit ms (header; --unit), channel #3 "Aux2" (name), armed #2 "arm" (number)`
	if got := out.sum.Reading().Facts[0]; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if before := (&Summary{}).Reading().Facts[0]; before != "" {
		t.Errorf("before the first row: %v", before)
	}
}

// A log with only steps backwards does not fill the memory.
func TestSummaryBoundsItsLists(t *testing.T) {
	var log strings.Builder
	log.WriteString("time_us,aux2\n")
	for i := range 3000 {
		fmt.Fprintf(&log, "%d,1000\nx,1\n", (3000-i)*1_000_000)
	}
	out := read([]byte(log.String()), Options{Spec: spec("", "", ""), Lenient: true}, plainWay)
	if out.sum.SegmentCount != 3000 || len(out.sum.Segments) != maxSegmentsListed {
		t.Errorf("got %d segments, %d listed", out.sum.SegmentCount, len(out.sum.Segments))
	}
	if out.sum.Skipped.Lines != 3000 || out.sum.FirstSkip.Line != 3 {
		t.Errorf("got %d skipped, the first in line %d", out.sum.Skipped.Lines, out.sum.FirstSkip.Line)
	}
}

// Names of the log are printable in the summary.
func TestSummaryIsSafeToPrint(t *testing.T) {
	out := read([]byte("time_us,\x1b[2Jaux\n0,1000\n"), Options{Spec: spec("", "", "")}, plainWay)
	if want := `\x1b[2Jaux`; out.sum.Channel.Name != want {
		t.Errorf("got %q, want %q", out.sum.Channel.Name, want)
	}
}
