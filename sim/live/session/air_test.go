package session

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/source"
)

const (
	ms  = sim.Millisecond
	sec = sim.Second
)

// air is a session that a test feeds, with the test's own clock.
type air struct {
	t      testing.TB
	now    sim.Micros
	s      *Session
	r      *receiver
	record string
}

// takeOff starts a flight; the format of its input is decided after settling.
func takeOff(t testing.TB, settling sim.Micros, opts Options) *air {
	a := &air{t: t, record: filepath.Join(t.TempDir(), "record.csv")}
	record, err := CreateRecord(a.record, false)
	require.NoError(t, err)
	a.s = New(sim.DefaultRig(), func() sim.Micros { return a.now }, record)
	a.r = newReceiver(a.s, "heron", settling, opts)
	return a
}

// come delivers a piece of a stream.
func (a *air) come(text string) { require.NoError(a.t, a.r.arrive(a.now, arrival{data: []byte(text)})) }

// datagram delivers a datagram.
func (a *air) datagram(from, text string) {
	require.NoError(a.t, a.r.arrive(a.now, arrival{from: from, data: []byte(text), rows: true}))
}

// wait lets time pass.
func (a *air) wait(d sim.Micros) {
	for end := a.now + d; a.now < end; {
		a.now = min(end, a.now+50*ms)
		require.NoError(a.t, a.r.tick(a.now))
	}
}

// land ends the input and the flight, and checks that the record replays to what
// was shown.
func (a *air) land() []live.Flight {
	a.t.Helper()
	require.NoError(a.t, a.r.finish(a.now, io.EOF))
	a.r.stop()
	result := a.s.Finish()
	require.NoError(a.t, result.Record)
	file, err := os.Open(a.record)
	require.NoError(a.t, err)
	defer file.Close()
	replayed := replays(a.t, file)
	require.Len(a.t, replayed, len(result.Flights))
	for i, f := range result.Flights {
		want, got := *f.Replay, *replayed[i]
		want.Rig.Log, got.Rig.Log = sim.LogSpec{}, sim.LogSpec{}
		require.Equal(a.t, want, got)
	}
	return result.Flights
}

// recorded returns the text of the record.
func (a *air) recorded() string {
	text, err := os.ReadFile(a.record)
	require.NoError(a.t, err)
	return string(text)
}

// replays replays every segment of a log.
func replays(t testing.TB, log io.Reader) []*sim.Replay {
	rig := sim.DefaultRig()
	src, err := source.Open(log, "record", source.Options{Spec: rig.Log})
	require.NoError(t, err)
	rig = src.Rig(rig)
	var all []*sim.Replay
	var chain *sim.Chain
	for segment := 0; ; {
		block, err := src.Next()
		if err == io.EOF {
			return append(all, chain.Finish())
		}
		require.NoError(t, err)
		if block.Segment > segment {
			if chain != nil {
				all = append(all, chain.Finish())
			}
			chain, segment = sim.NewChain(src.Tap(), rig), block.Segment
		}
		chain.FeedAll(block.Samples)
	}
}

// rowsOf returns rows of two columns, one every 20 ms.
func rowsOf(from, to sim.Micros, value int) string {
	var text strings.Builder
	for at := from; at < to; at += 20 * ms {
		fmt.Fprintf(&text, "%d,%d\n", at, value)
	}
	return text.String()
}

// flickRows is two seconds with a flick of 300 ms after the first.
func flickRows(from sim.Micros) string {
	return rowsOf(from, from+sec, 1000) + rowsOf(from+sec, from+sec+300*ms, 2000) + rowsOf(from+sec+300*ms, from+2*sec, 1000)
}

const header = "time_us,aux2\n"
