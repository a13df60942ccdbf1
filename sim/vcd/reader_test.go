package vcd

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// absent stands for no signal in expected values, since NaN equals nothing.
const absent = -1

type at struct {
	us    sim.Micros
	level sim.PulseWidth
}

// readAll returns the samples without those that repeat the old level right before
// a change.
func readAll(r *Reader) ([]at, error) {
	all, err := readEvery(r)
	var kept []at
	for i, s := range all {
		if i == 0 || i == len(all)-1 || s.level != all[i-1].level {
			kept = append(kept, s)
		}
	}
	return kept, err
}

func readEvery(r *Reader) ([]at, error) {
	var all []at
	for {
		samples, err := r.Next()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return all, err
		}
		for _, s := range samples {
			level := s.Channel
			if math.IsNaN(float64(level)) {
				level = absent
			}
			all = append(all, at{s.At, level})
		}
	}
}

func requireReads(t *testing.T, dump, wire string, want []at) summary {
	t.Helper()
	whole := NewReader(strings.NewReader(dump), "wire.vcd", Options{Wire: wire})
	got, err := readAll(whole)
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.Equal(t, int64(len(dump)), whole.Summary().Bytes, "every byte is read")

	inBytes, err := readAll(NewReader(iotest.OneByteReader(strings.NewReader(dump)), "wire.vcd", Options{Wire: wire}))
	require.NoError(t, err)
	require.Equal(t, want, inBytes, "one byte at a time")
	return whole.Summary()
}

// The example of IEEE 1364-2005 §18.2.3.13, from memory, with a time scale of
// 1 us instead of 1 ns. Times count from its first, #500.
var standardExample = strings.Replace(`$date June 26, 1989 10:05:41
$end
$version VERILOG-SIMULATOR 1.0a
$end
$timescale 1 us
$end
$scope module top $end
$scope module m1 $end
$var trireg 1 *@ net1 $end
$var trireg 1 *# net2 $end
$var trireg 1 *$ net3 $end
$upscope $end
$scope task t1 $end
$var reg 32 (k accumulator[31:0] $end
$var integer 32 {2 index $end
$upscope $end
$upscope $end
$enddefinitions $end
$comment
Note: $dumpvars was executed at time '#500'.
All initial values are dumped at this time.
$end
#500
$dumpvars
x*@
x*#
x*$
bx (k
bx {2
$end
#505
0*@
1*#
1*$
b10zx1110x11100 (k
b1111000101z01x {2
#510
0*$
#520
1*$
#530
0*$
bz (k
#535
$dumpEVERY 0*@ 1*# 0*$
bz (k
b1111000101z01x {2
$end
#540
1*$
#1000
$dumpoff
x*@
x*#
x*$
bx (k
bx {2
$end
#2000
$dumpon
z*@
1*#
0*$
b0 (k
bx {2
$end
#2010
1*$
`, "EVERY", framing[1], 1)

func TestReaderStandardExample(t *testing.T) {
	sum := requireReads(t, standardExample, "net3", []at{
		{0, absent}, {5, 2000}, {10, 1000}, {20, 2000}, {30, 1000}, {40, 2000}, {500, absent}, {1500, 1000}, {1510, 2000},
	})
	require.Equal(t, summary{Wire: "top.m1.net3", Bytes: sum.Bytes, Step: 1, Changes: 8}, sum)
	requireReads(t, standardExample, "top.m1.net1", []at{{0, absent}, {5, 1000}, {500, absent}, {1510, absent}})
	requireReads(t, standardExample, "NET2", []at{{0, absent}, {5, 2000}, {500, absent}, {1500, 2000}, {1510, 2000}})
}

// dump returns a capture of the wire ! with a body.
func dump(timescale, body string) string {
	return "$timescale " + timescale + " $end $scope module lake $end $var wire 1 ! SHUTTER $end $upscope $end $enddefinitions $end\n" + body
}

func TestReaderTimescales(t *testing.T) {
	for _, test := range []struct {
		scale string
		time  string
		us    sim.Micros
	}{
		{"1 s", "2", 2_000_000}, {"10 s", "2", 20_000_000}, {"100s", "2", 200_000_000},
		{"1 ms", "5250", 5_250_000}, {"10ms", "3", 30_000}, {"100 ms", "3", 300_000},
		{"1 us", "280000", 280_000}, {"10 us", "7", 70}, {"100us", "7", 700},
		{"1 ns", "1500", 2}, {"1 ns", "1499", 1}, {"10 ns", "49", 0}, {"10 ns", "50", 1}, {"100 ns", "25", 3},
		{"1 ps", "999999999999", 1_000_000}, {"100 ps", "12345678", 1235},
		{"1 fs", "18446744073709551615", 18_446_744_074}, {"10 fs", "18446744073709551615", 184_467_440_737},
		{"1 US", "7", 7}, {"1 µs", "7", 7}, {"10 μS", "7", 70}, {"1 \xb5s", "7", 7}, {"1MS", "7", 7000}, {"100 Ns", "25", 3},
	} {
		t.Run(test.scale+" "+test.time, func(t *testing.T) {
			got, err := readAll(NewReader(strings.NewReader(dump(test.scale, "#0\n0!\n#"+test.time+"\n1!\n")), "wire.vcd", Options{}))
			require.NoError(t, err)
			require.Equal(t, at{test.us, 2000}, got[len(got)-1])
		})
	}
}

func TestReaderBody(t *testing.T) {
	for _, test := range []struct {
		rule string
		body string
		want []at
		sum  summary
	}{
		{"a closing time ends the capture", "#0 0! #100 1! #300\n", []at{{0, 1000}, {100, 2000}, {300, 2000}}, summary{Changes: 1}},
		{"time counts from the first", "#4000 1! #4100 0!\n", []at{{0, 2000}, {100, 1000}}, summary{Changes: 1}},
		{"values before the first time are initial", "$dumpvars 1! $end #7 #9\n", []at{{0, 2000}, {2, 2000}}, summary{}},
		{"no value at all is no signal", "#0 #50\n", []at{{0, absent}, {50, absent}}, summary{}},
		{"the same value again is no change", "#0 0! #5 0! #9 1!\n", []at{{0, 1000}, {9, 2000}}, summary{Changes: 1}},
		{"of one instant the last value counts", "#0 0! #5 1! 0! 1!\n", []at{{0, 1000}, {5, 2000}}, summary{Changes: 1, Merged: 2}},
		{"equal times are one instant", "#0 0! #5 1! #5 0! #9\n", []at{{0, 1000}, {9, 1000}}, summary{Merged: 2}},
		{"x and z are no signal", "#0 1! #5 x! #6 z! #8 Z! #9 0!\n", []at{{0, 2000}, {5, absent}, {9, 1000}}, summary{Changes: 2}},
		{"weak levels of VHDL count", "#0 L! #5 H! #6 U! #7 -!\n", []at{{0, 1000}, {5, 2000}, {6, absent}, {7, absent}}, summary{Changes: 2}},
		{"a bit may be written as a vector", "#0 b0 ! #5 b1 !\n", []at{{0, 1000}, {5, 2000}}, summary{Changes: 1}},
		{"vectors, reals and strings are passed over", "#0 0! b1 \" r1.5 # sHELLO $% #5 1!\n", []at{{0, 1000}, {5, 2000}}, summary{Changes: 1}},
		{"other wires are passed over", "#0 0! 1\" 1!! #5 1!\n", []at{{0, 1000}, {5, 2000}}, summary{Changes: 1}},
		{"comments are passed over", "#0 0! $comment 1! #3 $end #5 1!\n", []at{{0, 1000}, {5, 2000}}, summary{Changes: 1}},
		{"what some programs write among the values is passed over", "#0 0! $attrbegin misc 07 1! $end #5 $timezero -3 $end 1! $attrend $end #9\n", []at{{0, 1000}, {5, 2000}, {9, 2000}}, summary{Changes: 1}},
		{"time may begin before 0", "#-20 0! #-5 1! #-1 #0 0! #30\n", []at{{0, 1000}, {15, 2000}, {20, 1000}, {50, 1000}}, summary{Changes: 2}},
		{"a change at the instant of $dumpoff is one", "#0 0! #100 1! $OFF x! $end #300 $ON 0! $end #400\n", []at{{0, 1000}, {100, 2000}, {101, absent}, {300, 1000}, {400, 1000}}, summary{Changes: 3}},
		{"a change right behind it as well", "#0 0! #100 1! $OFF x! $end #101 0! #400\n", []at{{0, 1000}, {100, 2000}, {101, 1000}, {400, 1000}}, summary{Changes: 2}},
		{"$dumpoff without a change ends the signal there", "#0 0! #100 $OFF x! $end #300 $ON 0! $end #400\n", []at{{0, 1000}, {100, absent}, {300, 1000}, {400, 1000}}, summary{Changes: 2}},
		{"$dumpoff at the end", "#0 0! #100 1! $OFF x! $end\n", []at{{0, 1000}, {100, 2000}}, summary{Changes: 1}},
		{"no line end at the end", "#0 0! #5 1!\n#9", []at{{0, 1000}, {5, 2000}, {9, 2000}}, summary{Changes: 1}},
		{"a cut time is left out", "#0 0! #1005 1!\n#20", []at{{0, 1000}, {1005, 2000}}, summary{Changes: 1, Torn: true}},
		{"a cut value is left out", "#0 0! #5 1! #9\n0", []at{{0, 1000}, {5, 2000}, {9, 2000}}, summary{Changes: 1, Torn: true}},
		{"a cut vector is left out", "#0 0! #5\nb01", []at{{0, 1000}, {5, 1000}}, summary{Torn: true}},
		{"a cut keyword is left out", "#0 0! #5\n$dump", []at{{0, 1000}, {5, 1000}}, summary{Torn: true}},
	} {
		t.Run(test.rule, func(t *testing.T) {
			body := strings.NewReplacer("$OFF", "$dump"+framing[3], "$ON", "$dump"+framing[2]).Replace(test.body)
			sum := requireReads(t, dump("1 us", body), "", test.want)
			test.sum.Wire, test.sum.Bytes, test.sum.Step = "lake.SHUTTER", sum.Bytes, 1
			require.Equal(t, test.sum, sum)
		})
	}
	t.Run("glitches below a microsecond", func(t *testing.T) {
		sum := requireReads(t, dump("1 ns", "#0 0! #1600 1! #1700 0! #5000 1!\n"), "", []at{{0, 1000}, {5, 2000}})
		require.Equal(t, 2, sum.Merged)
	})
}

const twoCameras = `$timescale 1 us $end
$scope module bow $end $var wire 1 ! SHUTTER $end $var reg 1 " data [3] $end $var wire 8 # bus [7:0] $end $upscope $end
$scope module stern $end $var wire 1 $ SHUTTER $end $var wire 1 % led $end $var wire 1 % lamp $end $upscope $end
$enddefinitions $end
#0 0! 1$ 0" 1% #9
`

func TestReaderFindsTheWire(t *testing.T) {
	for name, level := range map[string]sim.PulseWidth{
		"bow.SHUTTER": 1000, "stern.SHUTTER": 2000, "Stern.Shutter": 2000, "data [3]": 1000, "data[3]": 1000, "bow.data [3]": 1000, "led": 2000, "LAMP": 2000,
	} {
		t.Run(name, func(t *testing.T) {
			requireReads(t, twoCameras, name, []at{{0, level}, {9, level}})
		})
	}
	const there = `"bow.SHUTTER", "bow.data [3]", "stern.SHUTTER", "stern.led", "stern.lamp"`
	for name, want := range map[string]string{
		"":        "wire.vcd: found 5 wires, want the name of one: " + there,
		"shutter": `wire.vcd: found 2 wires that "shutter" may mean, want the whole name of one: ` + there,
		"bus":     `wire.vcd: found no wire "bus", want one of: ` + there,
		"\x1b[2J": `wire.vcd: found no wire "\x1b[2J", want one of: ` + there,
	} {
		t.Run("refuses "+name, func(t *testing.T) {
			_, err := readAll(NewReader(strings.NewReader(twoCameras), "wire.vcd", Options{Wire: name}))
			var wireErr *WireError
			require.ErrorAs(t, err, &wireErr)
			require.EqualError(t, err, want)
		})
	}
	t.Run("names twenty at most", func(t *testing.T) {
		var b strings.Builder
		b.WriteString("$timescale 1 us $end ")
		for i := range 25 {
			fmt.Fprintf(&b, "$var wire 1 %s w%d $end ", code(i), i)
		}
		b.WriteString("$enddefinitions $end #0 #1\n")
		_, err := readAll(NewReader(strings.NewReader(b.String()), "wire.vcd", Options{Wire: "mast"}))
		require.ErrorContains(t, err, `"w19" and 5 more`)
	})
}

func TestReaderErrors(t *testing.T) {
	for _, test := range []struct{ rule, dump, want string }{
		{"empty", "", "wire.vcd:1:1: found the end of the file within the declarations, want $enddefinitions"},
		{"cut within a declaration", "$timescale 1", `wire.vcd:1:13: found the end of the file within the declarations, want $end of "$timescale"`},
		{"words without end", strings.Repeat("log ", 101), `wire.vcd:1:401: found "log", want a declaration such as $timescale, $scope, $var or $enddefinitions`},
		{"no declaration", "$timescale 1 us $end\n  hello", `wire.vcd:2:3: found "hello", want a declaration such as $timescale, $scope, $var or $enddefinitions`},
		{"odd time scale", "$timescale 2 us $end", `wire.vcd:1:1: found $timescale "2 us", want 1, 10 or 100 with a unit: s, ms, us, ns, ps or fs`},
		{"odd unit", "\n$timescale 1 min $end", `wire.vcd:2:1: found $timescale "1 min", want 1, 10 or 100 with a unit: s, ms, us, ns, ps or fs`},
		{"no time scale", "$var wire 1 ! a $end $enddefinitions $end", "wire.vcd:1:22: found no $timescale before $enddefinitions, want one such as $timescale 1 us $end, or its unit given (--unit us)"},
		{"a short variable", "$var wire 1 $end", "wire.vcd:1:1: found $var with 2 words, want $var TYPE SIZE CODE NAME $end"},
		{"a scope without a name", "$scope $end", "wire.vcd:1:1: found $scope without a name, want $scope module NAME $end"},
		{"no wire", "$timescale 1 us $end $var wire 8 ! a $end $enddefinitions $end #0", "wire.vcd: found no wire of one bit, want one"},
		{"no time", dump("1 us", "$dumpvars 0! $end\n"), "wire.vcd:3:1: found the end of the file and no time, want a capture with times such as #120 after the declarations"},
		{"a bad time", dump("1 us", "#0 0!\n#12a 1!\n"), `wire.vcd:3:1: found "#12a", want a time such as #120`},
		{"time runs backwards before 0", dump("1 us", "#-5 0!\n #-10 1!\n"), "wire.vcd:3:2: found #-10 after #-5, want times in order"},
		{"longer than can be counted", dump("1 fs", "#-18446744073709551615 0!\n#18446744073709551615 1!\n"), `wire.vcd:3:1: found "#18446744073709551615", want a capture of at most 1000 hours`},
		{"time runs backwards", dump("1 us", "#10 0!\n #5 1!\n"), "wire.vcd:3:2: found #5 after #10, want times in order"},
		{"too long", dump("1 s", "#0 0!\n#3600001 1!\n"), `wire.vcd:3:1: found "#3600001", want a capture of at most 1000 hours`},
		{"no command", dump("1 us", "#0 0! q! #9\n"), `wire.vcd:2:7: found "q!", want a time such as #120, a value such as 1!, or a keyword`},
		{"an odd keyword", dump("1 us", "#0 $stop #9\n"), `wire.vcd:2:4: found "$stop", want $dumpvars or another of the keywords that frame values, $comment or $end`},
		{"short names without end", strings.Repeat("$var wire 1 ! a $end\n", 300_000), "wire.vcd:254201:1: found names of more than 16 MiB, want a capture with fewer wires"},
		{"scopes without end", strings.Repeat("$scope module "+strings.Repeat("s", 4000)+" $end\n", 5000), "wire.vcd:4129:1: found names of more than 16 MiB, want a capture with fewer wires"},
		{"a word without end", dump("1 us", "#0 b"+strings.Repeat("1", 3<<20)+" !\n"), "wire.vcd:2:4: found a word of more than 1 MiB, want a value change dump (IEEE 1364-2005 §18)"},
		{"control characters stay out", dump("1 us", "#0 \x1b[2Jq #9\n"), `wire.vcd:2:5: found "[2Jq", want a time such as #120, a value such as 1!, or a keyword`},
	} {
		t.Run(test.rule, func(t *testing.T) {
			_, err := readAll(NewReader(strings.NewReader(test.dump), "wire.vcd", Options{}))
			require.EqualError(t, err, test.want)
		})
	}
	t.Run("the stream's own error", func(t *testing.T) {
		broken := io.MultiReader(strings.NewReader(dump("1 us", "#0 0! #5")), iotest.ErrReader(errors.New("the card is gone")))
		_, err := readAll(NewReader(broken, "wire.vcd", Options{}))
		require.EqualError(t, err, fmt.Sprintf("wire.vcd:%d: the card is gone", 1+strings.Count(dump("1 us", "#0 0! #5"), "\n")))
	})
}

// A change lies between two successive moments of the capture.
func TestReaderBoundsChangesByTheStep(t *testing.T) {
	for scale, step := range map[string]sim.Micros{"1 s": 1e6, "100 ms": 1e5, "1 ms": 1000, "10 us": 10, "1 us": 1, "100 ns": 1, "1 fs": 1} {
		t.Run(scale, func(t *testing.T) {
			units := func(n sim.Micros) string { // n steps, in the units of the dump
				parsed, ok := parseTimescale(scale)
				require.True(t, ok)
				return fmt.Sprint(uint64(n*step) * parsed.divide / parsed.multiply)
			}
			text := dump(scale, "#0 0! #"+units(50)+" 1! #"+units(51)+" 0! #"+units(60)+" x! #"+units(70)+" 1! #"+units(90)+"\n")
			r := NewReader(strings.NewReader(text), "wire.vcd", Options{})
			got, err := readEvery(r)
			require.NoError(t, err)
			require.Equal(t, []at{
				{0, 1000}, {49 * step, 1000}, {50 * step, 2000}, {51 * step, 1000}, {59 * step, 1000},
				{60 * step, absent}, {70 * step, 2000}, {90 * step, 2000},
			}, got)
			require.Equal(t, step, r.Summary().Step)
		})
	}
}

func TestReaderTakesTheUnitThatIsTold(t *testing.T) {
	body := "$var wire 1 ! SHUTTER $end $enddefinitions $end #0 0! #7 1! #9\n"
	for unit, us := range map[string]sim.Micros{"us": 7, "ms": 7000, "s": 7e6, "ns": 0, "10us": 70, "MS": 7000} {
		got, err := readAll(NewReader(strings.NewReader(body), "wire.vcd", Options{Unit: unit}))
		require.NoError(t, err, unit)
		require.Contains(t, got, at{us, 2000}, unit)
		told, err := readAll(NewReader(strings.NewReader("$timescale 1 us $end "+body), "wire.vcd", Options{Unit: unit}))
		require.NoError(t, err)
		require.Equal(t, []at{{0, 1000}, {7, 2000}, {9, 2000}}, told, "what the capture says counts")
	}
	for _, unit := range []string{"", "auto", "week"} {
		_, err := readAll(NewReader(strings.NewReader(body), "wire.vcd", Options{Unit: unit}))
		require.ErrorContains(t, err, "no $timescale", unit)
	}
}

func TestReaderNamesWithSpaces(t *testing.T) {
	text := "$timescale 1 us $end $scope module my  lake $end $var wire 1 ! record button $end $var wire 1 \" data [0] $end $var wire 1 # data [1] $end $enddefinitions $end #0 0! 1\" 0# #9\n"
	for _, name := range []string{"record button", "Record Button", "my lake.record button", "recordbutton"} {
		sum := requireReads(t, text, name, []at{{0, 1000}, {9, 1000}})
		require.Equal(t, "my lake.record button", sum.Wire)
	}
	requireReads(t, text, "data [0]", []at{{0, 2000}, {9, 2000}})
}

func TestReaderByteOrderMark(t *testing.T) {
	text := byteOrderMark + dump("1 us", "#0 0! #9\n")
	requireReads(t, text, "", []at{{0, 1000}, {9, 1000}})
	for n := range len(text) {
		is, sure := Recognise([]byte(text[:n]))
		require.Equal(t, n > len(byteOrderMark+"$timescale"), is, "%d bytes", n)
		require.Equal(t, is, sure, "%d bytes", n)
	}
	_, err := readAll(NewReader(strings.NewReader(byteOrderMark+"$scope $end"), "wire.vcd", Options{}))
	require.EqualError(t, err, "wire.vcd:1:4: found $scope without a name, want $scope module NAME $end")
}

func TestReaderPassesOverAPreamble(t *testing.T) {
	requireReads(t, "rate: 1000000\n"+dump("1 us", "#0 0! #9\n"), "", []at{{0, 1000}, {9, 1000}})
}

func TestRecognise(t *testing.T) {
	for _, test := range []struct {
		head     string
		is, sure bool
	}{
		{"", false, false}, {" \n", false, false}, {"$", false, false}, {"$time", false, false}, {"$timescale", false, false},
		{"$timescale 1", true, true}, {"$attrbegin misc", true, true}, {"$timezero 5 $end", true, true}, {"\r\n$date\n", true, true}, {standardExample, true, true},
		{"rate: 1000000\n$date Wed $end\n", true, true}, {"rate: 1000000\n", false, false}, {"rate: 1000000", false, false},
		{"1\n2\n3\n4\n5\n6\n7\n8\n$date $end", false, true}, {"flown by\ntime_us;aux2\n", false, true},
		{"time_us,aux2", false, true}, {"$price of a boat\n", false, true}, {"$averylongword_without_end", false, true},
	} {
		is, sure := Recognise([]byte(test.head))
		require.Equal(t, []bool{test.is, test.sure}, []bool{is, sure}, "%q", test.head)
	}
}
