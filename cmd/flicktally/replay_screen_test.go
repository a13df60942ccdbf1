package main

import (
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
