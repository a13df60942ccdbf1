package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// TestReplayOfTheDemoFitsAScreen: the report of the demo's flight takes no more
// than the 24 lines of a window 80 characters wide. With --full it lists each flick.
func TestReplayOfTheDemoFitsAScreen(t *testing.T) {
	files := readmeFiles(t)
	out, said, code := runShell(t, files, "flicktally replay --rig heron.toml regatta.csv", time.Minute)
	require.Zero(t, code, said)
	lines := 0
	for line := range strings.Lines(out) {
		lines += 1 + (utf8.RuneCountInString(line)-2)/80
	}
	require.LessOrEqual(t, lines, 24, out)

	out, said, code = runShell(t, files, "flicktally replay --full --rig heron.toml regatta.csv", time.Minute)
	require.Zero(t, code, said)
	require.Contains(t, out, "\n  9      2:22.0  280 ms ")
	require.Contains(t, out, "304870 bytes: ")
}

// TestReplayOfALongFlightIsShort: 200 flicks, of which every fifth is too short,
// and a window that is not known, take no more than two screens.
func TestReplayOfALongFlightIsShort(t *testing.T) {
	var log strings.Builder
	log.WriteString("time_ms,aux2\n")
	for at := range 60_000 { // steps of 20 ms
		flick, step := at/300, at%300
		held := 15
		if flick%5 == 4 {
			held = 3
		}
		value := 1000
		if step >= 100 && step < 100+held {
			value = 2000
		}
		fmt.Fprintf(&log, "%d,%d\n", 20*at, value)
	}
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "long.csv"), []byte(log.String()), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "unsure.toml"), []byte("[camera]\nmin_press = [\"100ms\", \"250ms\"]\n"), 0o600))
	out, said, code := runShell(t, folder, "flicktally replay --rig unsure.toml long.csv", time.Minute)
	require.Zero(t, code, said)
	require.LessOrEqual(t, strings.Count(out, "\n"), 48, out)
	require.Contains(t, out, "160 toggled; 40 short: 5, 10, 15, 20,")
	require.Contains(t, out, "120 and 16 more")
	require.Contains(t, out, "  takes   80, 6 s long\n")
	require.Contains(t, out, "39 more, the first at 0:56.0, the last at 19:56.0 (--full lists each)")

	out, said, code = runShell(t, folder, "flicktally replay --full --rig unsure.toml long.csv", time.Minute)
	require.Zero(t, code, said)
	require.Contains(t, out, "flick 200 was held 60 ms")
	require.NotContains(t, out, "--full")
}
