package trials_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/fit"
	"flicktally/sim/fit/trials"
)

// TestRun types holds and outcomes, takes one back, and stops.
func TestRun(t *testing.T) {
	var prompts strings.Builder
	var kept [][]fit.Trial
	run := trials.Run{
		Options: fit.Options{Shape: fit.Logistic, Confidence: 0.95}, Goal: fit.DefaultGoal,
		Answers: strings.NewReader("210ms\nx\nT\n90ms\nn\nu\nbrief\n2s\nlong\nq\n"),
		Prompts: &prompts, Note: func(string, ...any) {},
		Keep: func(all []fit.Trial) error { kept = append(kept, slices.Clone(all)); return nil },
	}
	first := fit.Trial{Hold: 210 * sim.Millisecond, Outcome: fit.Toggled}
	last := fit.Trial{Hold: 2 * sim.Second, Outcome: fit.Long}
	got, err := run.Guide()
	require.NoError(t, err)
	require.Equal(t, []fit.Trial{first, last}, got)
	require.Len(t, kept, 4, "after every trial, and after the one taken back")
	require.Equal(t, got, kept[3])
	require.Equal(t, 6, strings.Count(prompts.String(), "held for"))
	require.Equal(t, 4, strings.Count(prompts.String(), "the camera did"))
}

// TestARunEndsWithItsMeter: what a broken meter says ends the run; the trials so
// far are returned.
func TestARunEndsWithItsMeter(t *testing.T) {
	broken := errors.New("unplugged")
	known := []fit.Trial{{Hold: 210 * sim.Millisecond, Outcome: fit.Toggled}}
	run := trials.Run{
		Options: fit.Options{Shape: fit.Logistic, Confidence: 0.95}, Goal: fit.DefaultGoal, Trials: known,
		Answers: strings.NewReader("\n"), Prompts: &strings.Builder{}, Note: func(string, ...any) {},
		Measure: func() (sim.Micros, error) { return 0, broken },
	}
	got, err := run.Guide()
	require.ErrorIs(t, err, broken)
	require.Equal(t, known, got)
}
