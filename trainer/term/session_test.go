package term

import (
	"context"
	"errors"
	"syscall"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// recorder is a program that shows the last key and keeps every event. It ends
// on "q".
type recorder struct {
	events chan Event
	last   string
	wake   sim.Micros
}

func newRecorder() *recorder {
	return &recorder{events: make(chan Event, 100), last: "-", wake: sim.Never}
}

func (r *recorder) Handle(e Event) bool {
	r.events <- e
	switch e := e.(type) {
	case KeyEvent:
		r.last = e.Name
		return e.Name != "q"
	case TickEvent:
		r.wake = sim.Never
	}
	return true
}

func (r *recorder) Draw(c *Canvas) { c.Text(0, 0, "last: "+r.last, Strong) }

func (r *recorder) Wake() sim.Micros { return r.wake }

// next waits for an event of one kind.
func next[E Event](t *testing.T, r *recorder) E {
	t.Helper()
	deadline := time.After(time.Minute)
	for {
		select {
		case e := <-r.events:
			if wanted, ok := e.(E); ok {
				return wanted
			}
		case <-deadline:
			t.Fatalf("no %T came", *new(E))
		}
	}
}

// simulated runs a program on a simulated screen; end waits for its result.
func simulated(t *testing.T, p Program, sources ...Source) (s *session, screen tcell.SimulationScreen, end func() error) {
	t.Helper()
	screen = tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, screen.Init())
	start := time.Now()
	s = newSession(screen, func() sim.Micros { return sim.Micros(time.Since(start).Microseconds()) }, start, newStamps())
	ended := make(chan error, 1)
	go func() { ended <- s.run(p, sources) }()
	return s, screen, func() error {
		select {
		case err := <-ended:
			return err
		case <-time.After(time.Minute):
			t.Fatal("the session does not end")
			return nil
		}
	}
}

func TestASessionPassesOnKeysPointerAndSize(t *testing.T) {
	r := newRecorder()
	_, screen, end := simulated(t, r)
	first := next[ResizeEvent](t, r)
	require.Equal(t, [2]int{80, 25}, [2]int{first.Width, first.Height})

	screen.InjectKey(tcell.KeyRune, 'e', tcell.ModNone)
	require.Equal(t, "e", next[KeyEvent](t, r).Name)
	screen.InjectMouse(7, 3, tcell.ButtonPrimary, tcell.ModNone)
	click := next[PointerEvent](t, r)
	require.Equal(t, PointerEvent{click.At, 7, 3, PointerPress}, click)
	screen.SetSize(40, 12)
	require.NoError(t, screen.PostEvent(tcell.NewEventResize(40, 12))) // as a real screen does
	size := next[ResizeEvent](t, r)
	require.Equal(t, [2]int{40, 12}, [2]int{size.Width, size.Height})
	require.LessOrEqual(t, click.When(), size.When())

	screen.InjectKey(tcell.KeyRune, 'q', tcell.ModNone)
	require.NoError(t, end())
}

func TestASessionWakesAProgramWhenItAsks(t *testing.T) {
	r := newRecorder()
	r.wake = 20 * sim.Millisecond
	_, screen, end := simulated(t, r)
	require.GreaterOrEqual(t, next[TickEvent](t, r).At, 20*sim.Millisecond)
	screen.InjectKey(tcell.KeyRune, 'q', tcell.ModNone)
	require.NoError(t, end())
	for len(r.events) > 0 {
		_, isTick := (<-r.events).(TickEvent)
		require.False(t, isTick, "a tick that the program did not request")
	}
}

func TestASourcePostsUntilTheSessionEnds(t *testing.T) {
	r := newRecorder()
	stopped := make(chan struct{})
	source := func(ctx context.Context, post func(any)) {
		defer close(stopped)
		post("switch moved")
		<-ctx.Done()
	}
	_, screen, end := simulated(t, r, source)
	require.Equal(t, "switch moved", next[SourceEvent](t, r).Value)
	screen.InjectKey(tcell.KeyRune, 'q', tcell.ModNone)
	require.NoError(t, end())
	<-stopped
}

func TestASignalEndsASession(t *testing.T) {
	r := newRecorder()
	s, _, end := simulated(t, r)
	next[ResizeEvent](t, r)
	s.ends <- syscall.SIGTERM
	var bySignal *SignalError
	require.ErrorAs(t, end(), &bySignal)
	require.Equal(t, syscall.SIGTERM, bySignal.Signal)
}

func TestALostTerminalEndsASession(t *testing.T) {
	r := newRecorder()
	_, screen, end := simulated(t, r)
	next[ResizeEvent](t, r)
	require.NoError(t, screen.PostEvent(tcell.NewEventError(errors.New("input/output error"))))
	var bySignal *SignalError
	require.ErrorAs(t, end(), &bySignal)
	require.Equal(t, syscall.SIGHUP, bySignal.Signal)
}

// countingScreen counts the cells that are drawn.
type countingScreen struct {
	tcell.Screen
	puts, shows int
}

func (s *countingScreen) Put(x, y int, text string, style tcell.Style) (string, int) {
	s.puts++
	return s.Screen.Put(x, y, text, style)
}

func (s *countingScreen) Show() {
	s.shows++
	s.Screen.Show()
}

func TestOnlyChangedCellsAreDrawn(t *testing.T) {
	simulation := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, simulation.Init())
	defer simulation.Fini()
	screen := &countingScreen{Screen: simulation}
	r, p := newRecorder(), NewPainter(screen)

	p.Paint(r)
	require.Equal(t, 80*25, screen.puts, "the first picture is drawn in full")
	screen.puts, screen.shows = 0, 0
	p.Paint(r)
	require.Zero(t, screen.puts+screen.shows, "an equal picture is not drawn at all")
	r.last = "e"
	p.Paint(r)
	require.Equal(t, 1, screen.puts)

	text, style, _ := simulation.Get(6, 0)
	require.Equal(t, "e", text)
	require.Equal(t, stylesFor(simulation.Colors())[Strong], style)

	screen.puts = 0
	p.forget()
	p.Paint(r)
	require.Equal(t, 80*25, screen.puts, "after forget, the picture is drawn in full")
}
