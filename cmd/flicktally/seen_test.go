package main

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestLongWorkSaysSo: after one second a word stands on the terminal, and goes when
// the work is done; elsewhere there is none.
func TestLongWorkSaysSo(t *testing.T) {
	var late func()
	after := func(d time.Duration, do func()) *time.Timer {
		require.Equal(t, time.Second, d)
		late = do
		return time.NewTimer(d)
	}
	for _, tty := range []bool{true, false} {
		var terminal bytes.Buffer
		talk := &talk{err: &terminal, errTTY: tty}
		require.NoError(t, talk.sayingSo(after, func() error {
			require.Empty(t, terminal.String())
			late()
			if tty {
				require.Equal(t, "\rweighing what each press may have done", terminal.String())
			}
			return nil
		}))
		if !tty {
			require.Empty(t, terminal.String())
			continue
		}
		require.Regexp(t, "done\r +\r\r$", terminal.String())
	}
}
