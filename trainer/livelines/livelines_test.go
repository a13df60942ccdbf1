package livelines

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
)

// flown replays flicks with holds in ms, one every 5 s.
func flown(holds ...sim.Micros) *sim.Replay {
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	feed := func(at sim.Micros, value sim.PulseWidth) {
		chain.Feed(sim.Sample{At: at, Channel: value, Armed: sim.Absent})
	}
	for i, hold := range holds {
		down := sim.Micros(i+1) * 5 * sim.Second
		for at := down - 5*sim.Second; at < down+5*sim.Second; at += 10 * sim.Millisecond {
			value := sim.PulseWidth(1000)
			if at >= down && at < down+hold*sim.Millisecond {
				value = 2000
			}
			if at >= down || i == 0 {
				feed(at, value)
			}
		}
	}
	return chain.Finish()
}

// Each event is reported once and in order of time, however often the tally is viewed.
func TestWhatHappenedIsToldOnce(t *testing.T) {
	var out bytes.Buffer
	r := flown(300, 300)
	news := historyTeller{teller: newPlainTeller(&out, false), segment: 1}
	view := live.View{Replay: r, Past: r.Presses}
	require.NoError(t, news.report(nil, view))
	first := out.String()
	require.Regexp(t, `(?s)^0:05\.\d  .*\n.*take 1 begins\n.*take 1 ends after .*\n`, first)
	require.Len(t, strings.Split(strings.TrimSpace(first), "\n"), 4, "%s", first)
	require.NoError(t, news.report(nil, view))
	require.Equal(t, first, out.String())

	require.NoError(t, news.report([]live.Flight{{Segment: 1, Replay: r}}, live.View{Segment: 2}))
	require.Equal(t, first, out.String(), "the flight that is over was reported")
	require.Equal(t, 2, news.segment)
}

// stuck is a writer that blocks until wait is closed.
type stuck struct {
	wait chan struct{}
	got  bytes.Buffer
	err  error
}

func (s *stuck) Write(p []byte) (int, error) {
	<-s.wait
	if s.err != nil {
		return 0, s.err
	}
	return s.got.Write(p)
}

func TestAnOutletNeverWaits(t *testing.T) {
	to := &stuck{wait: make(chan struct{})}
	out := NewOutlet(to)
	var want strings.Builder
	for i := range 100 {
		fmt.Fprintf(out, "line %d\n", i)
		fmt.Fprintf(&want, "line %d\n", i)
	}
	full := bytes.Repeat([]byte("x"), mostWaiting+1)
	_, err := out.Write(full)
	require.NoError(t, err)
	close(to.wait)
	var said []string
	require.NoError(t, out.Close(func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }))
	require.Equal(t, want.String(), to.got.String())
	require.Equal(t, []string{"1 line dropped, as standard output was not read"}, said)
}

func TestTheErrorOfAnOutlet(t *testing.T) {
	for err, want := range map[error]string{syscall.EPIPE: "", errors.New("disk full"): "disk full"} {
		to := &stuck{wait: make(chan struct{}), err: err}
		close(to.wait)
		out := NewOutlet(to)
		fmt.Fprintln(out, "line")
		closed := out.Close(nil)
		if want == "" {
			require.NoError(t, closed, "a closed pipe is no error")
		} else {
			require.EqualError(t, closed, want)
		}
		_, err = out.Write([]byte("more"))
		require.ErrorIs(t, err, to.err)
	}
}

// A failed output ends the report at once, even without another event.
func TestAFailedOutputEndsTheReport(t *testing.T) {
	to := &stuck{wait: make(chan struct{}), err: errors.New("disk full")}
	close(to.wait)
	out := NewOutlet(to)
	fmt.Fprintln(out, "the only line")
	keys, quit := io.Pipe()
	defer quit.Close()
	late := time.AfterFunc(time.Minute, func() { fmt.Fprintln(quit, "q") })
	flight := session.New(sim.DefaultRig(), func() sim.Micros { return 0 }, nil) // nothing comes, and it never ends
	require.NoError(t, Tell(flight, out, Options{Keys: keys}))
	require.True(t, late.Stop(), "it went on")
	require.EqualError(t, out.Close(nil), "disk full")
}

// Rings are dropped while many wait, and so are sentences.
func TestNothingThatIsHeardWaits(t *testing.T) {
	a := announcer{rings: make(chan int, 1)}
	a.ring(ringBegins)
	a.ring(ringEnds)
	require.Equal(t, ringBegins, <-a.rings)
	require.Empty(t, a.rings)

	p := speaker{sentences: make(chan string, 1)}
	p.say("take 1 begins")
	p.say("take 1 ends")
	require.Equal(t, 1, p.left)
}
