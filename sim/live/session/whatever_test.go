package session

import (
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// junk has lines that are not rows of two numbers.
var junk = []string{
	"\n", "nonsense\n", "10x0,1000\n", "1000,1000,7\n", "1000\n", "\"1000,\"1000\n", "1000,\"1000\n", "\x00\n", "\x001000,1000\n",
	"\xff\xfe\n", "1000,\xff\n", "# a comment\n", "time_us,aux2\n", "\r\r", "\x1b]0;heron\x07\n", ",\n", "1000;1000\n",
	strings.Repeat("x", 70_000) + "\n", strings.Repeat("1,", 40_000) + "\n", "\xfd\x09\x00\x00junk\n",
}

// Whatever bytes are between the rows, and however the stream is divided, every row
// counts, and the record replays to the same flight.
func TestWhateverBytesComeTheRowsCount(t *testing.T) {
	for seed := range uint64(40) {
		random := rand.New(rand.NewPCG(seed, 16))
		a := takeOff(t, 0, plain)
		clean := header + flickRows(0) + flickRows(2*sec)
		var dirty strings.Builder
		left := int64(0)
		for i, row := range strings.SplitAfter(clean, "\n") {
			dirty.WriteString(row)
			if i > 1 && random.IntN(20) == 0 {
				text := junk[random.IntN(len(junk))]
				dirty.WriteString(text)
				if strings.TrimSpace(text) != "" && text != header {
					left++
				}
			}
		}
		for text := dirty.String(); text != ""; {
			n := min(len(text), 1+random.IntN(5000))
			a.come(text[:n])
			a.now += ms
			text = text[n:]
		}
		require.Equal(t, left, a.s.status.counts.rows, "seed %d", seed)
		flights := a.land()
		require.Len(t, flights, 1)
		require.Equal(t, replays(t, strings.NewReader(clean))[0].Presses, flights[0].Replay.Presses, "seed %d", seed)
		require.Equal(t, 200, flights[0].Replay.Samples.Count)
		require.Equal(t, left > 0, strings.Contains(a.recorded(), " left out"))
	}
}

// Lines that look like rows do not end the input: once the columns are known, rows
// count.
func TestColumnsMayComeLate(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	a := takeOff(t, 0, opts)
	a.come("time_us,throttle,rudder\n")
	for range 100 {
		a.come("0,1000,1500\n")
		a.wait(100 * ms)
	}
	require.Regexp(t, `^no row in 10 s: heron:.*want the channel in a column named "aux2"`, a.s.Notice())
	a.come("time_us,throttle,aux2\n0,0,1000\n")
	a.come("20000,0,1000\n")
	require.Empty(t, a.s.status.help)
	require.Equal(t, 2, a.land()[0].Replay.Samples.Count)
	require.Regexp(t, `^[0-9]+ rows? left out`, a.s.About()[len("CSV; "):])
}

// Columns that change during a flight are found again.
func TestColumnsMayChange(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	a := takeOff(t, 0, opts)
	a.come("time_us,aux2\n" + flickRows(0))
	a.now += sec
	a.come("time_us,throttle,aux2\n" + strings.ReplaceAll(flickRows(0), ",", ",900,"))
	flights := a.land()
	require.Len(t, flights, 1)
	require.Len(t, flights[0].Replay.Presses, 2)
	require.Contains(t, a.recorded(), "# the clock of the source restarted; the flight continues at 0:02.980")
}

// An input without a row in ten seconds tells the user what to check, and continues.
func TestHelpIsAskedForWhereNoRowComes(t *testing.T) {
	a := takeOff(t, firstSeconds, plain)
	a.wait(9900 * ms)
	require.Empty(t, a.s.Notice())
	a.wait(100 * ms)
	require.Equal(t, "no row in 10 s: nothing received from heron", a.s.Notice())
	a.come("\x01\x80\x9f\xaa")
	a.wait(5 * sec)
	require.Equal(t, "no row in 10 s: 4 bytes from heron are neither CSV nor MAVLink; check the speed of the link and what it sends", a.s.Notice())
	a.come("\n" + header + flickRows(0))
	a.wait(100 * ms)
	require.Empty(t, a.s.status.help)
	require.Len(t, a.land()[0].Replay.Presses, 1)
	require.Equal(t, []string{"no row in 10 s: nothing received from heron"}, a.s.News())
}

// An input that ends without a row says why it has none.
func TestTheEndWithoutARowSaysWhy(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	for text, want := range map[string]string{
		"":                                   "heron:1:1: found an empty log",
		"time_us,rudder\n0,1000\n20,1000\n":  `heron:1:1: found the columns "time_us", "rudder"`,
		"\x01\x02\x03":                       "heron:1:1: found",
		"time_us,aux2\nnonsense\nnonsense\n": "heron:1:1: found the end of the log and no row",
	} {
		a := takeOff(t, firstSeconds, opts)
		if text != "" {
			a.come(text)
		}
		err := a.r.finish(a.now, io.EOF)
		require.ErrorContains(t, err, want, "%q", text)
		a.r.stop()
		a.s.Finish()
	}
}

// A stray datagram decides nothing, and is counted by its sender.
func TestAStrayDatagramDecidesNothing(t *testing.T) {
	for _, stray := range []string{string(telemetry(1, 5, 0, 1000)), "hello\n", "1,2,3", "\x00"} {
		a := takeOff(t, firstSeconds, plain)
		a.datagram("10.0.0.9:4000", stray)
		for _, row := range strings.Split(strings.TrimSpace(header+flickRows(0)), "\n") {
			a.datagram("10.0.0.7:5000", row)
			a.wait(20 * ms)
		}
		a.datagram("10.0.0.9:4000", stray)
		require.Equal(t, "CSV from 10.0.0.7:5000; 2 datagrams from 10.0.0.9:4000 left out", a.s.About())
		flights := a.land()
		require.Equal(t, 100, flights[0].Replay.Samples.Count)
		require.Len(t, flights[0].Replay.Presses, 1)
	}
}

// A datagram is a row, with or without its line end, or several.
func TestDatagramsAreRows(t *testing.T) {
	for _, end := range []string{"", "\n", "\r\n", "\r"} {
		a := takeOff(t, firstSeconds, plain)
		lines := strings.Split(strings.TrimSpace(header+flickRows(0)), "\n")
		for i := 0; i < len(lines); i += 1 + i%3 {
			a.datagram("10.0.0.7:5000", strings.Join(lines[i:min(len(lines), i+1+i%3)], "\n")+end)
			a.wait(20 * ms)
		}
		require.Equal(t, 100, a.land()[0].Replay.Samples.Count, "%q", end)
	}
}

// The requested sender is read, even if another sends more.
func TestTheSenderThatIsAskedFor(t *testing.T) {
	for _, from := range []string{"10.0.0.9", "10.0.0.9:4000"} {
		opts := plain
		opts.From = from
		a := takeOff(t, firstSeconds, opts)
		for _, row := range strings.Split(strings.TrimSpace(header+flickRows(0)), "\n") {
			a.datagram("10.0.0.7:5000", row)
			a.wait(20 * ms)
		}
		a.datagram("10.0.0.9:4000", "0,1000\n20000,1000\n")
		a.wait(3 * sec)
		require.Equal(t, "CSV from 10.0.0.9:4000; 101 datagrams from 10.0.0.7:5000 left out", a.s.About())
		require.Equal(t, 2, a.land()[0].Replay.Samples.Count)
	}
}

// A host that sends each row from another port is one sender; one that restarts with
// another port is read again.
func TestAHostMayChangeItsPort(t *testing.T) {
	a := takeOff(t, firstSeconds, plain)
	for i, row := range strings.Split(strings.TrimSpace(header+flickRows(0)), "\n") {
		a.datagram("10.0.0.7:"+string(rune('1'+i%9))+"000", row)
		a.wait(20 * ms)
	}
	a.wait(sec)
	require.Equal(t, "CSV from 10.0.0.7", a.s.About())
	require.Equal(t, 100, a.land()[0].Replay.Samples.Count)

	a = takeOff(t, firstSeconds, plain)
	for _, row := range strings.Split(strings.TrimSpace(header+flickRows(0)), "\n") {
		a.datagram("10.0.0.7:5000", row)
		a.wait(20 * ms)
	}
	a.datagram("10.0.0.7:6000", "2000000,1000")
	require.Equal(t, "CSV from 10.0.0.7:5000; 1 datagram from 10.0.0.7:6000 left out", a.s.About())
	a.wait(adoptAfter)
	a.datagram("10.0.0.7:6000", "5000000,1000")
	a.datagram("10.0.0.7:6000", "5020000,1000")
	require.Equal(t, 102, a.land()[0].Replay.Samples.Count)
}

// The system that sends the channel most is read, even if another sent first.
func TestTheSystemThatIsHeardMost(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	fly := func(opts Options) *air {
		a := takeOff(t, firstSeconds, opts)
		a.come(string(telemetry(9, 0, 0, 2000)))
		for i := range 50 {
			a.come(string(telemetry(1, byte(i), sim.Micros(i)*100*ms, 1000)))
			a.wait(100 * ms)
		}
		return a
	}
	a := fly(opts)
	require.Equal(t, "MAVLink of system 1; 1 frame of system 9 left out", a.s.About())
	require.Equal(t, 50, a.land()[0].Replay.Samples.Count)
	opts.Source.System = 9
	a = fly(opts)
	require.Equal(t, "MAVLink of system 9; 50 frames of system 1 left out", a.s.About())
	a.land()
}

// Damage between frames is left out, counted and noted in the record; a frame with a
// wrong time does not reset the tally.
func TestTelemetryGoesOnWhateverComes(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	a := takeOff(t, 0, opts)
	for i := range 400 {
		at := sim.Micros(i) * 20 * ms
		value := uint16(1000)
		if i >= 50 && i < 65 {
			value = 2000
		}
		switch i {
		case 100:
			a.come("\xfd\x09junk, with\nlines,1,2\n")
		case 150:
			a.come(string(telemetry(1, 0, 7000*sec, 2000)))
		case 200:
			a.come(string(telemetry(1, 0, 3, 2000)))
		case 250:
			a.come(string(telemetry(1, 0, at-500*ms, 2000)))
		}
		a.come(string(telemetry(1, byte(i), at, value)))
		a.wait(20 * ms)
	}
	require.Equal(t, sim.StateRecording, a.s.Look().State)
	require.Equal(t, "MAVLink of system 1; 1 came late and was left out; 2 with times far out of place left out; 23 damaged bytes", a.s.About())
	flights := a.land()
	require.Len(t, flights, 1)
	require.Equal(t, 400, flights[0].Replay.Samples.Count)
	require.Contains(t, a.recorded(), "# 23 damaged bytes left out\n")
}

// A clock that restarts does not end the flight: the state is kept, and the times of
// the record continue.
func TestANewClockGoesOn(t *testing.T) {
	a := takeOff(t, 0, plain)
	a.come(header + flickRows(0))
	require.Equal(t, sim.StateRecording, a.s.Look().State)
	a.wait(4 * sec)
	a.come(rowsOf(0, sec, 1000))
	require.Equal(t, sim.StateRecording, a.s.Look().State)
	flights := a.land()
	require.Len(t, flights, 1)
	require.Equal(t, 5980*ms+980*ms, flights[0].Replay.End, "four seconds of the wall clock are between the rows")
	require.Contains(t, a.recorded(), "\n1980000,1000\n# the clock of the source restarted; the flight continues at 0:05.980\n5980000,1000\n")
}

// A clock that restarts means another flight only after a long silence; one that
// continues means the same flight.
func TestALongSilenceAndANewClockAreANewFlight(t *testing.T) {
	a := takeOff(t, 0, plain)
	a.come(header + flickRows(0))
	a.wait(2 * longSilence)
	a.come(flickRows(122 * sec))
	require.Equal(t, 1, a.s.Look().Segment)
	a.wait(longSilence)
	a.come(flickRows(0))
	require.Equal(t, 2, a.s.Look().Segment)
	flights := a.land()
	require.Len(t, flights, 2)
	require.Len(t, flights[0].Replay.Presses, 2)
	require.Contains(t, a.recorded(), "# the clock of the source restarted after 60 s of silence: another flight\n# another flight\n")
}

// A row that arrives late, and one with a wrong time, are left out.
func TestRowsOutOfPlaceAreLeftOut(t *testing.T) {
	a := takeOff(t, 0, plain)
	a.come(header + flickRows(100*sec))
	a.come("101500000,2000\n" + rowsOf(102*sec, 103*sec, 1000))
	a.come("900000000,2000\n" + rowsOf(103*sec, 104*sec, 1000))
	require.Equal(t, sim.StateRecording, a.s.Look().State)
	require.Equal(t, "CSV; 1 came late and was left out; 1 with a time far out of place left out", a.s.About())
	a.wait(sec)
	a.come("0,1000\n")
	a.come(rowsOf(105*sec, 106*sec, 1000))
	require.Equal(t, sim.StateRecording, a.s.Look().State)
	flights := a.land()
	require.Len(t, flights, 1)
	require.Len(t, flights[0].Replay.Presses, 1)
	require.Less(t, flights[0].Replay.End, 7*sec)
}
