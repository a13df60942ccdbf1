package starter_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
	"flicktally/sim/rigfile/starter"
)

func TestEveryCommonRigIsSound(t *testing.T) {
	for name := range strings.SplitSeq(starter.Names(), ", ") {
		text, err := starter.Like(name)
		require.NoError(t, err)
		file, err := rigfile.Parse(text, name)
		require.NoError(t, err)
		require.NoError(t, file.Rig.Validate())
		require.NotEmpty(t, rigfile.Differences(sim.DefaultRig(), file.Rig), name)
	}
	_, err := starter.Like("sailing")
	require.ErrorContains(t, err, starter.Names())
}

// TestAskTakesAnswers: a question is repeated until the answer is possible; Enter
// takes the proposal.
func TestAskTakesAnswers(t *testing.T) {
	var prompts, notes strings.Builder
	note := func(format string, args ...any) { fmt.Fprintf(&notes, format+"\n", args...) }
	answers := "Gannet\n#7\nnorth\nnear\ninverting\nhigh\n\n60ms to 110ms\n50ms\n1.2s to 1.6s\n"
	text, err := starter.Ask(rigfile.Default(), strings.NewReader(answers), &prompts, note)
	require.NoError(t, err)
	file, err := rigfile.Parse(text, "answers")
	require.NoError(t, err)
	want := sim.DefaultRig()
	want.Name, want.Log.Channel = "Gannet", "#7"
	want.Switch.Press = []sim.PulseRange{{Low: 750, High: 1300}}
	want.Line.Through, want.Line.Active, want.Camera.PressedLevel = sim.ThroughInverting, sim.ActiveLow, sim.ActiveHigh
	want.Link.Frame = 20 * sim.Millisecond
	want.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	want.Camera.LongPress = sim.Interval{Low: 1200 * sim.Millisecond, High: 1600 * sim.Millisecond}
	require.Equal(t, want, file.Rig)
	require.Contains(t, notes.String(), `found "north": want one of the answers in parentheses`)
	require.Contains(t, notes.String(), `found "50ms": camera.long_press`)
	require.Equal(t, 10, strings.Count(prompts.String(), "]: "), "eight questions, two of them twice")

	_, err = starter.Ask(rigfile.Default(), strings.NewReader("Gannet\n"), &prompts, note)
	require.ErrorContains(t, err, "question 2")
	require.Equal(t, problem.Usage, problem.KindOf(err))
}
