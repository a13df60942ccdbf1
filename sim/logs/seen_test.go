package logs

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestLongWorkSaysSo: after one second a note says what is done, and is removed when
// that is over. There is no note if nobody would see it.
func TestLongWorkSaysSo(t *testing.T) {
	var late func()
	after := func(d time.Duration, do func()) *time.Timer {
		require.Equal(t, time.Second, d)
		late = do
		return time.NewTimer(d)
	}
	var shown []string
	r := Reader{Progress: func(text string) { shown = append(shown, text) }}
	require.NoError(t, r.noteIfSlow(after, func() error {
		require.Empty(t, shown)
		late()
		return nil
	}))
	require.Equal(t, []string{"weighing what each press may have done", ""}, shown)

	late, r.Progress = nil, nil
	require.NoError(t, r.noteIfSlow(after, func() error { return nil }))
	require.Nil(t, late, "nobody would see it")
}
