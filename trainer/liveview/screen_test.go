package liveview

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// move sets the switch to a pulse width at a time.
type move struct {
	at    sim.Micros
	value sim.PulseWidth
}

func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	return rig
}

// flying is the tally of a flight of Heron, and the stream of the screen.
type flying struct {
	tally  *live.Tally
	now    sim.Micros
	notice string
	about  string
}

// inFlight feeds moves of the switch, sampled every 10 ms up to a time.
func inFlight(rig sim.Rig, end sim.Micros, moves ...move) *flying {
	f := &flying{tally: live.New(sim.TapChannel, rig)}
	f.fly(end, moves...)
	return f
}

func (f *flying) fly(end sim.Micros, moves ...move) {
	value := sim.PulseWidth(1000)
	for ; f.now < end; f.now += 10 * sim.Millisecond {
		for len(moves) > 0 && moves[0].at <= f.now {
			value, moves = moves[0].value, moves[1:]
		}
		f.tally.Feed(f.now, 1, []sim.Sample{{At: f.now, Channel: value, Armed: sim.Absent}})
	}
}

func (f *flying) Look() live.View { return f.tally.Look(f.now).View() }

func (f *flying) See(light belief.Light) (belief.Glance, bool) { return f.tally.See(f.now, light) }

func (f *flying) Unsee() (belief.Glance, bool) { return f.tally.Unsee() }

func (f *flying) Notice() string { return f.notice }

func (f *flying) About() string { return f.about }

// watching opens the screen on a stream and types keys.
func watching(f Stream, width, height int, keys ...string) *Screen {
	l := New("Heron, live from -", f)
	l.Handle(term.ResizeEvent{Width: width, Height: height})
	for _, key := range keys {
		l.Handle(term.KeyEvent{Name: key})
	}
	return l
}

// openRig has ranges for the thresholds, and an unknown start.
func openRig() sim.Rig {
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	rig.Camera.LongPress = sim.Interval{Low: 1200 * sim.Millisecond, High: 1500 * sim.Millisecond}
	rig.Camera.StartDelay, rig.Camera.StopDelay = 800*sim.Millisecond, 1500*sim.Millisecond
	return rig
}

// The flick that starts the take at the start line, and one that is held.
var (
	startLine = []move{{at: 2 * sim.Second, value: 2000}, {at: 2*sim.Second + 280*sim.Millisecond, value: 1000}}
	held      = append(startLine[:2:2], move{at: 60 * sim.Second, value: 2000})
	brief     = []move{{at: 50 * sim.Second, value: 2000}, {at: 50*sim.Second + 40*sim.Millisecond, value: 1000}}
	tooShort  = []move{{at: 2 * sim.Second, value: 2000}, {at: 2*sim.Second + 90*sim.Millisecond, value: 1000}}
)

func TestLivePictures(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	waiting := func() *flying { return inFlight(heron(), 0) }
	lost := func() *flying {
		f := inFlight(heron(), 44*s, startLine...)
		f.now += 3 * s
		return f
	}
	for _, tt := range []struct {
		name          string
		flight        func() *flying
		width, height int
		glyphs        *term.Glyphs
		keys          []string
	}{
		{"recording-80x24", func() *flying { return inFlight(heron(), 44*s, startLine...) }, 80, 24, screentest.Unicode, nil},
		{"recording-40x12", func() *flying { return inFlight(heron(), 44*s, startLine...) }, 40, 12, screentest.Unicode, nil},
		{"failed-80x24", func() *flying { return inFlight(openRig(), 70*s, append(startLine[:2:2], brief...)...) }, 80, 24, screentest.Unicode, nil},
		{"failed-40x12", func() *flying { return inFlight(heron(), 70*s, brief...) }, 40, 12, screentest.Unicode, nil},
		{"doubtful-80x24-ascii", func() *flying { return inFlight(openRig(), 9*s, tooShort...) }, 80, 24, screentest.ASCII, nil},
		{"glance-40x12", func() *flying { return inFlight(openRig(), 9*s, tooShort...) }, 40, 12, screentest.Unicode, []string{"s"}},
		{"misfit-40x12", func() *flying { return inFlight(heron(), 44*s, startLine...) }, 40, 12, screentest.Unicode, []string{"o", "x"}},
		{"misfit-80x24", func() *flying { return inFlight(heron(), 44*s, startLine...) }, 80, 24, screentest.Unicode, []string{"o"}},
		{"press-80x24", func() *flying { return inFlight(openRig(), 60*s+400*ms, held...) }, 80, 24, screentest.Unicode, nil},
		{"let-go-40x12", func() *flying { return inFlight(openRig(), 60*s+900*ms, held...) }, 40, 12, screentest.Unicode, nil},
		{"busy-80x24", func() *flying { return inFlight(openRig(), 2*s+500*ms, startLine...) }, 80, 24, screentest.Unicode, nil},
		{"lost-80x24", lost, 80, 24, screentest.Unicode, nil},
		{"waiting-40x12", waiting, 40, 12, screentest.ASCII, nil},
		{"help-40x12", waiting, 40, 12, screentest.Unicode, []string{"?"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := term.Print(watching(tt.flight(), tt.width, tt.height, tt.keys...), tt.width, tt.height, tt.glyphs)
			screentest.Golden(t, tt.name, got)
		})
	}
}

// text returns the current picture.
func (l *Screen) text() string {
	c := term.NewCanvas(l.width, l.height, screentest.Unicode)
	l.Draw(c)
	return c.String()
}

func TestKeysSayWhatTheLightShows(t *testing.T) {
	rig := openRig()
	rig.Camera.Start = sim.StartUnknown
	f := inFlight(rig, 9*sim.Second)
	l := watching(f, 80, 24)
	require.Contains(t, l.text(), "it records with a chance of 50 %")
	for _, tt := range []struct{ key, says, then string }{
		{"r", "light: recording at 0:09.0; u undoes", "a chance of more than 99 %"},
		{"u", "undone: the light at 0:09.0", "a chance of 50 %"},
		{"s", "light: standby at 0:09.0", "a chance of less than 1 %"},
		{"u", "undone", "a chance of 50 %"},
		{"u", "nothing to undo", "a chance of 50 %"},
	} {
		l.Handle(term.KeyEvent{Name: tt.key})
		require.Contains(t, l.text(), tt.says)
		require.Contains(t, l.text(), tt.then)
	}
	l = watching(inFlight(rig, 0), 80, 24, "o")
	require.Contains(t, l.text(), "too early: nothing received yet")
}

// A flick that did nothing stays first on the screen, until the next one.
func TestAFailedFlickStays(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	next := []move{{at: 100 * s, value: 2000}, {at: 100*s + 300*ms, value: 1000}}
	f := inFlight(heron(), 90*s, brief...)
	require.Contains(t, watching(f, 80, 24).text(), "FLICK IGNORED - NOT RECORDING (40 ms: short)")
	f.fly(100*s+100*ms, next...)
	require.NotContains(t, watching(f, 80, 24).text(), "FLICK IGNORED")
	f.fly(101*s, next[1])
	require.NotContains(t, watching(f, 80, 24).text(), "FLICK IGNORED")
}

// Settle removes the flick, so the camera sees no press.
func TestAFlickThatNeverReachedTheCameraStays(t *testing.T) {
	const s = sim.Second
	rig := heron()
	rig.Switch.Settle = 60 * sim.Millisecond
	f := inFlight(rig, 90*s, append(startLine[:2:2], brief...)...)
	text := watching(f, 80, 24).text()
	require.Contains(t, text, "FLICK IGNORED - RECORDING (it never reached the camera)")
	require.Contains(t, text, "flick 2: held 40 ms, it never reached the camera")
	f.fly(101*s, move{at: 100 * s, value: 2000}, move{at: 100*s + 300*sim.Millisecond, value: 1000})
	require.NotContains(t, watching(f, 80, 24).text(), "FLICK IGNORED")
}

func TestQTwiceLeaves(t *testing.T) {
	l := watching(inFlight(heron(), sim.Second), 80, 24)
	require.True(t, l.Handle(term.KeyEvent{Name: "q"}))
	require.Contains(t, l.text(), "q once more")
	require.True(t, l.Handle(term.KeyEvent{Name: "x"}))
	require.True(t, l.Handle(term.KeyEvent{Name: "q"}))
	require.False(t, l.Handle(term.KeyEvent{Name: "q"}))
	require.False(t, watching(inFlight(heron(), sim.Second), 80, 24).Handle(term.KeyEvent{Name: "ctrl-c"}))

	l = watching(inFlight(heron(), sim.Second), 80, 24, "?")
	require.Contains(t, l.text(), "this help")
	require.True(t, l.Handle(term.KeyEvent{Name: "q"}), "it closes the help")
	require.NotContains(t, l.text(), "this help")
}

func TestThePictureIsRenewedMoreOftenWhileAPressRuns(t *testing.T) {
	l := watching(inFlight(heron(), sim.Second), 80, 24)
	l.Handle(term.TickEvent{At: 5 * sim.Second})
	require.Equal(t, 5100*sim.Millisecond, l.Wake())
	l = watching(inFlight(heron(), 60*sim.Second+300*sim.Millisecond, held...), 80, 24)
	l.Handle(term.TickEvent{At: 5 * sim.Second})
	require.Equal(t, 5040*sim.Millisecond, l.Wake())
}

func TestTheStreamsNoticeShows(t *testing.T) {
	f := inFlight(heron(), sim.Second)
	f.notice = "the record cannot be written: no space left"
	require.Contains(t, watching(f, 80, 24).text(), f.notice)
}

func TestWhatIsReadShows(t *testing.T) {
	f := inFlight(heron(), sim.Second)
	f.about = "MAVLink of system 1; 3 rows left out"
	require.Contains(t, watching(f, 80, 24).text(), "live, 0:01; MAVLink of system 1; 3 rows left out")
	require.Contains(t, watching(f, 40, 12).text(), "live, 0:01\n", "where there is no room")
}

// A signal that is lost because its device was unplugged says so.
func TestTheReasonOfALostSignalShows(t *testing.T) {
	f := inFlight(heron(), sim.Second)
	f.now += 3 * sim.Second
	f.notice = "/dev/ttyUSB0 is gone; waiting for it"
	require.Contains(t, watching(f, 80, 24).text(), "SIGNAL LOST for 3.0 s; /dev/ttyUSB0 is gone; waiting for it")
}

func TestTheTallyFitsAnyScreen(t *testing.T) {
	f := inFlight(openRig(), 60*sim.Second+900*sim.Millisecond, held...)
	for width := range 60 {
		for height := range 16 {
			small := width < term.MinWidth || height < term.MinHeight
			text := watching(f, width, height).text()
			if !small {
				require.NotContains(t, text, "needs", "%d x %d", width, height)
			}
		}
	}
	require.Contains(t, watching(f, 39, 12).text(), "needs 40 x 12")
}

// The screen follows the stream without a key.
func TestALiveScreenFollowsTheStream(t *testing.T) {
	const ms = sim.Millisecond
	tally := live.New(sim.TapChannel, heron())
	feed := func(at sim.Micros, value sim.PulseWidth) {
		tally.Feed(at, 1, []sim.Sample{{At: at, Channel: value, Armed: sim.Absent}})
	}
	l := watching(&steps{flying: flying{tally: tally}, do: []func(){
		func() { feed(0, 1000) },
		func() { feed(1000*ms, 2000) },
		func() { feed(1300*ms, 1000) },
		func() { feed(1310*ms, 1000) },
	}}, 80, 24)
	for range 4 {
		require.True(t, l.Handle(term.TickEvent{At: l.Wake()}))
	}
	require.Contains(t, l.text(), "0.0 s ago, flick 1: held 300 ms, toggled")
	require.Contains(t, l.text(), "1 take")
}

// steps is a stream with a new sample for each view.
type steps struct {
	flying
	do []func()
}

func (s *steps) Look() live.View {
	if len(s.do) > 0 {
		s.do[0]()
		s.do = s.do[1:]
	}
	s.now = 1310 * sim.Millisecond
	return s.flying.Look()
}

func BenchmarkLiveTick(b *testing.B) {
	f := inFlight(openRig(), 44*sim.Second, startLine...)
	l := watching(f, 80, 24)
	c := term.NewCanvas(80, 24, screentest.Unicode)
	for b.Loop() {
		l.Handle(term.TickEvent{At: f.now})
		l.Draw(c)
	}
}

func TestDrawsAtEverySize(t *testing.T) {
	screentest.CheckEverySize(t, func() term.Program {
		return watching(inFlight(heron(), sim.Second, move{500 * sim.Millisecond, 2000}), 80, 24)
	})
}

func TestQuitsLikeAllScreens(t *testing.T) {
	screentest.CheckQuits(t, watching(inFlight(openRig(), 10*sim.Second, held...), 80, 24))
}

// For a camera that toggles on the press and has no long action, a long hold is no
// failure.
func TestALongPressThatToggledIsNoFailure(t *testing.T) {
	rig := heron()
	rig.Camera.ToggleOn, rig.Camera.LongAction = sim.ToggleOnPress, sim.ActionNone
	v := inFlight(rig, 60*sim.Second, move{sim.Second, 2000}, move{4 * sim.Second, 1000}).Look()
	require.Equal(t, sim.VerdictLong, v.Last().Verdict)
	require.False(t, Failed(v.Replay, v.Last()))
	require.Contains(t, PressText(v.Replay, v.Last()), "held 3000 ms, toggled")

	rig.Camera.LongAction = sim.ActionPowerOff
	v = inFlight(rig, 60*sim.Second, move{sim.Second, 2000}, move{4 * sim.Second, 1000}).Look()
	require.True(t, Failed(v.Replay, v.Last()), "it switched the camera off as well")
}
