package chanlog

import (
	"bytes"
	"compress/gzip"
	"strings"
	"testing"

	"flicktally/sim"
)

// ways are those in which every log of the tables is read: they make no difference.
var ways = []way{
	plainWay,
	{tuning: tuning{buffer: 16}},
	{tuning: tuning{buffer: 64}, ahead: true},
	{tuning: tuning{buffer: defaultTuning.buffer, general: true}},
	{tuning: tuning{buffer: 16, general: true}},
}

// The dialects and the dirt that loggers write: common practice, no source but
// RFC 4180 for quotes.
func TestReaderReadsWhatLoggersWrite(t *testing.T) {
	tests := []struct {
		name                 string
		time, channel, armed string
		log                  string
		want                 string
	}{
		{"comma", "", "aux2", "", "time_us,aux2,volts\n0,1000,16.2\n20,1500,16.2\n", "0 1000, 20 1500"},
		{"semicolon", "", "aux2", "", "time_us;aux2;volts\n0;1000;16.2\n20;1500;16.2\n", "0 1000, 20 1500"},
		{"tab", "", "aux2", "", "time_us\taux2\tvolts\n0\t1000\t16.2\n20\t1500\t16.2\n", "0 1000, 20 1500"},
		{"byte order mark", "", "aux2", "", "\xef\xbb\xbftime_us,aux2\n0,1000\n", "0 1000"},
		{"header in other case and with spaces", "", "AUX2", "Arm", "Time_us , aux2,ARM\n0, 1000 ,1800\n 20,1500,1000\n", "0 1000 1800, 20 1500 1000"},
		{"spaces before a quote and after", "", "aux2", "", "time_us, \"aux2\" ,x\n0, \"1000\" ,1\n", "0 1000"},
		{"preamble of all kinds", "", "aux2", "", "Heron at the lake\n\nstart line;16.2 V\n\"quoted, once\"\n1,2\na \"stray\" quote\ntime_us,aux2\n0,1000\n", "0 1000"},
		{"preamble with a quote that never closes", "", "aux2", "", "\"start line\ntime_us,aux2\n0,1000\n20,1500\n", "0 1000, 20 1500"},
		{"preamble that lists the columns", "", "aux2", "", "time_us,the time in us\naux2,the switch\ntime_us,aux2,arm\n0,1000,1\n", "0 1000"},
		{"decimal comma beside semicolons", "", "aux2", "", "time_us;aux2\n0,4;1000,5\n20,5;1500,25\n", "0 1000.5, 21 1500.25"},
		{"decimal comma beside tabs", "", "aux2", "", "time_us\taux2\n0\t1000,5\n", "0 1000.5"},
		{"decimal comma without a header", "#1", "#2", "", "0,5;1000,5\n20,5;1500\n", "0 1000.5, 20000 1500"},
		{"exponents", "", "aux2", "", "time_us,aux2\n0e0,1.0E3\n2.0e+1,15000e-1\n", "0 1000, 20 1500"},
		{"signs", "", "aux2", "", "time_us,aux2\n-20,+1000\n+0,-1500\n", "0 1000, 20 -1500"},
		{"no digit on one side of the point", "", "aux2", "", "time_us,aux2\n0.,1000.\n20,.5\n", "0 1000, 20 0.5"},
		{"empty and nan fields", "", "aux2", "arm", "time_us,aux2,arm\n0,,1800\n20,nan,\n40,NaN,\"\"\n60,1500,nan\n", "0 - 1800, 20 - -, 40 - -, 60 1500 -"},
		{"no header", "", "", "", "5,1000\n25,1500\n", "0 1000, 20000 1500"},
		{"no header, columns by number", "#2", "#4", "#3", "x,5,1800,1000,y\nx,25,1000,1500,y\n", "0 1000 1800, 20000 1500 1000"},
		{"no header and one row", "", "", "", "5,1000", "0 1000"},
		{"no header, time by default, channel by number", "", "#3", "", "5,7,1000\n25,7,1500\n", "0 1000, 20000 1500"},
		{"header, columns by number", "#1", "#2", "", "when,aux\n5,1000\n25,1500\n", "0 1000, 20000 1500"},
		{"two columns with other names", "", "", "", "clock,switch\n5,1000\n25,1500\n", "0 1000, 20000 1500"},
		{"two columns, the time second", "", "", "", "aux2,time_us\n1000,5\n1500,25\n", "0 1000, 20 1500"},
		{"a time of another name", "", "aux2", "", "aux2,Time [ms],volts\n1000,5,16.2\n1500,5.02,16.2\n", "0 1000, 20 1500"},
		{"repeated header", "", "aux2", "", "time_us,aux2\n0,1000\ntime_us,aux2\n20,1500\n", "0 1000, 20 1500"},
		{"files put together, each with a byte order mark", "", "aux2", "", "\xef\xbb\xbftime_us,aux2\n5000000,1000\n\xef\xbb\xbftime_us,aux2\n0,1500\n", "0 1000 | 0 1500"},
		{"files without a header put together, each with a byte order mark", "", "", "", "\xef\xbb\xbf0,1000\n10,1000\n\xef\xbb\xbf20,1500\n", "0 1000, 10000 1000, 20000 1500"},
		{"blank lines", "", "aux2", "", "\ntime_us,aux2\n\n0,1000\n  \n20,1500\n\n", "0 1000, 20 1500"},
		{"delimiter at the end of the rows", "", "", "", "time_us,aux2\n0,1000,\n20,1500,\n", "0 1000, 20 1500"},
		{"delimiter at the end of the header", "", "", "", "time_us,aux2,\n0,1000\n20,1500\n", "0 1000, 20 1500"},
		{"delimiter at the end of all lines", "", "", "", "time_us,aux2,\n0,1000,\n20,1500,\n", "0 1000, 20 1500"},
		{"delimiter at the end, no header", "", "", "", "0,1000,\n20,1500,\n", "0 1000, 20000 1500"},
		{"a column without a name", "", "aux2", "#3", "time_us,aux2,\n0,1000,1800\n", "0 1000 1800"},
		{"one channel for both", "", "aux2", "aux2", "time_us,aux2\n0,1000\n20,\n40,1500\n", "0 1000 1000, 20 - -, 40 1500 1500"},
		{"columns in any order", "", "aux2", "arm", "arm,a,b,aux2,c,time_us,d\n1800,1,2,1000,3,0,4\n1000,1,2,1500,3,20,4\n", "0 1000 1800, 20 1500 1000"},
		{"torn last line, too few fields", "", "aux2", "", "time_us,aux2,arm\n0,1000,1\n20,15", "0 1000"},
		{"torn last line, half a number", "", "aux2", "", "time_us,aux2\n0,1000\n20,-", "0 1000"},
		{"torn last line, open quote", "", "aux2", "", "time_us,aux2,note\n0,1000,a\n20,1500,\"mark", "0 1000"},
		{"torn last line, zeros of a card that lost power", "", "aux2", "", "time_us,aux2\n0,1000\n20,15\x00\x00\x00\x00", "0 1000"},
		{"last line that lost the LF of its CRLF", "", "aux2", "", "time_us,aux2\r\n0,1000\r\n20,1500\r", "0 1000, 20 1500"},
		{"bare quote within a field that is not wanted", "", "aux2", "", "time_us,note,aux2\n0,5\" props,1000\n", "0 1000"},
		{"infinite value counts as no signal later", "", "aux2", "", "time_us,aux2\n0,inf\n20,-Infinity\n", "0 +Inf, 20 -"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, w := range ways {
				out := read([]byte(test.log), Options{Spec: spec(test.time, test.channel, test.armed)}, w)
				if out.err != nil || out.rows != test.want {
					t.Errorf("%+v: got %q, error %v, want %q", w, out.rows, out.err, test.want)
				}
				if got := out.sum.total().Bytes; got != int64(len(test.log)) {
					t.Errorf("%+v: %d bytes accounted for, want %d: %+v", w, got, len(test.log), out.sum)
				}
			}
		})
	}
}

// M0: times are whole µs since the first row of the segment, whatever the unit.
func TestReaderKnowsTheUnitOfTheTime(t *testing.T) {
	tests := []struct {
		header string
		unit   sim.TimeUnit
		how    How
	}{
		{"time_us", sim.UnitMicros, howHeader},
		{"time (ms)", sim.UnitMillis, howHeader},
		{"t [s]", sim.UnitSeconds, howHeader},
		{"time_s", sim.UnitSeconds, howHeader},
		{"Time/ms", sim.UnitMillis, howHeader},
		{"timeMs", sim.UnitMillis, howHeader},
		{"Elapsed Seconds", sim.UnitSeconds, howHeader},
		{"time [µs]", sim.UnitMicros, howHeader},      // U+00B5, the micro sign
		{"time [\u03bcs]", sim.UnitMicros, howHeader}, // the Greek letter
		{"time [\xb5s]", sim.UnitMicros, howHeader},   // Latin-1
		{"time_us_since_boot", sim.UnitMicros, howHeader},
	}
	for _, test := range tests {
		t.Run(test.header, func(t *testing.T) {
			out := read([]byte(test.header+",aux2\n1,1000\n3,1500\n"), Options{Spec: spec(test.header, "aux2", "")}, plainWay)
			if out.err != nil || out.sum.Unit != string(test.unit) || out.sum.UnitHow != test.how {
				t.Fatalf("got %s, %s, error %v, want %s, %s", out.sum.Unit, out.sum.UnitHow, out.err, test.unit, test.how)
			}
			want := map[sim.TimeUnit]string{
				sim.UnitMicros:  "0 1000, 2 1500",
				sim.UnitMillis:  "0 1000, 2000 1500",
				sim.UnitSeconds: "0 1000, 2000000 1500",
			}[test.unit]
			if out.rows != want {
				t.Errorf("got %q, want %q", out.rows, want)
			}
		})
	}
	t.Run("given", func(t *testing.T) {
		s := spec("", "aux2", "")
		s.Unit = sim.UnitSeconds
		out := read([]byte("time_us,aux2\n1,1000\n3,1500\n"), Options{Spec: s}, plainWay)
		if out.rows != "0 1000, 2000000 1500" || out.sum.UnitHow != howGiven {
			t.Errorf("got %q, %s", out.rows, out.sum.UnitHow)
		}
	})
}

func TestReaderScalesBothChannels(t *testing.T) {
	// µs = 0.625 · counts + 880: the 11-bit serial receiver's counts; common
	// practice, no source.
	s := spec("", "aux2", "arm")
	s.Scale, s.Offset = 0.625, 880
	out := read([]byte("time_us,aux2,arm\n0,172,1811\n20,992,\n"), Options{Spec: s}, plainWay)
	if want := "0 987.5 2011.875, 20 1500 -"; out.rows != want {
		t.Errorf("got %q, want %q", out.rows, want)
	}
}

func TestReaderUnwrapsACounterAndBeginsSegments(t *testing.T) {
	tests := []struct {
		name     string
		header   string
		times    string // one row each
		want     string // times, " | " between segments
		wraps    int64
		segments int64
	}{
		{"a 32-bit counter of µs wraps", "time_us", "4294967290 4294967295 0 5", "0, 5, 6, 11", 1, 1},
		{"it wraps again an hour later", "time_us", "4294967290 4 2000000000 4294967295 1", "0, 10, 2000000006, 4294967301, 4294967303", 2, 1},
		{"too far before the end of the counter", "time_us", "4200000000 5 6", "0 | 0, 1", 0, 2},
		{"too far after 0", "time_us", "4294967290 90000000", "0 | 0", 0, 2},
		{"not in ms", "time_ms", "4294967290 5", "0 | 0", 0, 2},
		{"late, and in time again", "time_us", "10 20 19 30", "0, 10, 20", 0, 1},
		{"late by just less than a second", "time_us", "1000020 21 1000030", "0, 10", 0, 1},
		{"backwards by a second", "time_us", "1000020 20 30", "0 | 0, 10", 0, 2},
		{"backwards twice", "time_us", "5000000 3000000 1", "0 | 0 | 0", 0, 3},
		{"one row far ahead", "time_us", "10 20000000 30 40", "0, 20, 30", 0, 1},
		{"one row far ahead, and a late one", "time_us", "10 20000000 9 40", "0, 30", 0, 1},
		{"a gap of 10 s", "time_us", "10 10000010 10000020", "0, 10000000, 10000010", 0, 1},
		{"a longer gap", "time_us", "10 20000000 20000030", "0, 19999990, 20000020", 0, 1},
		{"a longer gap before the last row", "time_us", "10 20000000", "0, 19999990", 0, 1},
		{"two rows far ahead begin a segment after them", "time_us", "10 20000000 20000010 30", "0, 19999990, 20000000 | 0", 0, 2},
		{"equal times stay", "time_us", "10 10 10", "0, 0, 0", 0, 1},
		{"below 0", "time_us", "-30 -10 0", "0, 20, 30", 0, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			log := test.header + ",aux2\n" + strings.ReplaceAll(test.times, " ", ",1000\n") + ",1000\n"
			for _, w := range ways {
				out := read([]byte(log), Options{Spec: spec(test.header, "aux2", "")}, w)
				if got := strings.NewReplacer(" 1000,", ",", " 1000 |", " |").Replace(out.rows + ","); out.err != nil || strings.TrimSuffix(got, ",") != test.want {
					t.Errorf("%+v: got %q, error %v, want %q", w, got, out.err, test.want)
				}
				if out.sum.Wraps != test.wraps || out.sum.SegmentCount != test.segments || len(out.sum.Segments) != int(test.segments) {
					t.Errorf("%+v: got %d wraps, %d segments, want %d, %d", w, out.sum.Wraps, out.sum.SegmentCount, test.wraps, test.segments)
				}
			}
		})
	}
}

func TestReaderFindsTheDelimiterOrTakesTheGivenOne(t *testing.T) {
	log := "time_us;aux2\n0;1000\n"
	out := read([]byte(log), Options{Spec: spec("", "", "")}, plainWay)
	if out.sum.Delimiter != delimiterSemicolon || out.sum.DelimiterHow != howContent {
		t.Errorf("got %s, %s", out.sum.Delimiter, out.sum.DelimiterHow)
	}
	out = read([]byte(log), Options{Spec: spec("", "", ""), Delimiter: delimiterSemicolon}, plainWay)
	if out.err != nil || out.sum.DelimiterHow != howGiven {
		t.Errorf("got %s, error %v", out.sum.DelimiterHow, out.err)
	}
	out = read([]byte(log), Options{Spec: spec("", "", ""), Delimiter: DelimiterComma}, plainWay)
	if out.err == nil {
		t.Errorf("read %q with another delimiter", out.rows)
	}
}

func TestParseDelimiterReadsNamesAndCharacters(t *testing.T) {
	for text, want := range map[string]Delimiter{
		"auto": delimiterAuto, "comma": ',', ",": ',', "semicolon": ';', ";": ';', "tab": '\t', "\t": '\t', "bar": '|', "spaces": ' ',
	} {
		if got, err := ParseDelimiter(text); err != nil || got != want {
			t.Errorf("%q: got %q, %v", text, got, err)
		}
	}
	if _, err := ParseDelimiter("/"); err == nil {
		t.Error("/ was taken")
	}
}

// zipped compresses as gzip (RFC 1952).
func zipped(t testing.TB, log string) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write([]byte(log)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestReaderKnowsGzipByItsContent(t *testing.T) {
	log := "time_us,aux2\n0,1000\n20,1500\n"
	for _, w := range ways {
		out := read(zipped(t, log), Options{Spec: spec("", "", "")}, w)
		if out.err != nil || out.rows != "0 1000, 20 1500" || !out.sum.Gzip || out.sum.total().Bytes != int64(len(log)) {
			t.Errorf("%+v: got %q, error %v, %+v", w, out.rows, out.err, out.sum)
		}
	}
	t.Run("several members are one log, RFC 1952 §2.2", func(t *testing.T) {
		two := append(zipped(t, log), zipped(t, "40,1000\n")...)
		if out := read(two, Options{Spec: spec("", "", "")}, plainWay); out.err != nil || out.rows != "0 1000, 20 1500, 40 1000" {
			t.Errorf("got %q, error %v", out.rows, out.err)
		}
	})
}
