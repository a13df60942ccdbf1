package chanlog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"flicktally/sim/problem"
)

// Every error names the place, what was found and what would be accepted; the
// excerpt has its mark at the place.
func TestErrorsNameThePlace(t *testing.T) {
	tests := []struct {
		name                 string
		time, channel, armed string
		log                  string
		explained            string
	}{
		{
			"text in a number", "", "aux2", "",
			"time_us,volts,aux2\n0,16,1000\n20,16,15x0\n",
			`found "15x0" in column "aux2", want a number, nan or nothing
  line 3, column 7 of heron.csv reads: 20,16,»15x0`,
		},
		{
			"text in the armed channel, no header", "#1", "#2", "#3",
			"0,1000,arm\n1,1000,arm\n",
			`found "arm" in column #3, want a number, nan or nothing
  line 1, column 8 of heron.csv reads: 0,1000,»arm`,
		},
		{
			"no time", "", "aux2", "",
			"time_us,aux2\n0,1000\n ,1500\n",
			`found nothing in column "time_us", want a time
  line 3, column 2 of heron.csv reads:  »,1500`,
		},
		{
			"a time that is none", "", "aux2", "",
			"time_us,aux2\nnan,1000\n",
			`found "nan" in column "time_us", want a time
  line 2, column 1 of heron.csv reads: »nan,1000`,
		},
		{
			"a time beyond all bounds", "", "aux2", "",
			"time_us,aux2\n1e30,1000\n",
			`found "1e30" in column "time_us", want a time
  line 2, column 1 of heron.csv reads: »1e30,1000`,
		},
		{
			"too few fields", "", "aux2", "",
			"time_us,aux2,arm\n0,1000\n20,1500,1\n",
			`found 2 fields, want 3
  line 2, column 1 of heron.csv reads: »0,1000`,
		},
		{
			"too many fields", "", "aux2", "",
			"time_us,aux2\n0,1000\n20,1500,7\n",
			`found 3 fields, want 2
  line 3, column 9 of heron.csv reads: 20,1500,»7`,
		},
		{
			"line and column after a quoted line break", "", "aux2", "",
			"time_us,\"note\",aux2\n0,\"a\nb\",x\n",
			`found "x" in column "aux2", want a number, nan or nothing
  line 3, column 4 of heron.csv reads: b",»x`,
		},
		{
			"text after a closing quote", "", "aux2", "",
			"time_us,note,aux2\n0,\"a\"b,1000\n20,c,1500\n",
			`found text after a closing quote, want a delimiter or the end of the line
  line 2, column 6 of heron.csv reads: 0,"a"»b,1000`,
		},
		{
			"a quote that never closes", "", "aux2", "",
			"time_us,note,aux2\n0,\"a,1000\n20,c,1500\n",
			`found a quote that is not closed, want a quote after the field
  line 2, column 3 of heron.csv reads: 0,»"a,1000`,
		},
		{
			"a byte 0 among the rows", "", "aux2", "",
			"time_us,aux2\n0,1000\n20,\x001500\n",
			`found a byte 0, as in binary files, want a row of numbers
  line 3, column 4 of heron.csv reads: 20,»·1500`,
		},
		{
			"a recording in a binary format with a header in text", "", "aux2", "",
			"H craft:Heron\nH fields:time_us,aux2\nI\x00\x10\n\x7f\x00\n",
			`found a byte 0, as in a recording in a binary format, want a log in text
  in line 3, column 2 of heron.csv
  → convert it to CSV with the program that made it`,
		},
		{
			"a binary file", "", "aux2", "",
			"\x7fELF\x02\x01\x01\x00\x00\n",
			`found a byte 0, as in a recording in a binary format, want a log in text
  in line 1, column 8 of heron.csv
  → convert it to CSV with the program that made it`,
		},
		{
			"an empty log", "", "aux2", "", "",
			"found an empty log, want a header and rows of numbers\n  in line 1, column 1 of heron.csv",
		},
		{
			"a header only", "", "aux2", "", "time_us,aux2\n",
			`found the end of the log and no row, want rows of numbers after the header
  line 1, column 1 of heron.csv reads: »time_us,aux2`,
		},
		{
			"text only", "", "aux2", "", "start line\nfinish\n",
			`found no rows of numbers and no header with the wanted names, want a header and rows of numbers
  line 1, column 1 of heron.csv reads: »start line`,
		},
		{
			"an unknown channel", "", "aux3", "", "time_us,aux1,aux2\n0,1,1000\n20,1,1500\n",
			`found the columns "time_us", "aux1", "aux2", want the channel in a column named "aux3"
  line 1, column 1 of heron.csv reads: »time_us,aux1,aux2
  → try "aux1"`,
		},
		{
			"an unknown time", "", "aux2", "", "when,aux2\n0,1000\n20,1500\n",
			`found the columns "when", "aux2", want the time in a column named "time_us"
  line 1, column 1 of heron.csv reads: »when,aux2
  → say which column it is: time = "NAME" or "#2" under [log]`,
		},
		{
			"two columns that read as a time", "", "aux2", "", "time_ms,time_s,aux2\n0,0,1000\n20,0,1500\n",
			`found the columns "time_ms", "time_s", "aux2", want the time in a column named "time_us"
  line 1, column 1 of heron.csv reads: »time_ms,time_s,aux2
  → try "time_ms"`,
		},
		{
			"no channel asked for among many", "", "", "", "time_us,aux1,aux2\n0,1,1000\n20,1,1500\n",
			`found the columns "time_us", "aux1", "aux2", want the name or the number of the channel's column
  line 1, column 1 of heron.csv reads: »time_us,aux1,aux2
  → say which column holds the channel: channel = "NAME" or "#2" under [log]`,
		},
		{
			"names, and no header", "", "aux2", "", "0,1,1000\n20,1,1500\n",
			`found 3 columns and no header, want the channel in a column named "aux2"
  line 1, column 1 of heron.csv reads: »0,1,1000
  → say which column it is: channel = "NAME" or "#2" under [log]`,
		},
		{
			"a number beyond the columns", "", "#4", "", "time_us,aux1,aux2\n0,1,1000\n20,1,1500\n",
			`found the columns "time_us", "aux1", "aux2", want the channel in column #4
  line 1, column 1 of heron.csv reads: »time_us,aux1,aux2
  → columns count from #1`,
		},
		{
			"a name that stands twice", "", "aux2", "", "time_us,aux2,AUX2\n0,1,1000\n20,1,1500\n",
			`found two columns named "aux2", #2 and #3, want one for the channel
  line 1, column 1 of heron.csv reads: »time_us,aux2,AUX2
  → say which by its number: channel = "#2" under [log]`,
		},
		{
			"one column for time and channel", "", "time_us", "", "time_us,aux2\n0,1000\n",
			`found column #1 for both the time and the channel, want two columns
  line 1, column 1 of heron.csv reads: »time_us,aux2`,
		},
		{
			"a unit that nothing tells", "", "aux2", "", "time,aux2\n0,1000\n20000000,1000\n40000000,1500\n",
			`found rows 2e+07 apart in column "time", which does not name its unit, want a unit that makes them 0.2 ms to 0.5 s apart
  line 1, column 1 of heron.csv reads: »time,aux2
  → say which unit it is: unit = "us", "ms" or "s" under [log], or --unit`,
		},
		{
			"a unit that could be two", "", "aux2", "", "time,aux2\n0,1000\n300,1000\n600,1500\n" + longLog(300, 20000),
			`found rows 300 apart in column "time", which does not name its unit, want a unit that makes them 0.2 ms to 0.5 s apart
  line 1, column 1 of heron.csv reads: »time,aux2
  → say which unit it is: unit = "us", "ms" or "s" under [log], or --unit`,
		},
		{
			"a quoted field over several lines", "", "aux2", "",
			"time_us,note,aux2\n0,a,1000\n20,\"b,1500\n40,c,1500\n60,d\",1000\n",
			`found a quoted field that runs over a line end, want a quote that closes on its line, as no text before it is quoted
  line 3, column 4 of heron.csv reads: 20,»"b,1500`,
		},
		{
			"a file with other columns put after the first", "", "aux2", "", "time_us,aux2,arm\n0,1000,1\ntime_us,arm,aux2\n20,1,1500\n",
			`found a header with other columns, want the columns of the first header
  line 3, column 1 of heron.csv reads: »time_us,arm,aux2`,
		},
		{
			"the same, and the time is not the first column", "", "aux2", "", "volts,aux2,time_us\n16,1000,0\naux2,volts,time_us\n1500,16,20\n",
			`found a header with other columns, want the columns of the first header
  line 3, column 1 of heron.csv reads: »aux2,volts,time_us`,
		},
		{
			"escape sequences", "", "aux3", "", "time_us,\x1b[31maux2\u202e,x\n0,1000,1\n20,1500,1\n",
			"found the columns \"time_us\", \"\\x1b[31maux2\\u202e\", \"x\", want the channel in a column named \"aux3\"\n" +
				"  line 1, column 1 of heron.csv reads: »time_us,·[31maux2·,x\n" +
				"  → say which column it is: channel = \"NAME\" or \"#2\" under [log]",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read([]byte(test.log), Options{Spec: spec(test.time, test.channel, test.armed)}, w)
				if got := problem.Explain(out.err); got != test.explained {
					t.Errorf("%+v: got\n%s\nwant\n%s", w, got, test.explained)
				}
			}
		})
	}
}

// longLog has rows that are a step apart, the first at three steps.
func longLog(step, rows int) string {
	var log strings.Builder
	for i := range rows {
		fmt.Fprintf(&log, "%d,1000\n", step*(i+3))
	}
	return log.String()
}

// The samples before an error come first.
func TestReaderReturnsWhatStandsBeforeAnError(t *testing.T) {
	for _, w := range ways {
		out := read([]byte("time_us,aux2\n0,1000\n20,1500\n40,x\n60,1000\n"), Options{Spec: spec("", "", "")}, w)
		if out.rows != "0 1000, 20 1500" || out.err == nil {
			t.Errorf("%+v: got %q, error %v", w, out.rows, out.err)
		}
	}
}

func TestReaderRepeatsItsError(t *testing.T) {
	r := NewReader(strings.NewReader(""), "heron.csv", Options{Spec: spec("", "", "")})
	_, first := r.Next()
	if _, again := r.Next(); first == nil || again != first {
		t.Errorf("got %v, then %v", first, again)
	}
}

func TestLenientReaderSkipsAndCounts(t *testing.T) {
	tests := []struct {
		name, channel, log, want string
		skipped                  Tally
	}{
		{"a bad number", "aux2", "time_us,aux2\n0,1000\n20,x\n40,1500\n", "0 1000, 40 1500", Tally{1, 5}},
		{"no time", "aux2", "time_us,aux2\n0,1000\n,1500\n40,1500\n", "0 1000, 40 1500", Tally{1, 6}},
		{"too few and too many fields", "aux2", "time_us,aux2\n0\n0,1000\n1,2,3\n", "0 1000", Tally{2, 8}},
		{"a quote that never closes costs its line", "aux2", "time_us,note,aux2\n0,\"a,1000\n20,b,1500\n", "0 1500", Tally{1, 10}},
		{"text after a closing quote", "aux2", "time_us,note,aux2\n0,\"a\"b,1000\n20,b,1500\n", "0 1500", Tally{1, 12}},
		{"a byte 0", "aux2", "time_us,aux2\n0,\x00\n20,1500\n", "0 1500", Tally{1, 4}},
		{"a line that is too long", "aux2", "time_us,aux2\n0,1000\n" + strings.Repeat("x", 3<<20) + "\n20,1500\n", "0 1000, 20 1500", Tally{1, 3<<20 + 1}},
		{"a line that is too long and never ends", "aux2", "time_us,aux2\n0,1000\n" + strings.Repeat("x", 3<<20), "0 1000", Tally{1, 3 << 20}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read([]byte(test.log), Options{Spec: spec("", test.channel, ""), Lenient: true}, w)
				if out.err != nil || out.rows != test.want || out.sum.Skipped != test.skipped {
					t.Errorf("%+v: got %q, error %v, skipped %+v, want %q, %+v", w, out.rows, out.err, out.sum.Skipped, test.want, test.skipped)
				}
				if out.sum.total().Bytes != int64(len(test.log)) {
					t.Errorf("%+v: %d bytes accounted for, want %d", w, out.sum.total().Bytes, len(test.log))
				}
				if (out.sum.FirstSkip != nil) != (test.skipped.Lines > 0) {
					t.Errorf("%+v: first skipped %v, want %d", w, out.sum.FirstSkip, test.skipped.Lines)
				}
			}
		})
	}
}

// A file with other columns would be read wrongly, so leniency does not help.
func TestLenientReaderRefusesAnotherHeader(t *testing.T) {
	log := "time_us,aux2,arm\n0,1000,1\ntime_us,arm,aux2\n20,1,1500\n"
	if out := read([]byte(log), Options{Spec: spec("", "aux2", ""), Lenient: true}, plainWay); out.err == nil {
		t.Errorf("got %q", out.rows)
	}
}

func TestReaderBoundsLinesAndColumns(t *testing.T) {
	tests := []struct{ name, log, want string }{
		{"a row", "time_us,aux2\n0,1000\n" + strings.Repeat("x", maxLine+1), "heron.csv:3:1: found a line of more than 1 MiB, want a row of numbers"},
		{"a record of many lines", "time_us,aux2\n0,1000\n1,\"" + strings.Repeat("x\n", maxLine) + "\"\n", "heron.csv:3:3: found a quote that is not closed, want a quote after the field"},
		{"the first line", strings.Repeat("x", 2*maxLine), "heron.csv:1:1: found a line of more than 1 MiB, want a header and rows of numbers"},
		{"the preamble", strings.Repeat(strings.Repeat("start line ", 93)+"\n", maxLine/1000), "heron.csv:1:1: found 1 MiB without a header, want a header and rows of numbers"},
		{"the header", "time_us,aux2" + strings.Repeat(",", maxColumns) + "\n0,1000\n", "heron.csv:1:1: found 20000 columns or more, want fewer"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read([]byte(test.log), Options{Spec: spec("", "aux2", "")}, w)
				if got := syntaxError(t, out).Error(); got != test.want {
					t.Errorf("%+v: got %s, want %s", w, got, test.want)
				}
			}
		})
	}
}

func TestReaderTellsOfDamagedCompression(t *testing.T) {
	log := "time_us,aux2\n0,1000\n20,1500\n40,1000\n"
	whole := zipped(t, log)
	spoilt := bytes.Clone(whole)
	spoilt[len(spoilt)-8] ^= 1 // the checksum, RFC 1952 §2.3
	tests := []struct {
		name, rows, err string
		log             []byte
	}{
		{"breaks off", "0 1000, 20 1500, 40 1000", "heron.csv:4: the compressed log breaks off", whole[:len(whole)-4]},
		{"checksum", "0 1000, 20 1500, 40 1000", "heron.csv:4: the compressed log is damaged: gzip: invalid checksum", spoilt},
		{"breaks off in its header", "", "heron.csv: the compressed log breaks off", whole[:5]},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read(test.log, Options{Spec: spec("", "", "")}, w)
				if out.err == nil || out.err.Error() != test.err || out.rows != test.rows {
					t.Errorf("%+v: got %q, error %v, want %q, %s", w, out.rows, out.err, test.rows, test.err)
				}
				lenient := read(test.log, Options{Spec: spec("", "", ""), Lenient: true}, w)
				if test.rows != "" && (lenient.err != nil || lenient.sum.Damage == "" || lenient.rows != test.rows) {
					t.Errorf("%+v, lenient: got %q, error %v, damage %q", w, lenient.rows, lenient.err, lenient.sum.Damage)
				}
			}
		})
	}
}

// A last line may have been cut where the stream breaks off, even if it reads
// as a row.
func TestReaderDropsTheLastLineWhereTheStreamBreaksOff(t *testing.T) {
	broken := errors.New("card removed")
	log := []byte("time_us,aux2\n0,1000\n20,15")
	for _, w := range ways {
		w.reader = func(r io.Reader) io.Reader { return io.MultiReader(r, iotest.ErrReader(broken)) }
		out := read(log, Options{Spec: spec("", "", ""), Lenient: true}, w)
		if !errors.Is(out.err, broken) || out.rows != "0 1000" || out.sum.Torn.Bytes != 5 {
			t.Errorf("%+v: got %q, error %v, %+v", w, out.rows, out.err, out.sum.Torn)
		}
	}
}

func TestErrorsAreSafeToPrint(t *testing.T) {
	e := syntaxError(t, read([]byte("time_us,aux2\n0,\x1b]0;x\x07\n1,2\n"), Options{Spec: spec("", "", "")}, plainWay))
	e.File = "a\x1b[2J.csv"
	if text := problem.Explain(e); strings.ContainsAny(text, "\x1b\x07") {
		t.Errorf("got %q", text)
	}
	if want := `a\x1b[2J.csv:2:3: found "\x1b]0;x\a" in column "aux2", want a number, nan or nothing`; e.Error() != want {
		t.Errorf("got %s, want %s", e.Error(), want)
	}
}

// The excerpt of a long line shows what is around the place.
func TestExcerptIsBounded(t *testing.T) {
	log := "time_us," + strings.Repeat("a,", 500) + "aux2\n0," + strings.Repeat("5,", 500) + "x\n"
	e := syntaxError(t, read([]byte(log), Options{Spec: spec("", "aux2", "")}, plainWay))
	if want := "found \"x\" in column \"aux2\", want a number, nan or nothing\n  line 2, column 1003 of heron.csv reads: …" + strings.Repeat("5,", 25) + "»x"; problem.Explain(e) != want {
		t.Errorf("got\n%s\nwant\n%s", problem.Explain(e), want)
	}
	if e.Column != 1003 {
		t.Errorf("got column %d", e.Column)
	}
}
