package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPlanOfTheWeek: the plan is that of the help, one day for each day of practice,
// without the drills done today.
func TestPlanOfTheWeek(t *testing.T) {
	for before, want := range week {
		require.Equal(t, want, Known{Days: Days{Before: before}}.Plan(), "day %d", before+1)
	}
	require.Equal(t, []Kind{KindFlick, KindSteady}, Known{Days: Days{Today: []Kind{KindFlick}}}.Plan())
	require.Empty(t, Known{Days: Days{Today: []Kind{KindFlick, KindSteady, KindFlick}}}.Plan())
}

// TestPlanAfterTheWeek: five drills, first those never tried, then those due for a
// recheck, then those that fail most, without those done today.
func TestPlanAfterTheWeek(t *testing.T) {
	past := NewPast(firstDay.AddDate(0, 0, 3))
	for _, k := range []Kind{KindFlick, KindSteady, KindTake, KindCut, KindPattern, KindHandsOff} {
		for i := range 39 {
			past.AddAt(firstDay, Result{Kind: k, Right: k != KindTake && k != KindCut || i%3 == 0})
		}
	}
	past.AddAt(firstDay.AddDate(0, 0, 3), Result{Kind: KindSteady, Right: true})
	past.AddAt(firstDay.AddDate(0, 0, 3), Result{Kind: KindTake, Right: true})
	known := Known{Past: past, Days: Days{Before: len(week)}}
	require.Equal(t, []Kind{KindBlind, KindFlick, KindPattern, KindHandsOff, KindCut}, known.Plan())
	known.Days.Today = []Kind{KindBlind, KindFlick}
	require.Equal(t, []Kind{KindPattern, KindHandsOff, KindCut}, known.Plan())
	known.Days.Today = []Kind{KindBlind, KindFlick, KindPattern, KindHandsOff, KindCut, KindMixed}
	require.Empty(t, known.Plan())
}
