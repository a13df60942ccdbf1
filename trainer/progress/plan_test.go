package progress_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/trainer"
	"flicktally/trainer/progress"
)

// TestWritePlan: a beginner has the whole first day to do, and the mistakes of the
// flights are counted by the drill against them.
func TestWritePlan(t *testing.T) {
	var text strings.Builder
	progress.WritePlan(&text, trainer.Known{}, nil)
	require.Contains(t, text.String(), "Left of today's ten minutes:\n  flick ")
	require.NotContains(t, text.String(), "Mistakes")

	text.Reset()
	progress.WritePlan(&text, trainer.Known{Days: trainer.Days{Today: []trainer.Kind{"flick", "flick", "steady"}}}, []trainer.Mistake{
		{Remedy: trainer.KindFlick, Times: 2}, {Remedy: trainer.KindCut, Times: 1}, {Remedy: trainer.KindFlick, Times: 3},
	})
	require.Contains(t, text.String(), "Today's ten minutes are done.\n")
	require.Regexp(t, `(?m)^  flick +5 mistakes\n  cut +1 mistake$`, text.String())
}
