package viewer

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lanes"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// TestPictures compares whole pictures with those in testdata.
func TestPictures(t *testing.T) {
	for _, tt := range []struct {
		name          string
		width, height int
		glyphs        *term.Glyphs
		keys          []string
	}{
		{"whole-80x24", 80, 24, screentest.Unicode, nil},
		{"whole-120x40", 120, 40, screentest.Unicode, []string{"p", "1", "f", "2"}},
		{"press-80x24-ascii", 80, 24, screentest.ASCII, []string{"p", "enter"}},
		{"finding-40x12", 40, 12, screentest.Unicode, []string{"f", "+", "+", "+", "+", "i"}},
		{"lanes-40x12", 40, 12, screentest.Unicode, []string{"down", "down", "down", "down"}},
		{"help-80x24", 80, 24, screentest.Unicode, []string{"?"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := term.Print(viewing(tt.width, tt.height, tt.keys...), tt.width, tt.height, tt.glyphs)
			screentest.Golden(t, tt.name, got)
		})
	}
}

// laneRow draws a single lane, one row high.
func laneRow(v *Viewer, name string) string {
	view := v.current()
	c := term.NewCanvas(v.width, 1, screentest.Unicode)
	i := slices.IndexFunc(view.picture.Lanes, func(l lanes.Lane) bool { return l.Name == name })
	view.drawLane(c, &view.picture.Lanes[i], false)
	return string([]rune(fmt.Sprintf("%-*s", v.width, strings.TrimSuffix(c.String(), "\n")))[labelWidth:])
}

// tenColumns shows a log of one second in ten columns of 100 ms.
func tenColumns(rig sim.Rig, moves ...move) *Viewer {
	log := replayed("x", rig, sim.Second-1, append([]move{{0, 1000}}, moves...))
	v := New([]flight.Flight{log}, nil)
	v.Handle(term.ResizeEvent{Width: labelWidth + 10, Height: 12})
	return v
}

func TestLevelsAreDrawnToAThirdOfAColumn(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	for _, tt := range []struct {
		name  string
		moves []move
		want  string
	}{
		{"at rest", nil, "▁▁▁▁▁▁▁▁▁▁"},
		{"an edge on the border of a column", []move{{200 * ms, 2000}, {500 * ms, 1000}}, "▁▁███▁▁▁▁▁"},
		{"edges early in a column", []move{{210 * ms, 2000}, {510 * ms, 1000}}, "▁▁███▏▁▁▁▁"},
		{"edges in the middle", []move{{250 * ms, 2000}, {550 * ms, 1000}}, "▁▁▐██▌▁▁▁▁"},
		{"edges late in a column", []move{{290 * ms, 2000}, {590 * ms, 1000}}, "▁▁▕███▁▁▁▁"},
		{"a press within a column", []move{{220 * ms, 2000}, {260 * ms, 1000}}, "▁▁┃▁▁▁▁▁▁▁"},
		{"a gap within a column", []move{{100 * ms, 2000}, {220 * ms, 1000}, {260 * ms, 2000}}, "▁█┇███████"},
		{"several presses within a column",
			[]move{{210 * ms, 2000}, {230 * ms, 1000}, {250 * ms, 2000}, {270 * ms, 1000}}, "▁▁▒▁▁▁▁▁▁▁"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.want, laneRow(tenColumns(rig, tt.moves...), "position"))
		})
	}
}

func TestFlicksNeverLoseWhatIsShorterThanAColumn(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Exactly(10 * ms)
	for _, tt := range []struct {
		name  string
		moves []move
		want  string
	}{
		{"one flick, its number behind it", []move{{220 * ms, 2000}, {260 * ms, 1000}}, "  ●1      "},
		{"two flicks in one column", []move{{210 * ms, 2000}, {230 * ms, 1000}, {250 * ms, 2000}, {270 * ms, 1000}}, "  2       "},
		{"flicks side by side", []move{{200 * ms, 2000}, {280 * ms, 1000}, {300 * ms, 2000}, {380 * ms, 1000}}, "  ●●2     "},
	} {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.want, laneRow(tenColumns(rig, tt.moves...), "flicks"))
		})
	}
}

func TestBandsAreNamed(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Exactly(10 * ms)
	v := tenColumns(rig, move{200 * ms, 2000}, move{280 * ms, 1000}, move{820 * ms, 2000}, move{870 * ms, 1000})
	require.Equal(t, "··▓ rec ··", laneRow(v, "camera"))
	v.current().log.Replay.Presses[0].Doubtful = true
	require.Contains(t, laneRow(v, "takes"), "1?", "it may be no take")
}

func TestTheChannelIsDrawnFromItsLowestToItsHighestValue(t *testing.T) {
	const ms = sim.Millisecond
	v := tenColumns(sim.DefaultRig(), move{200 * ms, 1500}, move{400 * ms, 2000}, move{650 * ms, 1000})
	// 8 levels in one row, from 900 to 2100: 1000, 1500 and 2000 are levels 1, 4, 7.
	require.Equal(t, "▁▁▄▄▇▇▁▁▁▁", laneRow(v, "channel"))
}

func TestALostSignalIsMarked(t *testing.T) {
	rig := sim.DefaultRig()
	rig.SignalLoss.StaleAfter = 200 * sim.Millisecond
	v := tenColumns(rig, move{300 * sim.Millisecond, sim.Absent}, move{800 * sim.Millisecond, 1000})
	require.Equal(t, "▁▁▁▁▁╳╳╳▁▁", laneRow(v, "channel"))
}

func TestTheChanceIsDrawnAsABar(t *testing.T) {
	log := replayed("x", sim.DefaultRig(), sim.Second-1, []move{{0, 1000}})
	log.Replay.Belief = []sim.BeliefStretch{
		{From: 0, To: 500 * sim.Millisecond, Recording: 0, RecordingTo: 1},
		{From: 500 * sim.Millisecond, To: sim.Second, Recording: 0.5, RecordingTo: 0.5},
	}
	v := New([]flight.Flight{log}, nil)
	v.Handle(term.ResizeEvent{Width: labelWidth + 10, Height: 12})
	// At the middle of each column: 0.1, 0.3 … of 7 levels above the lowest.
	require.Equal(t, "▁▃▄▅▇▄▄▄▄▄", laneRow(v, "recording"))
	press(v, "down")
	require.Contains(t, v.current().cursorText(true)[0], "0 % to 100 % recording")
}

// The channel has three rows, with its values and the threshold beside them.
func TestTheChannelHasAScale(t *testing.T) {
	v := viewing(80, 24)
	c := term.NewCanvas(80, 24, screentest.Unicode)
	v.Draw(c)
	i := slices.IndexFunc(v.current().picture.Lanes, func(l lanes.Lane) bool { return l.Kind == lanes.Channel })
	places, _ := v.current().lanePlaces(v.laneRows())
	var scale []string
	for y := range 3 {
		row := strings.Split(c.String(), "\n")[firstLane+places[i].top+y]
		scale = append(scale, strings.TrimSpace(string([]rune(row)[8:labelWidth])))
	}
	require.Equal(t, []string{"2000", "1500", "1250"}, scale)
}

// The letters are those of the chart and the page.
func TestFindingsHaveTheirLetters(t *testing.T) {
	v := viewing(80, 24, "f")
	require.Equal(t, "A", strings.TrimSpace(laneRow(v, "findings"))[:1])
	text, _ := v.noteText()
	require.True(t, strings.HasPrefix(text, "A: "), text)
}

func TestASmallScreenSaysWhatIsNeeded(t *testing.T) {
	picture := term.Print(viewing(39, 12), 39, 12, screentest.Unicode)
	require.Contains(t, picture, "needs 40 x 12")
	require.NotContains(t, term.Print(viewing(40, 12), 40, 12, screentest.Unicode), "needs")
	for width := range 12 {
		for height := range 6 {
			term.Print(viewing(width, height, "p", "enter", "?"), width, height, screentest.Unicode)
		}
	}
}

func TestTheHelpListsEveryKeyOnAnyScreen(t *testing.T) {
	for _, size := range [][2]int{{40, 12}, {80, 24}, {120, 40}} {
		v := viewing(size[0], size[1], "?")
		shown := ""
		for v.help.IsOpen {
			shown += term.Print(v, size[0], size[1], screentest.Unicode)
			press(v, "space")
		}
		for _, line := range slices.Concat(v.helpPages()...) {
			keys := strings.Join(line.Keys, " ")
			require.Contains(t, shown, fmt.Sprintf("%-*s%s", term.HelpKeys, keys, line.Does), "at %v", size)
		}
	}
}

func TestTheCursorShowsOnEveryLane(t *testing.T) {
	v := viewing(80, 24, "p")
	c := term.NewCanvas(80, 24, screentest.Unicode)
	v.Draw(c)
	x := labelWidth + v.current().window.column(10*sim.Second)
	require.Equal(t, "▼", c.At(x, rulerRow).Text)
	for y := firstLane; y < firstLane+v.laneRows(); y++ {
		cell := c.At(x, y)
		require.True(t, cell.Reverse || cell.Text == "│", "row %d", y)
	}
}
