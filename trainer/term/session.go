package term

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
)

// Program is what a session shows.
type Program interface {
	// Handle handles the next event and reports whether the program continues.
	Handle(Event) bool
	// Draw draws the whole picture on a blank canvas.
	Draw(*Canvas)
	// Wake returns when the program wants its next [TickEvent]; [sim.Never] for
	// no tick.
	Wake() sim.Micros
}

// ringer is a program that may ring the terminal's bell.
type ringer interface {
	// Ring reports whether the bell should ring; it is called after every
	// event.
	Ring() bool
}

// keyHolder is a program that needs to know how long a key is held: it gets
// releases, and a [KeyboardEvent] that says whether there are any.
type keyHolder interface{ HoldsKeys() bool }

// keyboardPatience is how long a terminal may take to say whether it reports
// releases. One that does not answer reports none.
const keyboardPatience = sim.Second

// Source posts values until it has no more or the context is done. The program gets
// each value as a [SourceEvent].
type Source func(ctx context.Context, post func(value any))

// clock returns the time since the session began. It never goes back.
type clock func() sim.Micros

// NoScreenError says that the terminal cannot show a program.
type NoScreenError struct{ Cause error }

func (e *NoScreenError) Error() string {
	return fmt.Sprintf("cannot show a screen on this terminal (TERM=%q): %v", os.Getenv("TERM"), e.Cause)
}

func (e *NoScreenError) Unwrap() error { return e.Cause }

// SignalError says that a signal ended the session.
type SignalError struct{ Signal os.Signal }

func (e *SignalError) Error() string { return fmt.Sprintf("ended by a signal: %v", e.Signal) }

// Run shows a program on the terminal until it ends, and then restores the
// terminal, whatever happens: the end, an error, a signal, a panic in the
// program or in a source. The error is a [*NoScreenError] or a [*SignalError].
func Run(p Program, sources ...Source) error {
	start := time.Now()
	clock := func() sim.Micros { return sim.Micros(time.Since(start).Microseconds()) }
	stamps := newStamps()
	screen, err := openScreen(clock, stamps)
	if err != nil {
		return &NoScreenError{err}
	}
	return newSession(screen, clock, start, stamps).run(p, sources)
}

// openScreen opens the terminal and takes it over.
func openScreen(clock clock, stamps *stamps) (tcell.Screen, error) {
	tcell.SetEncodingFallback(tcell.EncodingFallbackASCII)
	tty, err := openTty()
	if err != nil {
		return nil, err
	}
	screen, err := tcell.NewTerminfoScreenFromTty(&steadyTty{Tty: newStampingTty(tty, clock, stamps)})
	if err != nil {
		_ = tty.Close() // fails because it was not in use
		return nil, err
	}
	if err := screen.Init(); err != nil {
		return nil, err
	}
	screen.EnableMouse(tcell.MouseDragEvents)
	return screen, nil
}

// session owns a screen while a program is shown on it.
type session struct {
	// using guards the screen, so that the terminal is never restored while a
	// picture is being drawn.
	using   sync.Mutex
	screen  tcell.Screen
	gone    bool // the terminal could not be taken over again; guarded by using
	clock   clock
	start   time.Time // the zero of clock
	stamps  *stamps
	pointer pointer

	events    chan Event
	ends      chan os.Signal  // signals that end the session
	continued chan os.Signal  // signals that the process continues after a stop
	ctx       context.Context // done when the program has ended
	end       context.CancelFunc

	painter *Painter

	holds bool        // the program wants releases
	quiet *time.Timer // until a terminal counts as not answering
}

func newSession(screen tcell.Screen, clock clock, start time.Time, stamps *stamps) *session {
	ctx, end := context.WithCancel(context.Background())
	return &session{
		screen: screen, clock: clock, start: start, stamps: stamps,
		events:    make(chan Event, 64),
		ends:      make(chan os.Signal, 1),
		continued: make(chan os.Signal, 1),
		ctx:       ctx,
		end:       end,
		painter:   NewPainter(screen),
		quiet:     time.NewTimer(0),
	}
}

// run shows the program until it ends. The screen must be initialised.
func (s *session) run(p Program, sources []Source) error {
	defer s.closeScreen()
	defer s.end()
	signal.Notify(s.ends, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(s.ends)
	s.notifyContinue()
	defer signal.Stop(s.continued)
	defer s.quiet.Stop()
	holder, canHold := p.(keyHolder)
	s.holds = canHold && holder.HoldsKeys()
	s.askReleases()

	s.work(s.readScreen)
	for _, source := range sources {
		s.work(func() { source(s.ctx, func(value any) { s.post(SourceEvent{s.clock(), value}) }) })
	}
	return s.loop(p)
}

// work runs f beside the loop. It starts every goroutine of a session, so that a
// panic in one restores the terminal before it ends the process.
func (s *session) work(f func()) {
	go func() {
		defer func() {
			if cause := recover(); cause != nil {
				s.closeScreen()
				panic(cause)
			}
		}()
		f()
	}()
}

// closeScreen restores the terminal for good. The screen remains locked, so that
// nothing is drawn on it any more.
func (s *session) closeScreen() {
	s.using.Lock()
	s.dropReleases()
	s.screen.Fini()
}

// askReleases asks the terminal to report releases, if the program wants them.
func (s *session) askReleases() {
	s.quiet.Stop()
	if !s.holds {
		return
	}
	s.stamps.ask()
	if reportsReleases {
		s.stamps.answer(true)
		return
	}
	s.write(wantReleases + askReleases)
	s.quiet.Reset(keyboardPatience.Duration())
}

func (s *session) dropReleases() {
	if s.holds && !reportsReleases {
		s.write(dropReleases)
	}
}

// write writes to the terminal itself, which a simulated screen does not have. If
// that fails, the terminal is gone, which reading from it will report.
func (s *session) write(sequence string) {
	if tty, has := s.screen.Tty(); has && tty != nil {
		_, _ = tty.Write([]byte(sequence))
	}
}

func (s *session) paint(p Program) {
	s.using.Lock()
	defer s.using.Unlock()
	if !s.gone {
		s.painter.Paint(p)
	}
}

// loop passes events to the program one by one, and draws after each batch that was
// waiting.
func (s *session) loop(p Program) error {
	alarm := time.NewTimer(0)
	defer alarm.Stop()
	<-alarm.C
	running := s.handle(p, s.resized())
	for running {
		s.paint(p)
		s.setAlarm(alarm, p.Wake())
		event, err := s.next(alarm)
		if err != nil {
			return err
		}
		running = s.handle(p, event)
		for waiting := len(s.events); running && waiting > 0; waiting-- {
			running = s.handle(p, <-s.events)
		}
	}
	return nil
}

func (s *session) resized() Event {
	width, height := s.screen.Size()
	return ResizeEvent{s.clock(), width, height}
}

func (s *session) setAlarm(alarm *time.Timer, wake sim.Micros) {
	alarm.Stop()
	if wake != sim.Never {
		alarm.Reset(max(0, wake-s.clock()).Duration())
	}
}

// next waits for an event. It returns a signal that ends the session as an error.
func (s *session) next(alarm *time.Timer) (Event, error) {
	select {
	case event := <-s.events:
		return event, nil
	case <-alarm.C:
		return TickEvent{s.clock()}, nil
	case releases := <-s.stamps.answers:
		s.quiet.Stop()
		return KeyboardEvent{s.clock(), releases}, nil
	case <-s.quiet.C:
		return KeyboardEvent{s.clock(), false}, nil
	case <-s.continued:
		s.retakeScreen()
		return s.resized(), nil
	case sig := <-s.ends:
		return nil, &SignalError{sig}
	}
}

// handle passes on an event and reports whether the program continues. The session
// handles Ctrl-Z, as a terminal normally does.
func (s *session) handle(p Program, event Event) bool {
	if key, isKey := event.(KeyEvent); isKey && key.Name == "ctrl-z" {
		s.suspend()
		event = s.resized()
	}
	if _, isResize := event.(ResizeEvent); isResize {
		s.painter.forget()
	}
	running := p.Handle(event)
	if ringer, rings := p.(ringer); rings && ringer.Ring() {
		s.ring()
	}
	return running
}

func (s *session) ring() {
	s.using.Lock()
	defer s.using.Unlock()
	if s.gone {
		return
	}
	_ = s.screen.Beep()
}

func (s *session) post(event Event) {
	select {
	case s.events <- event:
	case <-s.ctx.Done():
	}
}

// readScreen passes on what the terminal reports, until the screen is closed.
func (s *session) readScreen() {
	for reported := s.screen.PollEvent(); reported != nil; reported = s.screen.PollEvent() {
		if event := s.translate(reported); event != nil {
			s.post(event)
		}
	}
}

// translate converts the terminal's report to an event; nil if it means nothing to
// a program. If the terminal is gone, it ends the session like a hangup signal.
func (s *session) translate(reported tcell.Event) Event {
	at := sim.Micros(reported.When().Sub(s.start).Microseconds())
	switch e := reported.(type) {
	case *tcell.EventKey:
		read, kind := s.stamps.take(keyByte(e), at)
		if kind == KeyReleased && !s.holds {
			return nil
		}
		return KeyEvent{read, keyName(e), kind}
	case *tcell.EventMouse:
		if action := s.pointer.action(e); action != "" {
			x, y := e.Position()
			return PointerEvent{at, x, y, action}
		}
	case *tcell.EventResize:
		width, height := e.Size()
		return ResizeEvent{at, width, height}
	case *tcell.EventError:
		s.hangUp()
	}
	return nil
}

// hangUp ends the session like a hangup signal.
func (s *session) hangUp() {
	select {
	case s.ends <- syscall.SIGHUP:
	default:
	}
}
