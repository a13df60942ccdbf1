package viewer

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// viewing returns a viewer of the regatta on a screen, after some keys.
func viewing(width, height int, keys ...string) *Viewer {
	v := New([]flight.Flight{regatta()}, nil)
	v.Handle(term.ResizeEvent{Width: width, Height: height})
	press(v, keys...)
	return v
}

func press(v *Viewer, keys ...string) {
	for _, key := range keys {
		v.Handle(term.KeyEvent{Name: key})
	}
}

func TestKeysMoveTheCursorToWhatIsNext(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	for _, tt := range []struct {
		name string
		keys []string
		want sim.Micros
	}{
		{"the next flick", []string{"p"}, 10 * s},
		{"the flick after it", []string{"p", "p"}, 52 * s},
		{"the flick before", []string{"p", "p", "P"}, 10 * s},
		{"no flick before the first", []string{"p", "P"}, 10 * s},
		{"no flick after the last", []string{"end", "p"}, 180 * s},
		{"the next take", []string{"t", "t"}, 81*s + 320*ms},
		{"the take before", []string{"end", "T"}, 81*s + 320*ms},
		{"the next edge of the flicks", []string{"e", "e"}, 10*s + 300*ms},
		{"the next edge of the camera", []string{"up", "up", "e"}, 10*s + 300*ms},
		{"the edge before", []string{"end", "E", "E"}, 150 * s},
		{"the next finding", []string{"f"}, 80 * s},
		{"the finding after it", []string{"f", "f"}, 150 * s},
		{"the finding before", []string{"f", "f", "F"}, 80 * s},
		{"the last finding, seen from the end", []string{"end", "F"}, 150 * s},
		{"the start", []string{"p", "home"}, 0},
		{"the end", []string{"end"}, 180 * s},
	} {
		t.Run(tt.name, func(t *testing.T) {
			view := viewing(80, 24, tt.keys...).current()
			require.Equal(t, tt.want, view.cursor)
			require.True(t, view.window.shows(view.cursor))
		})
	}
}

func TestAMessageSaysThatNothingIsNext(t *testing.T) {
	require.Equal(t, "no further flick", viewing(80, 24, "end", "p").message)
	require.Equal(t, "no earlier take", viewing(80, 24, "T").message)
	require.Empty(t, viewing(80, 24, "T", "p").message, "the next key clears it")
}

func TestFindingsOfOneMomentAreVisitedOneByOne(t *testing.T) {
	log := regatta()
	log.Findings = []tell.Finding{{At: 5, Text: "one"}, {At: 5, Text: "two"}, {At: 9, Text: "three"}}
	v := New([]flight.Flight{log}, nil)
	v.Handle(term.ResizeEvent{Width: 80, Height: 24})
	for _, step := range []struct{ key, want string }{
		{"f", "one"}, {"f", "two"}, {"f", "three"}, {"F", "two"}, {"F", "one"},
	} {
		press(v, step.key)
		text, role := v.noteText()
		require.Contains(t, text, ": "+step.want)
		require.Equal(t, term.Problem, role)
	}
}

func TestTheCursorSnapsToEdgesOfTheSelectedLane(t *testing.T) {
	at := func(keys ...string) sim.Micros {
		v := viewing(60+labelWidth, 24, keys...)
		v.current().moveToColumn(3, v.snap) // 9 s to 12 s
		return v.current().cursor
	}
	require.Equal(t, 10*sim.Second, at(), "the press goes down")
	require.Equal(t, 9*sim.Second, at("s"), "snap is off: the start of the column")
	require.Equal(t, 10*sim.Second+300*sim.Millisecond, at("up", "up"), "the camera starts at the release")
}

func TestMarksMeasure(t *testing.T) {
	v := viewing(100, 24)
	require.Equal(t, "1 marks \"from\", 2 marks \"to\", to measure between them", v.current().markTexts()[0])
	press(v, "p", "1", "p", "p")
	require.Equal(t, "from 0:10.000 to the cursor: 70 s apart, 3 flicks (2 toggled, 1 short)",
		v.current().markTexts()[0])
	press(v, "2", "end")
	require.Equal(t, "from 0:10.000 to 1:20.000: 70 s apart, 3 flicks (2 toggled, 1 short)",
		v.current().markTexts()[0])
	press(v, "b")
	require.True(t, v.current().window.shows(10*sim.Second))
	press(v, "c")
	_, set := v.current().between()
	require.False(t, set)
	press(v, "b")
	require.Contains(t, v.message, "no mark is set")
}

func TestTheStatusLineMeasuresWhatTheCursorIsIn(t *testing.T) {
	for _, tt := range []struct {
		name string
		keys []string
		want string
	}{
		{"between flicks", nil, "cursor 0:00.000  flicks: none for 10 s  camera: standby"},
		{"in a flick", []string{"p"}, "cursor 0:10.000  flicks: 1 toggled for 300 ms  camera: standby"},
		{"in a state", []string{"t", "up", "up"}, "cursor 0:10.300  camera: recording for 42 s  camera: recording"},
		{"in a take", []string{"t", "up"}, "cursor 0:10.300  takes: 1 for 42 s  camera: recording"},
		{"in a pressed position", []string{"p", "down", "down"}, "cursor 0:10.000  position: pressed for 300 ms  camera: standby"},
		{"at a finding", []string{"f", "up", "up", "up"}, "cursor 1:20.000  findings: 1 of 2  camera: standby"},
		{"snap off", []string{"s"}, "cursor 0:00.000  flicks: none for 10 s  camera: standby  snap off"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := viewing(80, 24, tt.keys...)
			require.Equal(t, tt.want, v.current().cursorText(v.snap)[0])
		})
	}
}

func TestTheNoteIsAboutThePlace(t *testing.T) {
	note := func(keys ...string) string {
		text, _ := viewing(80, 24, keys...).noteText()
		return text
	}
	require.Equal(t, "press 1 down at 0:10.000, held 300 ms: toggle, 220 ms to spare; by hand 290 to 310 ms", note("p"))
	require.Contains(t, note("p", "p", "p"), "flick 3", "the finding has priority over its press")
	require.Equal(t, "modelled: a hold from 80 ms to less than 1500 ms toggles; measure your own camera, and trust only its light", note())
}

func TestFittingShowsWhatTheCursorIsIn(t *testing.T) {
	v := viewing(80, 24, "p", "enter")
	w := v.current().window
	require.Equal(t, sim.Span{From: 10*sim.Second - 75*sim.Millisecond, To: 10*sim.Second + 375*sim.Millisecond}, w.visible())
	press(v, "a")
	require.Equal(t, sim.Span{From: 0, To: 180 * sim.Second}, v.current().window.visible())
}

func TestTheWholeLogStaysVisibleAcrossAResize(t *testing.T) {
	v := viewing(80, 24)
	v.Handle(term.ResizeEvent{Width: 40, Height: 12})
	require.Equal(t, sim.Span{From: 0, To: 180 * sim.Second}, v.current().window.visible())
	press(v, "+", "+")
	zoomed := v.current().window.visible()
	v.Handle(term.ResizeEvent{Width: 120, Height: 40})
	require.Equal(t, zoomed, v.current().window.visible(), "and so does a part of it")
}

func TestThePointer(t *testing.T) {
	v := viewing(labelWidth+90, 24) // 2 s a column
	places, _ := v.current().lanePlaces(v.laneRows())
	row := func(name string) int {
		for i, l := range v.current().picture.Lanes {
			if l.Name == name {
				return firstLane + places[i].top
			}
		}
		panic("internal error: no lane " + name)
	}
	at := func(x, y int, action term.PointerAction) { v.Handle(term.PointerEvent{X: x, Y: y, Action: action}) }

	at(labelWidth+20, row("camera"), term.PointerPress)
	require.Equal(t, "camera", v.current().lane().Name)
	require.InDelta(t, 40, v.current().cursor.Seconds(), 0.01)

	at(2, row("takes"), term.PointerPress)
	require.Equal(t, "takes", v.current().lane().Name, "a click on a name selects the lane")
	require.InDelta(t, 40, v.current().cursor.Seconds(), 0.01, "and leaves the cursor")

	at(labelWidth+30, row("takes"), term.PointerDrag)
	at(labelWidth+50, row("takes"), term.PointerDrag)
	between, set := v.current().between()
	require.True(t, set)
	require.InDelta(t, 40, between.From.Seconds(), 0.01)
	require.InDelta(t, 100, between.To.Seconds(), 0.01)

	at(labelWidth+45, 10, term.WheelUp)
	require.InDelta(t, 45, v.current().window.from.Seconds(), 0.1, "zoomed about 90 s")
	require.InDelta(t, 90, v.current().window.span.Seconds(), 0.1)
	at(labelWidth+45, rulerRow, term.WheelDown)
	require.InDelta(t, 45+90./8, v.current().window.from.Seconds(), 0.1, "scrolled")
	at(labelWidth+45, 10, term.WheelDown)
	require.InDelta(t, 180, v.current().window.span.Seconds(), 0.1)
}

func TestSavingReportsItsResult(t *testing.T) {
	var saved sim.Span
	var fail error
	v := New([]flight.Flight{regatta()}, func(_ int, s sim.Span) (string, error) { saved = s; return "chart.svg", fail })
	v.Handle(term.ResizeEvent{Width: 80, Height: 24})
	press(v, "p", "enter", "w")
	require.Equal(t, v.current().window.visible(), saved)
	require.Equal(t, "saved this view as chart.svg", v.message)
	fail = errors.New("the disk is full")
	press(v, "w")
	require.Equal(t, "not saved: the disk is full", v.message)
	require.Contains(t, viewing(80, 24, "w").message, "cannot be saved")
}

func TestKeysTurnToOtherSegments(t *testing.T) {
	second := regatta()
	second.File = "second.csv"
	v := New([]flight.Flight{regatta(), second}, nil)
	v.Handle(term.ResizeEvent{Width: 80, Height: 24})
	press(v, "]", "]")
	require.Equal(t, "second.csv", v.current().log.File)
	require.Equal(t, 80-labelWidth, v.current().window.columns)
	require.Contains(t, term.Print(v, 80, 24, screentest.Unicode), "second.csv, 2 of 2")
	press(v, "[", "[")
	require.Equal(t, "regatta.csv", v.current().log.File)
}

func TestShowBeginsWithAStretch(t *testing.T) {
	v := New([]flight.Flight{regatta()}, nil)
	v.Show(sim.Span{From: 50 * sim.Second, To: 60 * sim.Second})
	v.Handle(term.ResizeEvent{Width: 80, Height: 24})
	require.Equal(t, sim.Span{From: 50 * sim.Second, To: 60 * sim.Second}, v.current().window.visible())
	require.Equal(t, 50*sim.Second, v.current().cursor)
}

func TestOnlyQAndCtrlCEndTheViewer(t *testing.T) {
	v := viewing(80, 24)
	for _, b := range bindings {
		for _, key := range b.Keys {
			v.help.IsOpen = false
			goesOn := v.Handle(term.KeyEvent{Name: key})
			require.Equal(t, key != "q" && key != "ctrl-c", goesOn, key)
		}
	}
	press(v, "?")
	require.True(t, v.Handle(term.KeyEvent{Name: "q"}), "q closes the help first")
	require.False(t, v.help.IsOpen)
	press(v, "?")
	require.False(t, v.Handle(term.KeyEvent{Name: "ctrl-c"}), "ctrl-c quits at once")
	require.True(t, v.Handle(term.KeyEvent{Name: "unbound"}))
}
