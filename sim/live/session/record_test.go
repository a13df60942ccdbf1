package session

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/files"
	"flicktally/sim/live"
)

// TestARecordIsNotOverwritten, unless that is asked for, and never while another
// program writes it.
func TestARecordIsNotOverwritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "record.csv")
	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o666))
	_, err := CreateRecord(path, false)
	require.ErrorIs(t, err, os.ErrExist)
	_, err = CreateRecord(filepath.Dir(path), true)
	require.Error(t, err, "a folder")

	other, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	require.NoError(t, files.Lock(other, false))
	_, err = CreateRecord(path, true)
	require.ErrorIs(t, err, files.ErrLocked)
	require.NoError(t, other.Close())
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "mine", string(kept))

	record, err := CreateRecord(path, true)
	require.NoError(t, err)
	_, result := fly(t, Stream("-", strings.NewReader(flick), plain), record)
	require.True(t, result.Recorded)
	kept, err = os.ReadFile(path)
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(kept), "# flicktally record: channel\n"), "emptied first")
}

// limited is a writer that breaks after some bytes.
type limited struct {
	bytes.Buffer
	left int
}

func (l *limited) Write(p []byte) (int, error) {
	n := min(l.left, len(p))
	l.left -= n
	l.Buffer.Write(p[:n])
	if n < len(p) {
		return n, io.ErrShortWrite
	}
	return n, nil
}

// TestARecordThatBreaksOff: the tally goes on, the user is told, and no row follows the
// gap.
func TestARecordThatBreaksOff(t *testing.T) {
	to := &limited{left: 100}
	a := &air{t: t, s: New(sim.DefaultRig(), stopped, RecordTo(to))}
	a.r = newReceiver(a.s, "heron", 0, plain)
	a.come(header + rowsOf(0, 100*ms, 1000))
	require.Empty(t, a.s.Notice())
	before := to.String()
	for from := 100 * ms; from < 2*sec; from += 100 * ms {
		a.come(rowsOf(from, from+100*ms, 1000))
	}
	require.Equal(t, "the record breaks off: short write", a.s.Notice())
	require.Equal(t, 100, to.Len())
	to.left = 100
	a.come(rowsOf(2*sec, 3*sec, 1000))
	require.Equal(t, 100, to.Len(), "no row after the gap")
	require.True(t, strings.HasPrefix(to.String(), before))
	result := a.s.Finish()
	require.ErrorIs(t, result.Record, io.ErrShortWrite)
	require.False(t, result.Recorded)
	require.Equal(t, 150, result.Flights[0].Replay.Samples.Count)
}

func TestNotes(t *testing.T) {
	late := live.Flight{Late: []belief.Glance{{At: 7 * sec, Light: belief.LightRecording}}}
	require.Equal(t, []string{
		"the look at the light at 0:07.0 was after the last sample; the report leaves it out",
		"2 rows left out", "at the end: ttyS9 is gone; waiting for it",
	}, Result{Flights: []live.Flight{late}, LeftOut: "2 rows left out", Trouble: "ttyS9 is gone; waiting for it"}.Notes())
	require.Equal(t, []string{"no sample was received"}, Result{}.Notes())
}

// TestGlances: a look at the light counts at the time of the tally, and the latest can
// be removed.
func TestGlances(t *testing.T) {
	a := takeOff(t, 0, plain)
	_, ok := a.s.See(belief.LightStandby)
	require.False(t, ok, "there is no sample yet")
	a.come(header + rowsOf(0, sec, 1000))
	seen, ok := a.s.See(belief.LightStandby)
	require.True(t, ok)
	require.Equal(t, belief.Glance{At: 980 * ms, Light: belief.LightStandby}, seen)
	again, ok := a.s.See(belief.LightRecording)
	require.True(t, ok)
	removed, ok := a.s.Unsee()
	require.True(t, ok)
	require.Equal(t, again, removed)
	require.Empty(t, a.s.Before())
	require.Equal(t, []belief.Glance{seen}, a.land()[0].Seen)
}

// TestALinkThatComesBackMidway: the row that was torn, and the first one after it, which
// may lack its start, are left out; a header is not.
func TestALinkThatComesBackMidway(t *testing.T) {
	opts := plain
	opts.midway = true
	a := takeOff(t, 0, opts)
	a.come("00,1000\n" + header + rowsOf(0, sec, 1000) + "1000")
	a.now += sec
	require.NoError(t, a.r.arrive(a.now, arrival{data: []byte("00,1000\n" + rowsOf(1200*ms, 2*sec, 1000)), torn: true}))
	require.EqualValues(t, 3, a.s.status.counts.rows)
	require.NoError(t, a.r.arrive(a.now, arrival{data: []byte(header + rowsOf(2*sec, 3*sec, 1000)), torn: true}))
	require.EqualValues(t, 3, a.s.status.counts.rows)
	require.Equal(t, 140, a.land()[0].Replay.Samples.Count)
}

// TestLinesMayEndInAnyWay, wherever the stream is divided.
func TestLinesMayEndInAnyWay(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		a := takeOff(t, 0, plain)
		for _, b := range strings.Split(strings.ReplaceAll(header+flickRows(0), "\n", end), "") {
			a.come(b)
		}
		flights := a.land()
		require.Equal(t, 100, flights[0].Replay.Samples.Count, "%q", end)
		require.Len(t, flights[0].Replay.Presses, 1, "%q", end)
	}
}

// TestJunkBeforeTheFormatIsForgotten: only the latest of much junk is kept in memory.
func TestJunkBeforeTheFormatIsForgotten(t *testing.T) {
	a := takeOff(t, firstSeconds, plain)
	for range 10 {
		a.come(strings.Repeat("\x01\x80\x9f\xaa", 10_000))
		a.wait(firstSeconds / 5)
	}
	require.LessOrEqual(t, a.r.settling.bytes, mostHeard)
	a.come("\n" + header + flickRows(0))
	a.wait(100 * ms)
	require.True(t, a.r.settling == nil, "it is decided")
	require.Len(t, a.land()[0].Replay.Presses, 1)
}

// TestTelemetryWithoutTheChannelSaysSo after ten seconds.
func TestTelemetryWithoutTheChannelSaysSo(t *testing.T) {
	opts := plain
	opts.Source.Spec.Channel = "chan12"
	a := takeOff(t, firstSeconds, opts)
	for i := range 110 {
		a.come(string(telemetry(1, byte(i), sim.Micros(i)*100*ms, 1000)))
		a.wait(100 * ms)
	}
	require.Equal(t, "no row in 10 s: MAVLink without a message that has the channel chan12; check --channel and --system", a.s.Notice())
	gone := errors.New("unplugged")
	require.Equal(t, gone, a.r.finish(a.now, gone))
	a.r.stop()
}
