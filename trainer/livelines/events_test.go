package livelines

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/sim/source"
)

const ms = sim.Millisecond

// rows returns rows every 10 ms up to a time, with the switch pressed in the given spans.
func rows(end sim.Micros, pressed ...sim.Span) string {
	var log strings.Builder
	log.WriteString("time_us,aux2\n")
	for at := sim.Micros(0); at <= end; at += 10 * ms {
		value := 1000
		for _, span := range pressed {
			if at >= span.From && at < span.To {
				value = 2000
			}
		}
		fmt.Fprintf(&log, "%d,%d\n", at, value)
	}
	return log.String()
}

// regatta has four flicks of the Heron: one that starts a take, one that its rig
// settles away, one that is too short, and one that ends the take.
var regatta = rows(9*sim.Second, sim.Span{From: 2000 * ms, To: 2300 * ms}, sim.Span{From: 4000 * ms, To: 4050 * ms},
	sim.Span{From: 6000 * ms, To: 6100 * ms}, sim.Span{From: 8000 * ms, To: 8300 * ms})

func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Switch.Settle = 60 * ms
	rig.Camera.MinPress = sim.Exactly(150 * ms)
	return rig
}

// landed returns a session that has read a log to its end.
func landed(log string) *session.Session {
	rig := heron()
	s := session.New(rig, func() sim.Micros { return 0 }, nil)
	s.Read(session.Stream("-", strings.NewReader(log), session.Options{Source: source.Options{Spec: rig.Log}}))
	<-s.Ended()
	return s
}

// notes collects the notes to the user, one per line.
type notes struct{ strings.Builder }

func (n *notes) note(format string, args ...any) { fmt.Fprintf(n, format+"\n", args...) }

// told returns what Tell writes about a session that has landed.
func told(t *testing.T, s *session.Session, o Options) string {
	t.Helper()
	var to bytes.Buffer
	out := NewOutlet(&to)
	require.NoError(t, Tell(s, out, o))
	require.NoError(t, out.Close(nil))
	return to.String()
}

// Every event of a flight is a sentence with its time, and the end of the input is the
// last one. The camera sees a release 60 ms late, as the rig settles the switch.
func TestAFlightInSentences(t *testing.T) {
	require.Equal(t, `0:02.4  flick 1: held 300 ms, toggled
0:02.4  take 1 begins
0:04.1  flick 2: held 50 ms, it never reached the camera
0:06.2  flick 3: held 100 ms, short
0:08.4  flick 4: held 300 ms, toggled
0:08.4  take 1 ends after 6 s
0:09.0  standby; the input ended at 0:09; the next flick counts
`, told(t, landed(regatta), Options{Whole: true}))
}

// The lines of JSON have the presses and the flicks that never reached the camera; takes
// are in the tally, which is always the last line.
func TestAFlightInLinesOfJSON(t *testing.T) {
	lines := strings.Split(strings.TrimSuffix(told(t, landed(regatta), Options{JSON: true, Every: sim.Second}), "\n"), "\n")
	require.GreaterOrEqual(t, len(lines), 5)
	require.Contains(t, lines[0], `{"event":"press","segment":1,"n":1,`)
	require.Equal(t, `{"event":"flick","segment":1,"n":2,"down_us":4000000,"up_us":4050000,"outcome":"unseen"}`, lines[1])
	require.Contains(t, lines[2], `"verdict":"short"`)
	require.Contains(t, lines[3], `{"event":"press","segment":1,"n":3,`)
	last := lines[len(lines)-1]
	require.Contains(t, last, `{"event":"tally","at_us":9000000,"segment":1,"input":"ended"`)
	require.Contains(t, last, `"take":null,"takes":1,"recorded_us":6000000,`)
	require.Contains(t, last, `"about":"CSV"}`)
}

// A tally in JSON is repeated after the interval, when something changes, and at the
// end; else it is not.
func TestWhenATallyInJSONIsRepeated(t *testing.T) {
	var out bytes.Buffer
	teller := jsonTeller{out: &out, about: landed(regatta), every: sim.Second}
	view := live.View{At: sim.Second, Segment: 1, Input: live.Running, State: sim.StateStandby, SafeAt: sim.Never, LongAt: sim.Never}
	for _, test := range []struct {
		why    string
		change func()
		last   bool
		lines  int
	}{
		{"the first", func() {}, false, 1},
		{"nothing new", func() { view.At += 500 * ms }, false, 0},
		{"the interval is over", func() { view.At += 500 * ms }, false, 1},
		{"another state", func() { view.State = sim.StateRecording }, false, 1},
		{"a glance", func() { view.Seen++ }, false, 1},
		{"a press will be accepted", func() { view.SafeAt = view.At + 300*ms }, false, 1},
		{"the same, later", func() { view.At += 200 * ms }, false, 0},
		{"a press is accepted", func() { view.At += 100 * ms }, false, 1},
		{"the end", func() {}, true, 1},
	} {
		out.Reset()
		test.change()
		require.NoError(t, teller.tally(view, test.last))
		require.Equal(t, test.lines, strings.Count(out.String(), "\n"), test.why)
	}
}

// A tally in sentences is repeated when the input, a glance or a doubt changes; not for
// what has a sentence of its own.
func TestWhenATallyInSentencesIsRepeated(t *testing.T) {
	var out bytes.Buffer
	teller := newPlainTeller(&out, false)
	view := live.View{Input: live.Running, State: sim.StateStandby, SafeAt: sim.Never, LongAt: sim.Never}
	say := func() string {
		out.Reset()
		require.NoError(t, teller.tally(view, false))
		return out.String()
	}
	require.Empty(t, say(), "nothing received yet")
	view.Segment, view.At = 1, sim.Second
	require.Contains(t, say(), "0:01.0  standby; ")
	view.At, view.State = 2*sim.Second, sim.StateRecording
	require.Empty(t, say())
	view.Input, view.LostFor = live.Lost, 700*ms
	require.Contains(t, say(), "0:02.0  recording; SIGNAL LOST for 0.7 s; ")
	view.Doubts = []string{"a glance does not fit"}
	require.Contains(t, say(), "; a glance does not fit\n")
	teller.whole, view.Seen = true, 1
	require.Empty(t, say(), "of a complete file, only the end is reported")
}

// The camera's switching off is reported, and a press that is still held at the end of a
// flight is reported at its start.
func TestAPressThatSwitchesOffAndOneThatIsHeld(t *testing.T) {
	const down, up = 2 * sim.Second, 4 * sim.Second
	got := told(t, landed(rows(up+sim.Second, sim.Span{From: down, To: up})), Options{Whole: true})
	require.Contains(t, got, "0:03.6  the camera is off\n0:04.1  flick 1: held 2000 ms, long\n")

	chain := sim.NewChain(sim.TapChannel, heron())
	for at := sim.Micros(0); at < down+500*ms; at += 10 * ms {
		value := sim.PulseWidth(1000)
		if at >= down {
			value = 2000
		}
		chain.Feed(sim.Sample{At: at, Channel: value, Armed: sim.Absent})
	}
	var out bytes.Buffer
	news := historyTeller{teller: newPlainTeller(&out, false), segment: 1}
	require.NoError(t, news.report([]live.Flight{{Segment: 1, Replay: chain.Finish()}}, live.View{}))
	require.Contains(t, out.String(), "0:02.1  flick 1: held ")
	require.Equal(t, sim.Micros(7), flickOver(sim.Flick{Down: 7, Up: sim.Never}))
}

// Lines on standard input are glances at the camera's light; u undoes one, and q ends
// the report.
func TestKeysAreGlances(t *testing.T) {
	var said notes
	s := landed(regatta)
	quits := 0
	keys := func(typed string) string {
		said.Reset()
		o := Options{Keys: strings.NewReader(typed), Note: said.note}
		o.heedKeys(s, func() { quits++ })
		return said.String()
	}
	require.Equal(t, "light: standby at 0:09.000\n", keys("s\n"))
	require.Equal(t, "light: off at 0:09.000\nlight: recording at 0:09.000\n", keys("o\nr\n"))
	require.Equal(t, 3, s.Look().Seen)
	require.Empty(t, keys("u\n"))
	require.Equal(t, 2, s.Look().Seen)
	require.Equal(t, "found \"x\", want r, s or o for the light, u to undo, or q\n", keys("x\n"))
	require.Zero(t, quits)
	require.Empty(t, keys("q\ns\n"), "nothing after q is read")
	require.Equal(t, 1, quits)

	s = session.New(heron(), func() sim.Micros { return 0 }, nil)
	require.Equal(t, "too early: nothing received yet\n", keys("r\n"))
}

// If the flight is recorded, an output that fails is noted once, and the report goes on
// until q.
func TestAFailedOutputDoesNotEndARecordedFlight(t *testing.T) {
	// The first Notify of a program starts goroutines, which must be outside the bubble.
	outside := make(chan os.Signal, 1)
	signal.Notify(outside, os.Interrupt)
	defer signal.Stop(outside)
	synctest.Test(t, func(t *testing.T) {
		to := &stuck{wait: make(chan struct{}), err: errors.New("disk full")}
		close(to.wait)
		out := NewOutlet(to)
		fmt.Fprintln(out, "a line")
		keys, typed := io.Pipe()
		time.AfterFunc(time.Minute, func() { fmt.Fprintln(typed, "q") })
		var said notes
		began := time.Now()
		flight := session.New(heron(), func() sim.Micros { return 0 }, nil)
		require.NoError(t, Tell(flight, out, Options{Keys: keys, Keeps: true, Note: said.note}))
		require.Equal(t, time.Minute, time.Since(began))
		require.Equal(t, "standard output is no longer read; the flight is still recorded\n", said.String())
		require.EqualError(t, out.Close(nil), "disk full")
	})
}

// ringTimes collects when the bell rings.
type ringTimes struct {
	began time.Time
	at    []time.Duration
}

func (r *ringTimes) Write(p []byte) (int, error) {
	for range bytes.Count(p, []byte("\a")) {
		r.at = append(r.at, time.Since(r.began))
	}
	return len(p), nil
}

// The bell rings once when a take begins, three times for a flick that failed, and
// twice when a take ends. Rings of one change are closer than two changes.
func TestTheBell(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		rings := &ringTimes{began: time.Now()}
		finish, err := Aloud{Bell: true, Whole: true, Err: rings}.Start(landed(regatta))
		require.NoError(t, err)
		finish()
		var gaps []time.Duration
		for i, at := range rings.at[1:] {
			gaps = append(gaps, at-rings.at[i])
		}
		const next, near = betweenChanges, betweenRings
		require.Equal(t, []time.Duration{next, near, near, next, near, near, next, near}, gaps,
			"a take, a flick that was not seen, a short one, the end of the take")
	})
}

// Without a bell and a speech program nothing is started.
func TestNothingIsStartedWithoutSound(t *testing.T) {
	finish, err := Aloud{}.Start(nil)
	require.NoError(t, err)
	finish()
}

// By sound, the end of the input is not reported; a glance is.
func TestASpokenTally(t *testing.T) {
	var said []string
	teller := announcer{plainTeller: plainTeller{say: func(_ sim.Micros, sentence string) error {
		said = append(said, sentence)
		return nil
	}}}
	view := live.View{At: sim.Second, Segment: 1, Input: live.Running, State: sim.StateStandby, SafeAt: sim.Never, LongAt: sim.Never}
	require.NoError(t, teller.tally(view, true))
	require.Empty(t, said)
	require.NoError(t, teller.tally(view, false))
	require.NoError(t, teller.tally(view, false))
	require.Len(t, said, 1)
	view.Seen = 1
	require.NoError(t, teller.tally(view, false))
	require.Len(t, said, 2)
}
